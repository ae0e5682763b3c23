"""How questions do their work: figures over the latest papers that were handed in, and of one quiz.

Papers taken back are left out: what was not answered on them says nothing of the question. So is a question that a
trainer left out of a score.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median
from typing import Any

from sqlalchemy import ColumnElement, Select, Subquery, and_, case, desc, func, or_, select
from sqlalchemy.orm import Session

from trainer.learning import Pairs, QuestionFigures, kr20
from trainer.records.actors import Actor, need_reviewer
from trainer.records.deciding import DECIDED
from trainer.records.models import Answer, GradeChange, Paper, PaperQuestion, Person
from trainer.records.queries.paper_rows import COUNTS, CREDIT, RIGHT, last_change
from trainer.records.review import sitting

LATEST = 2_000  # papers that figures are made from: enough to judge by, and the page stays quick for ever
TIMED = 500  # papers that a median time is taken from
SHOWN = 40  # wrong answers shown and searched for their cause
FEWEST_PAPERS = 10  # below which a reliability says nothing


@dataclass(frozen=True, slots=True)
class WrongAnswer:
    """A wrong answer that no known slip explains. draw: the question as it was drawn for it"""

    paper_id: int
    position: int
    person: str
    shown: str
    at: datetime
    typed: str
    draw: Any


@dataclass(frozen=True, slots=True)
class QuestionAtWork:
    """One question. slips: (id, how often), commonest first; seconds: the median time, of `timed` answers."""

    figures: QuestionFigures
    slips: tuple[tuple[str, int], ...]
    unexplained: tuple[WrongAnswer, ...]
    seconds: float | None
    timed: int


@dataclass(frozen=True, slots=True)
class Reliability:
    """KR-20 of a quiz. kr20: None with too few papers, one question, or when all scored the same."""

    papers: int
    questions: int
    kr20: float | None


def question_figures(session: Session, actor: Actor) -> dict[str, QuestionFigures]:
    """The figures of every question of the latest papers, by its id: one statement."""
    need_reviewer(actor)
    return _figures(session, None)


def question_at_work(session: Session, actor: Actor, question: str) -> QuestionAtWork:
    """One question with its commonest slips, the wrong answers nobody can explain, and the time it takes."""
    need_reviewer(actor)
    figures = _figures(session, question).get(question)
    if figures is None:
        return QuestionAtWork(QuestionFigures(0, 0, 0, Pairs.of((), ()), 0), (), (), None, 0)
    wrong = (
        select(Answer)
        .join(PaperQuestion, PaperQuestion.id == Answer.paper_question_id)
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(PaperQuestion.question == question, *_handed_in(), ~RIGHT)
    )
    often = func.count(Answer.id)
    slips = session.execute(
        wrong.with_only_columns(Answer.slip, often)
        .where(Answer.slip.is_not(None))
        .group_by(Answer.slip)
        .order_by(desc(often), Answer.slip)
    ).all()
    latest = session.execute(
        wrong.join(Person, Person.id == Paper.person_id)
        .with_only_columns(
            Paper.id,
            PaperQuestion.position,
            Person.name,
            Answer.shown,
            Answer.at,
            Answer.typed,
            PaperQuestion.draw,
        )
        .where(Answer.slip.is_(None), Paper.quiz_id.not_in(sitting(actor)), Paper.person_id != actor.id)
        .order_by(Answer.id.desc())
        .limit(SHOWN)
    ).all()
    seconds = _seconds(session, question)
    return QuestionAtWork(
        figures,
        tuple((str(slip), count) for slip, count in slips),
        tuple(WrongAnswer(*row) for row in latest),
        median(seconds) if seconds else None,
        len(seconds),
    )


def reliability(session: Session, actor: Actor, quiz_id: int) -> Reliability | None:
    """KR-20 of a quiz by each person's first go; None when nothing is handed in, or papers asked different questions."""
    need_reviewer(actor)
    marks: dict[int, dict[str, bool]] = defaultdict(dict)
    rows = session.execute(
        select(PaperQuestion.paper_id, PaperQuestion.question, RIGHT)
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(Paper.quiz_id == quiz_id, Paper.go == 1, *_handed_in(), _asked(), COUNTS)
    )
    for paper, question, right in rows:
        marks[paper][question] = bool(right)
    asked = {tuple(sorted(of_paper)) for of_paper in marks.values()}
    if len(asked) != 1:
        return None
    order = asked.pop()
    papers = [[of_paper[question] for question in order] for of_paper in marks.values()]
    enough = len(papers) >= FEWEST_PAPERS
    return Reliability(len(papers), len(order), kr20(papers) if enough else None)


