"""Answering a question: one text, or one option."""

from __future__ import annotations

from typing import Any

from wtforms import HiddenField, RadioField, StringField

from trainer.questions import Draw
from trainer.web.current import language
from trainer.web.forms import Form, at_most, form_token_field, needed, options
from trainer.web.i18n import _l


class NumberForm(Form):
    """An answer typed as the trade writes it; `confirmed` holds the text that was shown as read."""

    answer = StringField(_l("Your answer"), validators=[needed(), at_most(60)])
    form_token = form_token_field()
    confirmed = HiddenField()


class ChoiceForm(Form):
    """One option of several."""

    answer = RadioField(_l("Choose one"), validators=[needed()])
    form_token = form_token_field()
    confirmed = HiddenField()


def answer_form(draw: Draw, **given: Any) -> Form:
    """The form that fits the kind of question."""
    if draw.kind != "choose":
        return NumberForm(**given)
    form = ChoiceForm(**given)
    form.answer.choices = options(
        (option.letter, option.text.in_language(language())) for option in draw.options
    )
    return form
