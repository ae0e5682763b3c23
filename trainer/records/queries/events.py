"""The history, a page at a time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session, aliased

from trainer.records.actors import Actor, need_owner
from trainer.records.models import Event, Person
from trainer.records.queries.paging import slice_of
from trainer.records.queries.rows import EventRow, Page
from trainer.records.shop import zone_in_shop


def history(
    session: Session,
    actor: Actor,
    page: int = 1,
    per_page: int = 50,
    person_id: int | None = None,
    kind: str | None = None,
    days: tuple[date | None, date | None] = (None, None),
) -> Page[EventRow]:
    """Events, newest first. Owner only.

    person_id, kind: only those about the person, only those of the kind
    days: the first and the last day in the shop's zone, both included; None where it is open
    """
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
    query = query.where(*_within(session, *days))
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


def _within(session: Session, first: date | None, last: date | None) -> Iterator[ColumnElement[bool]]:
    """That an event was on one of these days in the shop's zone."""
    if first is not None and first.year > 1:  # no zone leads out of the calendar there
        yield Event.at >= datetime.combine(first, time(), zone_in_shop(session))
    if last is not None and last < date.max:
        yield Event.at < datetime.combine(last + timedelta(days=1), time(), zone_in_shop(session))
