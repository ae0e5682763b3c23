"""A question of a paper as a reviewer sees it: with its answer, what is said of it, and the forms to act on it."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.questions import Grade
from trainer.questions.search import Guess
from trainer.records.queries import PaperQuestionView
from trainer.web.asked import Asked, asked
from trainer.web.forms.review import CommentForm, GradeForm, comment_form, grade_form


@dataclass(frozen=True, slots=True)
class Marked:
    """said: what is said of the first answer in the reader's language; None without an answer, or while it is out.
    guesses: what its wrong numbers may come from where no slip explains them; they count for nothing

    opened: "comment" or "grade", the form that is open; "" for none
    """

    each: PaperQuestionView
    problem: Asked
    said: Grade | None
    guesses: list[Guess]
    comment: CommentForm
    grade: GradeForm
    opened: str


def marked(each: PaperQuestionView, given: CommentForm | GradeForm | None) -> Marked:
    """One question with its forms; `given` takes the place of the one that was sent."""
    problem = asked(each.draw)
    graded = each.answer is not None and each.answer.right is not None
    said = problem.judged(each.answer) if each.answer is not None and graded else None
    guesses = (
        problem.guesses(each.answer.typed) if each.answer is not None and said and not said.right else []
    )
    comment, grade, opened = comment_form(each.position), grade_form(each), ""
    if isinstance(given, CommentForm) and given.text.name == comment.text.name:
        comment, opened = given, "comment"
    elif isinstance(given, GradeForm) and given.reason.name == grade.reason.name:
        grade, opened = given, "grade"
    return Marked(each, problem, said, guesses, comment, grade, opened)
