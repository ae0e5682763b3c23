"""Everything of one store into another, empty one: SQLite to PostgreSQL, back, or into a file to keep.

One transaction reads the source, so that it may be in use; one writes the target, so that it holds all or nothing.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Row, Table, delete, func, insert, select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from trainer.errors import StoreError
from trainer.records import history
from trainer.records.engine import store_url
from trainer.records.models import Base, HistoryHead, Shop
from trainer.records.schema import upgrade
from trainer.records.store import Store, open_store

BATCH: Final = 1000  # [rows] held in memory at once

Progress = Callable[[str, int, int], None]
"""Called with the table, the rows of it moved so far, and its rows in all."""


@dataclass(frozen=True, slots=True)
class Moved:
    """rows: by table; head: hash of the newest event, the same in both"""

    rows: dict[str, int]
    head: str


def move(source: str | Path, target: str | Path, progress: Progress = lambda *_: None) -> Moved:
    """Copy every row of the store `source` into the store `target`, which is made, and compare the two.

    Raises StoreError when the source cannot be read or its history does not hold, when the target holds a shop or
    cannot be written, or when the two differ afterwards; the target then holds nothing.
    """
    if store_url(source) == store_url(target):
        raise StoreError("the data is there already; name another place")
    opened = open_store(source)
    try:
        upgrade(target)
        receiving = open_store(target)
        try:
            return _move(opened, receiving, progress)
        finally:
            receiving.close()
    finally:
        opened.close()


def _move(source: Store, target: Store, progress: Progress) -> Moved:
    tables = Base.metadata.sorted_tables
    try:
        with source.read() as reading, target.write() as writing:
            if writing.get(Shop, 1) is not None:
                raise StoreError("there is a shop already where the data should go; name an empty place")
            for table in reversed(tables):
                writing.execute(delete(table))  # what a fresh store begins with
            rows = {table.name: _copy(reading, writing, table, progress) for table in tables}
            for table in tables:
                if contents(reading, table) != contents(writing, table):
                    raise StoreError(f"{table.name} is not the same in both; nothing was kept")
                _number_on(writing, table)
            found = history.verify(writing)
            if not found.ok:
                first = (*found.faults, *found.differences)[0]
                raise StoreError(f"the history does not hold: {first.sentence.en} Nothing was kept")
            head = writing.scalars(select(HistoryHead)).one_or_none()
            return Moved(rows, head.hash if head is not None else history.START)
    except DBAPIError as error:
        raise StoreError(f"the data could not be moved: {error.orig}; nothing was kept") from error


def _copy(reading: Session, writing: Session, table: Table, progress: Progress) -> int:
    total = reading.execute(select(func.count()).select_from(table)).scalar_one()
    done = 0
    progress(table.name, done, total)
    for batch in _rows(reading, table).partitions(BATCH):
        writing.execute(insert(table), [dict(row._mapping) for row in batch])
        done += len(batch)
        progress(table.name, done, total)
    return done


def _rows(session: Session, table: Table) -> Any:
    """Every row, in the same order in every store."""
    ordered = select(table).order_by(*table.primary_key.columns)
    return session.execute(ordered, execution_options={"yield_per": BATCH})


def contents(session: Session, table: Table) -> str:
    """SHA-256 over every value of a table, the same for equal contents in every kind of store."""
    digest = hashlib.sha256()
    for row in _rows(session, table):
        digest.update(_plain(row).encode())
    return digest.hexdigest()


def _plain(row: Row[Any]) -> str:
    return json.dumps([v.hex() if isinstance(v, bytes) else v for v in row], default=str, sort_keys=True)


def _number_on(session: Session, table: Table) -> None:
    """PostgreSQL gives new numbers by a counter of its own, which rows that came with a number do not move."""
    key = table.autoincrement_column
    if session.get_bind().dialect.name != "postgresql" or key is None:
        return
    counter = func.pg_get_serial_sequence(table.name, key.name)
    if session.execute(select(counter)).scalar_one() is not None:
        newest = select(func.max(key)).scalar_subquery()
        session.execute(select(func.setval(counter, func.coalesce(newest, 1), newest.is_not(None))))
