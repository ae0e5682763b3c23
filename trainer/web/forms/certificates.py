"""Forms of certificates from outside: putting one on record, and withdrawing it."""

from __future__ import annotations

from wtforms import RadioField, StringField, TextAreaField
from wtforms.validators import Optional

from trainer.clearance import Rules
from trainer.web.forms import Form, at_most, form_token_field, needed, options
from trainer.web.forms.board import DayField
from trainer.web.i18n import _l, local

CHOOSE = _l("Choose one.")


class CertificateForm(Form):
    """What the paper says."""

    kind = RadioField(_l("What kind of certificate"), validators=[needed()], invalid_choice_message=CHOOSE)
    issuer = StringField(_l("Issued by"), validators=[needed(), at_most(200)])
    issued = DayField(_l("Issued on"), validators=[needed()])
    expires = DayField(_l("Last day it is good"), validators=[Optional()])
    form_token = form_token_field()


def certificate_form(rules: Rules) -> CertificateForm:
    """The form, empty or with what was sent."""
    form = CertificateForm()
    form.kind.choices = options((kind.id, local(kind.name)) for kind in rules.certificates.values())
    return form


class WithdrawForm(Form):
    """Why a certificate does not count any more."""

    reason = TextAreaField(_l("Why it is withdrawn"), validators=[needed(), at_most(1500)])