def _handed_in() -> tuple[ColumnElement[bool], ...]:
    return Paper.closed_at.is_not(None), Paper.closed_how != "taken back"


def _asked() -> ColumnElement[bool]:
    """That the paper came to the question: one that decided early did not come to all."""
    return or_(Answer.id.is_not(None), Paper.closed_how != DECIDED)


def _marks(question: str | None) -> Subquery:
    """A row for each question of the latest papers with the grade that holds, and its paper's sums."""
    query = (
        select(
            PaperQuestion.question,
            Answer.id.label("answer"),
            Answer.slip,
            CREDIT.label("credit"),
            RIGHT.label("right"),
            func.sum(CREDIT).over(partition_by=PaperQuestion.paper_id).label("total"),
            func.count(Answer.id).over(partition_by=PaperQuestion.paper_id).label("count"),
        )
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .where(PaperQuestion.paper_id.in_(_latest(question, LATEST)), _asked(), COUNTS)
    )
    return query.subquery()


def _latest(question: str | None, most: int) -> Select[int]:
    """The latest papers that were handed in; of those that asked `question` when it is given."""
    query = select(Paper.id).where(*_handed_in()).order_by(Paper.id.desc()).limit(most)
    if question is None:
        return query
    return query.join(PaperQuestion, PaperQuestion.paper_id == Paper.id).where(
        PaperQuestion.question == question
    )


def _figures(session: Session, question: str | None) -> dict[str, QuestionFigures]:
    marks = _marks(question)
    x = marks.c.credit
    y = (marks.c.total - x) / (marks.c.count - 1)  # the mean credit of the paper's other questions
    paired = and_(marks.c.answer.is_not(None), marks.c.count > 1)
    query = (
        select(
            marks.c.question,
            func.count(),
            func.count(marks.c.answer),
            func.sum(case((marks.c.right, 1), else_=0)),
            func.sum(case((and_(marks.c.answer.is_not(None), ~marks.c.right, marks.c.slip.is_not(None)), 1), else_=0)),
            func.sum(case((paired, 1), else_=0)),
            *(func.sum(case((paired, term), else_=0.0)) for term in (x, y, x * x, y * y, x * y)),
        )
        .group_by(marks.c.question)
    )  # fmt: skip
    if question is not None:
        query = query.where(marks.c.question == question)
    return {
        name: QuestionFigures(drawn, answered, right, Pairs(*pairs), slips)
        for name, drawn, answered, right, slips, *pairs in session.execute(query)
    }


def _seconds(session: Session, question: str) -> Sequence[float]:
    """How long the latest answers took: from the answer before it on the same paper, or from the opening."""
    latest = _latest(question, TIMED).where(Paper.opened_at.is_not(None))
    rows = session.execute(
        select(Paper.id, Paper.opened_at, PaperQuestion.question, Answer.at)
        .join(PaperQuestion, PaperQuestion.paper_id == Paper.id)
        .join(Answer, Answer.paper_question_id == PaperQuestion.id)
        .where(Paper.id.in_(latest))
        .order_by(Paper.id, Answer.id)
    )
    found, paper, before = [], None, None
    for of_paper, opened, asked, at in rows:
        if of_paper != paper:
            paper, before = of_paper, opened
        if asked == question and before is not None:
            found.append((at - before).total_seconds())
        before = at
    return found
