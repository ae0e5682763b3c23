"""Forms for the owner's list of people."""

from __future__ import annotations

from typing import Final

from wtforms import RadioField, StringField

from trainer.web.forms import CheckField, Form, at_most, needed, options
from trainer.web.i18n import NAMES, _l

ROLES: Final = {
    "apprentice": _l("New hire: lessons, practice, quizzes"),
    "trainer": _l("Trainer: assigns, reviews, signs off"),
    "owner": _l("Owner: people, shop standard, clearances"),
}


class PersonForm(Form):
    """What the owner can change of a person."""

    name = StringField(_l("Name"), validators=[needed(), at_most(80)])
    roles = CheckField(_l("Roles"), choices=options(ROLES.items()), validators=[needed()])


class EditPersonForm(PersonForm):
    """The same, with where the daily digest goes."""

    email = StringField(_l("E-mail address"), validators=[at_most(254)])


class NewPersonForm(PersonForm):
    """A person to add."""

    sign_in = StringField(_l("Sign-in name"), validators=[needed(), at_most(80)])
    language = RadioField(_l("Language"), choices=options(NAMES.items()), validators=[needed()])
