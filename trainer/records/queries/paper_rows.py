"""Rows of papers with the grades that hold now: two statements for any number of papers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, case, exists, false, func, select
from sqlalchemy.orm import Session, aliased

from trainer.records.deciding import DECIDED, least_right, terms_of
from trainer.records.models import Answer, GradeChange, HintOpening, Paper, PaperQuestion, Person, Quiz
from trainer.records.queries.rows import PaperRow

EXACT = 1e-9  # slack for credits added up as floats
# The grade that holds, where an Answer and the `last_change` of its question are joined from outside.
CREDIT = func.coalesce(GradeChange.after, Answer.credit, 0.0)
RIGHT = case(
    (GradeChange.id.is_not(None), GradeChange.after >= 1.0), else_=func.coalesce(Answer.right, false())
)


def last_change() -> ColumnElement[bool]:
    """That a joined GradeChange is the last of its question."""
    later = aliased(GradeChange)
    return ~exists().where(
        later.paper_question_id == GradeChange.paper_question_id, later.id > GradeChange.id
    )


@dataclass(frozen=True, slots=True)
class Sums:
    """Of one paper: questions, answered, right, credits added up, must-pass questions not right (and of those
    answered), hints opened.
    """

    questions: int = 0
    answered: int = 0
    right: int = 0
    credit: float = 0.0
    missed: int = 0
    missed_answered: int = 0
    hints: int = 0


def paper_query() -> Select[*tuple[Any, ...]]:
    """(Paper, Quiz, the person's name); to be filtered, ordered and cut."""
    return (
        select(Paper, Quiz, Person.name)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(Person, Person.id == Paper.person_id)
    )


def paper_rows(session: Session, rows: Sequence[Any], now: datetime | None = None) -> tuple[PaperRow, ...]:
    """The rows of a `paper_query`, with sums. now: an open paper past its due time counts as late."""
    sums = _sums(session, [paper.id for paper, _, _ in rows])
    return tuple(_row(paper, quiz, name, sums.get(paper.id, Sums()), now) for paper, quiz, name in rows)


def _sums(session: Session, ids: Sequence[int]) -> dict[int, Sums]:
    if not ids:
        return {}
    hints = (
        select(func.count())
        .select_from(HintOpening)
        .where(HintOpening.paper_question_id == PaperQuestion.id)
        .scalar_subquery()
    )
    rows = session.execute(
        select(
            PaperQuestion.paper_id,
            func.count(PaperQuestion.id),
            func.count(Answer.id),
            func.sum(case((RIGHT, 1), else_=0)),
            func.sum(CREDIT),
            func.sum(case((and_(PaperQuestion.must_pass, ~RIGHT), 1), else_=0)),
            func.sum(case((and_(PaperQuestion.must_pass, ~RIGHT, Answer.id.is_not(None)), 1), else_=0)),
            func.sum(hints),
        )
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(PaperQuestion.paper_id.in_(ids))
        .group_by(PaperQuestion.paper_id)
    )
    return {paper: Sums(*sums) for paper, *sums in rows}


def _row(paper: Paper, quiz: Quiz, name: str, sums: Sums, now: datetime | None) -> PaperRow:
    closed = paper.closed_at is not None
    decided = paper.closed_how == DECIDED
    questions = sums.answered if decided else sums.questions
    missed = sums.missed_answered if decided else sums.missed
    exact = 100.0 * sums.credit / questions if questions else 0.0
    least = least_right(quiz.deciding, questions)
    passed = exact >= quiz.pass_mark - EXACT and not missed and (least is None or sums.right >= least)
    ended = paper.closed_at or now
    return PaperRow(
        id=paper.id,
        quiz_id=quiz.id,
        title=quiz.title,
        person_id=paper.person_id,
        person=name,
        pass_mark=quiz.pass_mark,
        due=quiz.due,
        assigned_at=quiz.at,
        opened_at=paper.opened_at,
        closed_at=paper.closed_at,
        reviewed_at=paper.reviewed_at,
        questions=questions,
        answered=sums.answered,
        hint_cost=quiz.hint_cost,
        hints=sums.hints,
        credit=min(sums.credit, float(questions)) if closed else None,
        percent=int(exact + EXACT) if closed else None,
        passed=passed if closed else None,
        state=_state(paper),
        late=quiz.due is not None and ended is not None and ended > quiz.due,
        decides=quiz.deciding is not None,
        verdict=_verdict(quiz, sums.right, questions) if closed else None,
    )


def _verdict(quiz: Quiz, right: int, counted: int) -> str | None:
    if quiz.deciding is None:
        return None
    terms = terms_of(quiz.deciding)
    return (terms.verdict(right, counted) if terms is not None else None) or "undecided"


def _state(paper: Paper) -> str:
    if paper.reviewed_at is not None:
        return "reviewed"
    if paper.closed_at is not None:
        return "handed in"
    return "started" if paper.opened_at is not None else "waiting to start"
