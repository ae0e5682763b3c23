"""Forms for getting in: sign in, first sign-in by a one-time code, change of password."""

from __future__ import annotations

from wtforms import HiddenField, PasswordField, StringField
from wtforms.validators import EqualTo, Length

from trainer.web.forms import Form, at_most, needed
from trainer.web.i18n import _l

SHORTEST = 10  # letters; the use case holds the same floor
LONGEST = 200


def new_password() -> list[object]:
    """Validators of a password that a person chooses."""
    return [
        needed(),
        Length(min=SHORTEST, message=_l("Use at least %(min)d letters or signs; a few words are best.")),
        at_most(LONGEST),
    ]


def repeated() -> list[object]:
    """Validators of the second entry of a new password."""
    return [needed(), EqualTo("password", message=_l("The two passwords are not the same. Type both again."))]


class SignInForm(Form):
    """Sign-in name and password."""

    sign_in = StringField(_l("Sign-in name"), validators=[needed(), at_most(80)])
    password = PasswordField(_l("Password"), validators=[needed(), at_most(LONGEST)])


class FirstForm(Form):
    """The one-time code from the owner, and the password that the person chooses."""

    sign_in = StringField(_l("Sign-in name"), validators=[needed(), at_most(80)])
    code = StringField(_l("One-time code"), validators=[needed(), at_most(40)])
    password = PasswordField(_l("New password"), validators=new_password())
    password_again = PasswordField(_l("New password again"), validators=repeated())


class CodeForm(Form):
    """The six figures that the person's app shows now; `secret` is what a new app is to hold."""

    code = StringField(_l("Six figures"), validators=[needed(), at_most(20)])
    secret = HiddenField(validators=[at_most(64)])


class EmailForm(Form):
    """Where the daily digest goes; empty for nowhere."""

    email = StringField(_l("E-mail address"), validators=[at_most(254)])


class PasswordForm(Form):
    """The old password and a new one."""

    old_password = PasswordField(_l("Present password"), validators=[needed(), at_most(LONGEST)])
    password = PasswordField(_l("New password"), validators=new_password())
    password_again = PasswordField(_l("New password again"), validators=repeated())
