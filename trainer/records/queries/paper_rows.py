"""Rows of papers with the grades that hold now: two statements for any number of papers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, case, exists, false, func, select
from sqlalchemy.orm import Session, aliased

from trainer.records.models import Answer, GradeChange, Paper, PaperQuestion, Person, Quiz
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
    """Of one paper: questions, answered, credits added up, must-pass questions not right."""

    questions: int = 0
    answered: int = 0
    credit: float = 0.0
    missed: int = 0


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
    rows = session.execute(
        select(
            PaperQuestion.paper_id,
            func.count(PaperQuestion.id),
            func.count(Answer.id),
            func.sum(CREDIT),
            func.sum(case((and_(PaperQuestion.must_pass, ~RIGHT), 1), else_=0)),
        )
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(PaperQuestion.paper_id.in_(ids))
        .group_by(PaperQuestion.paper_id)
    )
    return {
        paper: Sums(questions, answered, total, missed) for paper, questions, answered, total, missed in rows
    }


def _row(paper: Paper, quiz: Quiz, name: str, sums: Sums, now: datetime | None) -> PaperRow:
    closed = paper.closed_at is not None
    exact = 100.0 * sums.credit / sums.questions if sums.questions else 0.0
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
        questions=sums.questions,
        answered=sums.answered,
        credit=min(sums.credit, float(sums.questions)) if closed else None,
        percent=int(exact + EXACT) if closed else None,
        passed=exact >= quiz.pass_mark - EXACT and not sums.missed if closed else None,
        state=_state(paper),
        late=quiz.due is not None and ended is not None and ended > quiz.due,
    )


def _state(paper: Paper) -> str:
    if paper.reviewed_at is not None:
        return "reviewed"
    if paper.closed_at is not None:
        return "handed in"
    return "started" if paper.opened_at is not None else "waiting to start"
