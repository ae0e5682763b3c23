"""The history, a page at a time."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from trainer.records.actors import Actor, need_owner
from trainer.records.models import Event, Person
from trainer.records.queries.paging import slice_of
from trainer.records.queries.rows import EventRow, Page


def history(
    session: Session,
    actor: Actor,
    page: int = 1,
    per_page: int = 50,
    person_id: int | None = None,
    kind: str | None = None,
) -> Page[EventRow]:
    """Events, newest first; of one person or of one kind when asked. Owner only."""
    need_owner(actor)
    by, about = aliased(Person), aliased(Person)
    query = (
        select(Event, by.name.label("by_name"), about.name.label("about_name"))
        .outerjoin(by, by.id == Event.actor_id)
        .outerjoin(about, about.id == Event.person_id)
        .order_by(Event.number.desc())
    )
    if person_id is not None:
        query = query.where(Event.person_id == person_id)
    if kind is not None:
        query = query.where(Event.kind == kind)
    rows, page, pages, total = slice_of(session, query, page, per_page)
    return Page(
        tuple(
            EventRow(event.number, event.at, event.kind, by_name, about_name, event.facts, event.hash)
            for event, by_name, about_name in rows
        ),
        page,
        pages,
        total,
    )
