"""The form in which the answers of a sheet are typed in; each question brings its own fields."""

from __future__ import annotations

from wtforms import BooleanField, HiddenField

from trainer.web.forms import Form, at_most, form_token_field
from trainer.web.i18n import _l


class EntryForm(Form):
    """read: a mark of the answers that were read back; only those are kept."""

    hand_in = BooleanField(_l("The sheet is handed in: what is empty counts as not right"))
    read = HiddenField(validators=[at_most(80)])
    form_token = form_token_field()
