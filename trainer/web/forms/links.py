"""Forms that make private links: cards for several people, one's own calendar."""

from __future__ import annotations

from wtforms import BooleanField, RadioField

from trainer.web.forms import CheckField, Form, form_token_field, needed, options
from trainer.web.i18n import NAMES, _l

PAPERS = {"letter": _l("Letter"), "A4": "A4"}


class CardsForm(Form):
    """Whose cards to print, on what, and whether their older ones end. The people are filled in by the view."""

    people = CheckField(_l("For whom"), coerce=int, validators=[needed()])
    language = RadioField(_l("Language"), choices=options(NAMES.items()), validators=[needed()])
    paper = RadioField(
        _l("Size of the sheet"), choices=options(PAPERS.items()), default="letter", validators=[needed()]
    )
    withdraw = BooleanField(_l("Withdraw the links of their earlier cards"), default=True)
    form_token = form_token_field()


class CalendarForm(Form):
    """Whose days the calendar holds; the choices depend on the person's roles."""

    use = RadioField(_l("What it shows"), default="own days", validators=[needed()])
    form_token = form_token_field()
