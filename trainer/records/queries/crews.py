"""Crews with the people in them: two statements for any number of crews."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.records.actors import Actor, need_reviewer
from trainer.records.crews import crew_of, mark
from trainer.records.models import Crew


@dataclass(frozen=True, slots=True)
class CrewRow:
    """A crew. people: ids, whoever has left among them"""

    id: int
    name: str
    people: frozenset[int]

    @property
    def mark(self) -> str:
        return mark(self.name, self.people)


def crews(session: Session, actor: Actor) -> tuple[CrewRow, ...]:
    """Every crew, by name."""
    need_reviewer(actor)
    query = select(Crew).options(selectinload(Crew.members)).order_by(Crew.name_key)
    return tuple(_row(crew) for crew in session.scalars(query))


def crew(session: Session, actor: Actor, crew_id: int) -> CrewRow:
    """One crew. Raises UnknownName."""
    need_reviewer(actor)
    return _row(crew_of(session, crew_id))


def _row(crew: Crew) -> CrewRow:
    return CrewRow(crew.id, crew.name, frozenset(crew.people))
