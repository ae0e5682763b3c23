"""The take-offs that the shop kept."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.errors import UnknownName
from trainer.records.actors import Actor
from trainer.records.jobs import NO_JOB, may_change
from trainer.records.models import Job, Person
from trainer.records.queries.paging import slice_of
from trainer.records.queries.rows import JobRow, Page


def jobs(session: Session, actor: Actor, page: int = 1, per_page: int = 50) -> Page[JobRow]:
    """Every kept job, newest first; anyone of the shop may see them."""
    rows, page, pages, total = slice_of(session, _kept().order_by(Job.id.desc()), page, per_page)
    return Page(tuple(_row(actor, job, name) for job, name in rows), page, pages, total)


def job(session: Session, actor: Actor, job_id: int) -> JobRow:
    """One kept job. Raises UnknownName when there is none, or it was removed."""
    found = session.execute(_kept().where(Job.id == job_id)).one_or_none()
    if found is None:
        raise UnknownName(NO_JOB)
    row, name = found
    return _row(actor, row, name)


def _kept() -> Select[Job, str]:
    return select(Job, Person.name).join(Person, Person.id == Job.by_id).where(Job.removed_at.is_(None))


def _row(actor: Actor, row: Job, name: Any) -> JobRow:
    return JobRow(
        row.id,
        row.title,
        row.texts,
        tuple(row.parts),
        name,
        row.at,
        row.changed_at,
        may_change(actor, row.by_id),
    )
