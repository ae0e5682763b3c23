"""Rows of people: one statement for any number of them."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from itertools import groupby
from operator import itemgetter

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from trainer.clearance.memo import Memo
from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.models import Crew, CrewMember, EntryCode, Person, PersonRole
from trainer.records.queries.rows import CrewName, PersonRow


def person_rows(
    session: Session, *where: ColumnElement[bool], by_name: bool = False
) -> tuple[PersonRow, ...]:
    """People by name, the active first unless `by_name` alone orders them."""
    code_until = (
        select(func.max(EntryCode.expires_at))
        .where(EntryCode.person_id == Person.id, EntryCode.used_at.is_(None))
        .scalar_subquery()
    )
    active_first = () if by_name else (Person.left_at.is_not(None),)
    found = session.execute(
        select(
            Person.id,
            Person.name,
            Person.sign_in,
            Person.language,
            Person.left_at.is_(None),
            Person.password_hash.is_not(None),
            code_until,
            Person.created_at,
            Person.email,
            PersonRole.role,
            Crew.id.label("crew"),
            Crew.name.label("crew_name"),
        )
        .outerjoin(PersonRole, PersonRole.person_id == Person.id)
        .outerjoin(CrewMember, CrewMember.person_id == Person.id)
        .outerjoin(Crew, Crew.id == CrewMember.crew_id)
        .where(*where)
        .order_by(*active_first, func.lower(Person.name), Person.id)
    )
    people: list[PersonRow] = []
    crew_names: Memo[tuple[int, str], CrewName] = Memo(lambda named: CrewName(*named))
    for _, same in groupby(found, key=itemgetter(0)):
        rows = list(same)
        id, name, sign_in, language, active, has_password, code, created_at, email, *_ = rows[0]
        roles = frozenset([role for *_, role, _, _ in rows if role is not None])
        crews = frozenset([crew_names[crew, called] for *_, crew, called in rows if crew is not None])
        people.append(
            PersonRow(
                id, name, sign_in, language, roles, active, has_password, code, created_at, email, crews
            )
        )
    return tuple(people)


def matching(
    people: Iterable[PersonRow], *, name: str = "", role: str = "", crew: Collection[int] | None = None
) -> tuple[PersonRow, ...]:
    """The people who are asked for. name: what a person's name holds; crew: ids of the only ones"""
    return tuple(
        person
        for person in people
        if name.casefold() in person.name.casefold()
        and (not role or role in person.roles)
        and (crew is None or person.id in crew)
    )


def crews_of(people: Iterable[PersonRow]) -> dict[CrewName, frozenset[int]]:
    """The crews of these people, by name, and who of them is in each."""
    found: dict[CrewName, set[int]] = {}
    for row in people:
        for crew in row.crews:
            found.setdefault(crew, set()).add(row.id)
    return {crew: frozenset(found[crew]) for crew in sorted(found, key=lambda one: one.name.casefold())}


def person_row(session: Session, person_id: int) -> PersonRow:
    """One person. Raises UnknownName."""
    rows = person_rows(session, Person.id == person_id)
    if not rows:
        raise UnknownName(Text(en="There is no such person.", es="No existe esa persona."))
    return rows[0]
