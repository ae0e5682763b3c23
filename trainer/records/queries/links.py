"""The live private links, and what each shows without anyone signing in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session, joinedload

from trainer.clearance import Rules, Standing, standings
from trainer.records.actors import Actor, need_owner
from trainer.records.evidence import all_evidence, evidence_of
from trainer.records.links import CARD, is_live, opened
from trainer.records.models import Person, PrivateLink
from trainer.records.queries.person_rows import person_rows
from trainer.records.queries.rows import PersonRow
from trainer.records.rules import in_force
from trainer.records.shop import today_in_shop


@dataclass(frozen=True, slots=True)
class LinkRow:
    """A live link. use: what it shows, see `trainer.records.links`."""

    id: int
    use: str
    person_id: int
    person: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class CardView:
    """What a card shows: a name, a day, and the clearances in force on it."""

    name: str
    on: date
    cleared: tuple[Standing, ...]


@dataclass(frozen=True, slots=True)
class CardPage:
    """For the owner: who may get a card, with what is in force today; the live links."""

    people: tuple[tuple[PersonRow, CardView], ...]
    links: tuple[LinkRow, ...]


def links(session: Session, actor: Actor) -> tuple[LinkRow, ...]:
    """Every live link, newest first. Owner only."""
    need_owner(actor)
    return _links(session)


def own_links(session: Session, actor: Actor) -> tuple[LinkRow, ...]:
    """The actor's own live calendars, newest first."""
    return _links(session, PrivateLink.person_id == actor.id, PrivateLink.use != CARD)


def _links(session: Session, *where: ColumnElement[bool]) -> tuple[LinkRow, ...]:
    rows = session.scalars(
        select(PrivateLink)
        .join(Person, Person.id == PrivateLink.person_id)
        .where(*is_live(), *where)
        .options(joinedload(PrivateLink.person), joinedload(PrivateLink.by))
        .order_by(PrivateLink.id.desc())
    )
    return tuple(
        LinkRow(row.id, row.use, row.person_id, row.person.name, row.by.name, row.at) for row in rows
    )


def cards(session: Session, actor: Actor, now: datetime, rules: Rules) -> CardPage:
    """Everyone active with what their card would show today, and the live links. Owner only."""
    need_owner(actor)
    on, evidence = today_in_shop(session, now), all_evidence(session)
    rules = in_force(session, on, rules)
    people = tuple(
        (row, CardView(row.name, on, _cleared(standings(row.id, evidence[row.id], on, rules))))
        for row in person_rows(session, Person.left_at.is_(None), by_name=True)
    )
    return CardPage(people, _links(session))


def card(session: Session, now: datetime, key: str, rules: Rules) -> CardView | None:
    """What the card with this key shows today; None when there is no such live link."""
    link = opened(session, key, CARD)
    if link is None:
        return None
    on = today_in_shop(session, now)
    stands = standings(link.person.id, evidence_of(session, link.person.id), on, in_force(session, on, rules))
    return CardView(link.person.name, on, _cleared(stands))


def _cleared(stands: tuple[Standing, ...]) -> tuple[Standing, ...]:
    return tuple(one for one in stands if one.cleared)
