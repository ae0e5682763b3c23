"""Rows of papers with the grades that hold now: two statements for any number of papers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Select, and_, case, exists, false, func, select
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from trainer.records.deciding import DECIDED, least_right, terms_of
from trainer.records.models import Answer, GradeChange, HintOpening, Paper, PaperQuestion, Person, Quiz
from trainer.records.queries.rows import PaperRow

EXACT = 1e-9  # slack for credits added up as floats
# The grade that holds, where an Answer and the `last_change` of its question are joined from outside.
CREDIT = func.coalesce(GradeChange.after, Answer.credit, 0.0)
RIGHT = case(
    (GradeChange.id.is_not(None), GradeChange.after >= 1.0), else_=func.coalesce(Answer.right, false())
)

# Whether the question counts in the score: a trainer may have left it out.
COUNTS = ~func.coalesce(GradeChange.left_out, false())


def last_change() -> ColumnElement[bool]:
    """That a joined GradeChange is the last of its question."""
    later = aliased(GradeChange)
    return ~exists().where(
        later.paper_question_id == GradeChange.paper_question_id, later.id > GradeChange.id
    )


@dataclass(frozen=True, slots=True)
class Sums:
    """Of one paper: questions, answered, right, credits added up, must-pass questions not right (and of those
    answered), hints opened. What a trainer left out is in none of them but `left_out`, and `left_out_answered`.
    """

    questions: int = 0
    answered: int = 0
    right: int = 0
    credit: float = 0.0
    missed: int = 0
    missed_answered: int = 0
    hints: int = 0
    left_out: int = 0
    left_out_answered: int = 0


class Result(NamedTuple):
    """What a closed paper comes to. questions: those that count; asked: those that its terms speak of."""

    percent: float
    passed: bool
    questions: int
    asked: int


def result_of(quiz: Quiz, closed_how: str | None, sums: Sums) -> Result:
    """The score [percent] and whether it is passed, from what the questions add up to."""
    decided = closed_how == DECIDED
    questions = sums.answered if decided else sums.questions
    missed = sums.missed_answered if decided else sums.missed
    percent = 100.0 * sums.credit / questions if questions else 0.0
    # What was left out still had its part in how the paper ended: to be clear takes as many right as before.
    asked = questions + (sums.left_out_answered if decided else sums.left_out)
    least = least_right(quiz.deciding, asked)
    passed = percent >= quiz.pass_mark - EXACT and not missed and (least is None or sums.right >= least)
    return Result(percent, passed, questions, asked)


def paper_query() -> Select[*tuple[Any, ...]]:
    """(Paper, Quiz, the person's name); to be filtered, ordered and cut."""
    return (
        select(Paper, Quiz, Person.name)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(Person, Person.id == Paper.person_id)
    )


def paper_rows(session: Session, rows: Sequence[Any], now: datetime | None = None) -> tuple[PaperRow, ...]:
    """The rows of a `paper_query`, with sums. now: as for `quiz`."""
    sums = sums_of(session, [paper.id for paper, _, _ in rows])
    return tuple(_row(paper, quiz, name, sums.get(paper.id, Sums()), now) for paper, quiz, name in rows)


def sums_of(session: Session, ids: Sequence[int]) -> dict[int, Sums]:
    """What the questions of each of these papers add up to, by paper: one statement."""
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
            _number(COUNTS),
            _number(COUNTS, _ANSWERED),
            _number(COUNTS, RIGHT),
            func.sum(case((COUNTS, CREDIT), else_=0.0)),
            _number(COUNTS, PaperQuestion.must_pass, ~RIGHT),
            _number(COUNTS, PaperQuestion.must_pass, ~RIGHT, _ANSWERED),
            func.sum(hints),
            _number(~COUNTS),
            _number(~COUNTS, _ANSWERED),
        )
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(PaperQuestion.paper_id.in_(ids))
        .group_by(PaperQuestion.paper_id)
    )
    return {paper: Sums(*sums) for paper, *sums in rows}


_ANSWERED = Answer.id.is_not(None)


def _number(*which: ColumnElement[bool] | InstrumentedAttribute[bool]) -> ColumnElement[int]:
    """How many questions are all of these."""
    return func.sum(case((and_(*which), 1), else_=0))


def _row(paper: Paper, quiz: Quiz, name: str, sums: Sums, now: datetime | None) -> PaperRow:
    closed = paper.closed_at is not None
    result = result_of(quiz, paper.closed_how, sums)
    ended = paper.closed_at or now
    return PaperRow(
        id=paper.id,
        quiz_id=quiz.id,
        title=quiz.title,
        person_id=paper.person_id,
        person=name,
        pass_mark=quiz.pass_mark,
        opens=quiz.opens,
        due=quiz.due,
        assigned_at=quiz.at,
        opened_at=paper.opened_at,
        closed_at=paper.closed_at,
        reviewed_at=paper.reviewed_at,
        questions=result.questions,
        answered=sums.answered,
        hint_cost=quiz.hint_cost,
        hints=sums.hints,
        credit=min(sums.credit, float(result.questions)) if closed else None,
        percent=int(result.percent + EXACT) if closed else None,
        passed=result.passed if closed else None,
        state=_state(paper),
        late=quiz.due is not None and ended is not None and ended > quiz.due,
        shut=paper.opened_at is None
        and not closed
        and quiz.opens is not None
        and now is not None
        and now < quiz.opens,
        decides=quiz.deciding is not None,
        verdict=_verdict(quiz, sums.right, result.asked) if closed else None,
        left_out=sums.left_out,
        go=paper.go,
        goes=quiz.goes,
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
