"""Rows of people: one statement for any number of them."""

from __future__ import annotations

from itertools import groupby

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.models import EntryCode, Person, PersonRole
from trainer.records.queries.rows import PersonRow


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
        )
        .outerjoin(PersonRole, PersonRole.person_id == Person.id)
        .where(*where)
        .order_by(*active_first, func.lower(Person.name), Person.id)
    )
    return tuple(
        PersonRow(
            *first[:4],
            frozenset({first.role, *(row.role for row in more)} - {None}),
            *first[4:8],
            first.email,
        )
        for first, *more in (list(rows) for _, rows in groupby(found, key=lambda row: row.id))
    )


def person_row(session: Session, person_id: int) -> PersonRow:
    """One person. Raises UnknownName."""
    rows = person_rows(session, Person.id == person_id)
    if not rows:
        raise UnknownName(Text(en="There is no such person.", es="No existe esa persona."))
    return rows[0]
