"""A file of people, one a line: read, checked line by line, and stored as a whole or not at all.

The columns are name and sign-in; role, language, e-mail and crew may follow, in any order, under English or Spanish
headings. Commas, semicolons or tabs part them. Nothing of the file is trusted: it is bounded, must be text in UTF-8, and
a cell that a spreadsheet would take for a formula is refused, as it would come out of the records as one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import crews, emails, people
from trainer.records.actors import Actor, need_owner
from trainer.records.models import Crew, Person
from trainer.records.people_lines import MOST_BYTES, MOST_PEOPLE, Line, decoded, read_lines, readable


@dataclass(frozen=True, slots=True)
class Checked:
    lines: tuple[Line, ...]

    @property
    def new(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if not line.there and line.wrong is None)

    @property
    def wrong(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.wrong is not None)


__all__ = ["MOST_BYTES", "Checked", "Entered", "check", "decoded", "enter"]


@dataclass(frozen=True, slots=True)
class Entered:
    """A person just added; the code is shown once."""

    person_id: int
    name: str
    sign_in: str
    code: str


def check(session: Session, actor: Actor, text: str, language: str) -> Checked:
    """What each line would do; nothing is stored. language: of whoever's line names none.

    Refusal when the file as a whole cannot be read: no heading, no people, too many.
    """
    need_owner(actor)
    if len(text.encode()) > MOST_BYTES:
        raise Refusal(
            Text(
                en="That is more than %(most)s KB; give at most %(people)s people.",
                es="Son más de %(most)s KB; dé %(people)s personas como máximo.",
            ),
            most=MOST_BYTES // 1024,
            people=MOST_PEOPLE,
        )
    lines = read_lines(readable(text), language)
    known = {
        person.sign_in: person
        for person in session.scalars(
            select(Person)
            .where(Person.sign_in.in_([line.sign_in for line in lines]))
            .options(selectinload(Person.roles))
        )
    }
    seen: dict[str, int] = {}
    checked = []
    for line in lines:
        first = seen.setdefault(line.sign_in, line.number)
        checked.append(_judged(line, known.get(line.sign_in), first))
    return Checked(tuple(checked))


def enter(session: Session, actor: Actor, now: datetime, text: str, language: str) -> tuple[Entered, ...]:
    """Add everyone who is not there yet: all, or on any mistake nobody. Raises Refusal, naming the first line."""
    found = check(session, actor, text, language)
    if found.wrong:
        first = found.wrong[0]
        raise Refusal(
            Text(
                en="Nobody was added. Line %(line)s: %(why)s",
                es="No se agregó a nadie. Línea %(line)s: %(why)s",
            ),
            line=first.number,
            why=Text(
                en=first.wrong.in_language("en") if first.wrong else "",
                es=first.wrong.in_language("es") if first.wrong else "",
            ),
        )
    entered = []
    for line in found.new:
        new = people.add_person(
            session,
            actor,
            now,
            name=line.name,
            sign_in=line.sign_in,
            roles=line.roles,
            language=line.language,
        )
        if line.email:
            emails.set_email(session, actor, now, new.person_id, line.email)
        if line.crew:
            _join(session, actor, now, line.crew, new.person_id)
        entered.append(Entered(new.person_id, line.name, line.sign_in, new.code))
    return tuple(entered)


def _join(session: Session, actor: Actor, now: datetime, crew: str, person_id: int) -> None:
    there = session.scalars(
        select(Crew).where(Crew.name_key == crews.key(crew)).options(selectinload(Crew.members))
    ).one_or_none()
    if there is None:
        crews.make(session, actor, now, name=crew, people=[person_id])
    else:
        crews.change(session, actor, now, there.id, name=there.name, people=[*there.people, person_id])


def _judged(line: Line, there: Person | None, first: int) -> Line:
    """The line beside the others, and beside whoever has this sign-in already."""
    if line.wrong is not None:
        return line
    if first != line.number:
        said = Text(
            en="The sign-in %(sign_in)s stands in line %(first)s already.",
            es="El usuario %(sign_in)s ya está en la línea %(first)s.",
        )
        return replace(line, wrong=Refusal(said, sign_in=line.sign_in, first=first))
    if there is None:
        return line
    if there.active and there.name == line.name and {one.role for one in there.roles} == set(line.roles):
        return replace(line, there=True)
    said = Text(
        en="The sign-in %(sign_in)s is taken: %(name)s.",
        es="El usuario %(sign_in)s ya está ocupado: %(name)s.",
    )
    return replace(line, wrong=Refusal(said, sign_in=line.sign_in, name=there.name))
