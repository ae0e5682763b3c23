"""A question of a paper as a reviewer sees it: with its answer, what is said of it, and the forms to act on it."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.questions import Grade
from trainer.records.queries import PaperQuestionView
from trainer.web.asked import Asked, asked
from trainer.web.forms.review import CommentForm, GradeForm, comment_form, grade_form


@dataclass(frozen=True, slots=True)
class Marked:
    """said: the first answer in the reader's language; None when there is no answer.

    opened: "comment" or "grade", the form that is open; "" for none
    """

    each: PaperQuestionView
    problem: Asked
    said: Grade | None
    comment: CommentForm
    grade: GradeForm
    opened: str

    @property
    def reading(self) -> str:
        """The answer as it was read; as it was stored when it cannot be said in this language."""
        if self.each.answer is None:
            return ""
        return self.said.reading if self.said is not None and self.said.reading else self.each.answer.shown


def marked(each: PaperQuestionView, given: CommentForm | GradeForm | None) -> Marked:
    """One question with its forms; `given` takes the place of the one that was sent."""
    problem = asked(each.draw)
    said = problem.grade(each.answer.typed) if each.answer is not None else None
    comment, grade, opened = comment_form(each.position), grade_form(each.position), ""
    if isinstance(given, CommentForm) and given.text.name == comment.text.name:
        comment, opened = given, "comment"
    elif isinstance(given, GradeForm) and given.reason.name == grade.reason.name:
        grade, opened = given, "grade"
    return Marked(each, problem, said, comment, grade, opened)
