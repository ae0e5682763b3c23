"""Crews as they stand in the records."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any, Final

from sqlalchemy import select

from trainer.records.held_rows import Row, Table
from trainer.records.models import Crew, CrewMember


def _crews(rows: Any) -> Iterator[Row]:
    for (id, name), of_crew in groupby(rows, key=lambda row: tuple(row[:2])):
        people = sorted(row.person_id for row in of_crew if row.person_id is not None)
        yield Row("crew", (id,), {"name": name, "people": people})


DESK: Final[tuple[Table, ...]] = (
    (
        select(Crew.id, Crew.name, CrewMember.person_id)
        .outerjoin(CrewMember, CrewMember.crew_id == Crew.id)
        .order_by(Crew.id),
        _crews,
    ),
)
