"""Crews: making one, renaming it, and who is in it. An emptied crew keeps its name and is offered nowhere."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, checked_text, need_reviewer
from trainer.records.fingerprints import fingerprint
from trainer.records.models import Crew, CrewMember, Person
from trainer.records.submissions import ChangedMeanwhile

CREW_NAME = Text(en="The crew's name", es="el nombre de la cuadrilla")
MOST_LETTERS = 60


def make(session: Session, actor: Actor, now: datetime, *, name: str, people: Collection[int]) -> int:
    """Make a crew and return its id; the same once more, a form sent twice, makes none.

    Refusal on a missing or taken name, or a person who is not there.
    """
    need_reviewer(actor)
    named = checked_text(name, CREW_NAME, MOST_LETTERS)
    there = _named(session, named)
    if there is not None and (there.name, there.people) == (named, sorted(set(people))):
        return there.id
    crew = Crew(name=named, name_key=_free_key(session, named, None))
    crew.members = [CrewMember(person_id=id) for id in _known(session, people)]
    session.add(crew)
    session.flush()
    history.append(
        session, now, kind="crew made", actor_id=actor.id, crew=crew.id, name=named, people=crew.people
    )
    return crew.id


def change(
    session: Session,
    actor: Actor,
    now: datetime,
    crew_id: int,
    *,
    name: str,
    people: Collection[int],
    made_from: str | None = None,
) -> None:
    """Give the crew this name and exactly these people; nobody empties it.

    made_from: `mark` of what the form showed; ChangedMeanwhile when the crew is another by now
    """
    need_reviewer(actor)
    crew = crew_of(session, crew_id)
    named = checked_text(name, CREW_NAME, MOST_LETTERS)
    after = {"name": named, "people": sorted(set(people))}
    before = {"name": crew.name, "people": crew.people}
    if after == before:
        return
    if made_from is not None and made_from != mark(crew.name, crew.people):
        raise ChangedMeanwhile(
            Text(
                en="The crew was changed meanwhile: it is called %(name)s and has %(count)s people. Nothing was stored.",
                es="La cuadrilla cambió mientras tanto: se llama %(name)s y tiene %(count)s personas. No se guardó nada.",
            ),
            name=crew.name,
            count=len(crew.people),
        )
    crew.name_key, crew.name = _free_key(session, named, crew.id), named
    kept = set(_known(session, people))
    crew.members = [member for member in crew.members if member.person_id in kept] + [
        CrewMember(person_id=id) for id in sorted(kept - set(before["people"]))
    ]
    history.append(
        session, now, kind="crew changed", actor_id=actor.id, crew=crew.id, before=before, after=after
    )


def crew_of(session: Session, crew_id: int) -> Crew:
    """The crew with its people loaded. Raises UnknownName."""
    crew = session.scalars(
        select(Crew).where(Crew.id == crew_id).options(selectinload(Crew.members))
    ).one_or_none()
    if crew is None:
        raise UnknownName(Text(en="There is no such crew.", es="No existe esa cuadrilla."))
    return crew


def mark(name: str, people: Collection[int]) -> str:
    """A mark of a crew as a form shows it."""
    return fingerprint([name, sorted(people)])


def key(name: str) -> str:
    """The name as names of crews are compared."""
    return " ".join(name.split()).casefold()


def _named(session: Session, name: str) -> Crew | None:
    query = select(Crew).where(Crew.name_key == key(name)).options(selectinload(Crew.members))
    return session.scalars(query).one_or_none()


def _free_key(session: Session, name: str, of: int | None) -> str:
    there = _named(session, name)
    if there is not None and there.id != of:
        raise Refusal(
            Text(en="There is a crew called %(name)s.", es="Ya existe una cuadrilla llamada %(name)s."),
            name=there.name,
        )
    return key(name)


def _known(session: Session, people: Collection[int]) -> list[int]:
    """The people in order; whoever has left may stay in their crew. UnknownName for one who never was there."""
    found = session.scalars(select(Person.id).where(Person.id.in_(people)).order_by(Person.id)).all()
    if len(found) != len(set(people)):
        raise UnknownName(Text(en="There is no such person.", es="No existe esa persona."))
    return list(found)
