"""Questions graded anew: who is told, which grants are in doubt, and which versions were asked."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime, timedelta
from typing import Any, Final

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session, aliased

from trainer.records.actors import Actor, need_reviewer, need_self_or_reviewer
from trainer.records.models import (
    Grant,
    GrantDoubt,
    Paper,
    PaperQuestion,
    Person,
    Quiz,
    Regrade,
    RegradedPaper,
    SentBack,
)
from trainer.records.queries.paging import slice_of
from trainer.records.queries.regrade_rows import AskedVersion, DoubtRow, RegradedRow, RegradeRow, SentBackRow
from trainer.records.queries.rows import Page

TOLD_FOR: Final = timedelta(days=14)  # how long a person's Today page tells of it; their record always does


def regraded_of(session: Session, person_id: int, since: datetime | None = None) -> tuple[RegradedRow, ...]:
    """What regrades did to one person's papers, newest first: one statement."""
    query = (
        select(
            RegradedPaper.paper_id,
            Quiz.title,
            PaperQuestion.position,
            Regrade.how,
            Regrade.reason,
            Person.name,
            Regrade.at,
            RegradedPaper.before,
            RegradedPaper.after,
            RegradedPaper.passed_before,
            RegradedPaper.passed_after,
        )
        .join(Regrade, Regrade.id == RegradedPaper.regrade_id)
        .join(Person, Person.id == Regrade.by_id)
        .join(Paper, Paper.id == RegradedPaper.paper_id)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(
            PaperQuestion,
            (PaperQuestion.paper_id == Paper.id)
            & (PaperQuestion.question == Regrade.question)
            & (PaperQuestion.version == Regrade.version),
        )
        .where(Paper.person_id == person_id)
        .order_by(RegradedPaper.id.desc())
    )
    if since is not None:
        query = query.where(Regrade.at >= since)
    return tuple(RegradedRow(*row) for row in session.execute(query))


def sent_back(session: Session, *where: ColumnElement[bool]) -> tuple[SentBackRow, ...]:
    """The papers sent back that the conditions hold for, oldest first: one statement."""
    rows = session.execute(
        select(SentBack.paper_id, SentBack.again_id, SentBack.reason, Person.name, SentBack.at)
        .join(Person, Person.id == SentBack.by_id)
        .join(Paper, Paper.id == SentBack.again_id)
        .where(*where)
        .order_by(SentBack.id)
    )
    return tuple(SentBackRow(*row) for row in rows)


def doubts(session: Session, actor: Actor) -> tuple[DoubtRow, ...]:
    """Every grant in doubt that no owner has looked at yet, by name: one statement."""
    need_reviewer(actor)
    return _doubts(session, GrantDoubt.settled_at.is_(None))


def doubts_of(session: Session, actor: Actor, person_id: int) -> tuple[DoubtRow, ...]:
    """Every doubt there ever was about one person's grants, the open ones first."""
    need_self_or_reviewer(actor, person_id)
    return _doubts(session, Grant.person_id == person_id)


def _doubts(session: Session, *where: ColumnElement[bool]) -> tuple[DoubtRow, ...]:
    settler = aliased(Person)
    rows = session.execute(
        select(
            GrantDoubt.id,
            Grant.id,
            Grant.person_id,
            Person.name,
            Grant.clearance,
            Regrade.question,
            Regrade.reason,
            GrantDoubt.at,
            GrantDoubt.settled_at,
            settler.name,
            GrantDoubt.settled_note,
        )
        .join(Grant, Grant.id == GrantDoubt.grant_id)
        .join(Person, Person.id == Grant.person_id)
        .join(Regrade, Regrade.id == GrantDoubt.regrade_id)
        .outerjoin(settler, settler.id == GrantDoubt.settled_by_id)
        .where(*where)
        .order_by(GrantDoubt.settled_at.is_not(None), func.lower(Person.name), GrantDoubt.id)
    )
    return tuple(DoubtRow(*row) for row in rows)


def asked_versions(session: Session, actor: Actor, question: str) -> tuple[AskedVersion, ...]:
    """The versions of a question that stand on papers, newest first."""
    need_reviewer(actor)
    rows = session.execute(
        select(
            PaperQuestion.version, func.count(Paper.id), func.count(Paper.id) - func.count(Paper.closed_at)
        )
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .where(PaperQuestion.question == question)
        .group_by(PaperQuestion.version)
        .order_by(PaperQuestion.version.desc())
    )
    return tuple(AskedVersion(*row) for row in rows)


def asked_questions(session: Session, actor: Actor) -> Collection[str]:
    """Every question that stands on a paper."""
    need_reviewer(actor)
    return tuple(session.scalars(select(PaperQuestion.question).distinct().order_by(PaperQuestion.question)))


def regrades(session: Session, actor: Actor, page: int = 1, per_page: int = 20) -> Page[RegradeRow]:
    """What was graded anew, newest first."""
    need_reviewer(actor)
    papers: Any = (
        select(func.count())
        .where(RegradedPaper.regrade_id == Regrade.id)
        .correlate(Regrade)
        .scalar_subquery()
    )
    query = (
        select(
            Regrade.id,
            Regrade.question,
            Regrade.version,
            Regrade.how,
            Regrade.reason,
            Person.name,
            Regrade.at,
            papers.label("papers"),
        )
        .join(Person, Person.id == Regrade.by_id)
        .order_by(Regrade.id.desc())
    )
    rows, page, pages, total = slice_of(session, query, page, per_page)
    return Page(tuple(RegradeRow(*row) for row in rows), page, pages, total)
