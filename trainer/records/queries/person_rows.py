"""Rows of people: one statement for any number of them."""

from __future__ import annotations

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session, joinedload

from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.models import EntryCode, Person
from trainer.records.queries.rows import PersonRow


def person_rows(session: Session, *where: ColumnElement[bool]) -> tuple[PersonRow, ...]:
    """People, the active first, by name."""
    code_until = (
        select(func.max(EntryCode.expires_at))
        .where(EntryCode.person_id == Person.id, EntryCode.used_at.is_(None))
        .scalar_subquery()
    )
    found = session.execute(
        select(Person, code_until)
        .where(*where)
        .options(joinedload(Person.roles))
        .order_by(Person.left_at.is_not(None), func.lower(Person.name), Person.id)
    ).unique()
    return tuple(
        PersonRow(
            person.id,
            person.name,
            person.sign_in,
            person.language,
            frozenset(role.role for role in person.roles),
            person.active,
            person.password_hash is not None,
            until,
        )
        for person, until in found
    )


def person_row(session: Session, person_id: int) -> PersonRow:
    """One person. Raises UnknownName."""
    rows = person_rows(session, Person.id == person_id)
    if not rows:
        raise UnknownName(Text(en="There is no such person.", es="No existe esa persona."))
    return rows[0]
