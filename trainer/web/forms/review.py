"""Forms on a paper under review. There are many on one page, so each has its own prefix."""

from __future__ import annotations

from typing import Final

from wtforms import RadioField, TextAreaField
from wtforms.validators import InputRequired

from trainer.records.queries import PaperQuestionView
from trainer.records.review import grade_mark
from trainer.web.forms import Form, at_most, form_token_field, made_from_field, needed, options
from trainer.web.i18n import _l

LONGEST: Final = 2000  # letters
CREDITS: Final = {
    "0": _l("Not right: no credit"),
    "0.5": _l("Half right: half the credit"),
    "1": _l("Right: full credit"),
}


class CommentForm(Form):
    """A remark on the paper or on one of its questions."""

    text = TextAreaField(_l("Comment"), validators=[needed(), at_most(LONGEST)])
    form_token = form_token_field()


class GradeForm(Form):
    """Another grade for one question, with the reason."""

    credit = RadioField(
        _l("What is it worth?"),
        choices=options(CREDITS.items()),
        validators=[InputRequired(_l("Choose one."))],
        invalid_choice_message=_l("Choose one."),
    )
    reason = TextAreaField(_l("Reason"), validators=[needed(), at_most(LONGEST)])
    form_token = form_token_field()
    made_from = made_from_field()


class SendBackForm(Form):
    """Why a paper is to be done again."""

    again_reason = TextAreaField(_l("Why it is to be done again"), validators=[needed(), at_most(LONGEST)])


def comment_form(position: int | None) -> CommentForm:
    """The comment form of a question, or of the whole paper."""
    return CommentForm(prefix=f"comment{position or ''}-")


def grade_form(each: PaperQuestionView) -> GradeForm:
    """The form that changes the grade of a question, made from the grade that holds."""
    return GradeForm(prefix=f"grade{each.position}-", made_from=grade_mark(each.changes))
