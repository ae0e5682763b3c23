"""A table's rows as lines of CSV, a batch at a time, so that a large table needs no more memory than a small one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from sqlalchemy.orm import Session

from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_owner, need_reviewer
from trainer.records.cells import lines
from trainer.records.exports.export import Export
from trainer.records.exports.tables import TABLES
from trainer.records.models import Paper
from trainer.records.queries.paper_rows import paper_query, paper_rows
from trainer.records.review import sitting

BATCH: Final = 200
SCORED: Final = ("questions", "answered", "hints", "percent", "passed", "late")


def offered(actor: Actor) -> tuple[Export, ...]:
    """The tables that this person may have."""
    need_reviewer(actor)
    return tuple(one for one in TABLES if not one.alone and (actor.is_owner or not one.owner))


def columns(table: Export) -> list[str]:
    """The names of the table's columns, in order."""
    names = [column.key or column.name for column in table.query.selected_columns]
    return [*names, *SCORED] if table.scored else names


def csv_lines(session: Session, actor: Actor, name: str) -> Iterator[str]:
    """The lines of one table, heading first. Raises NotAllowed, UnknownName, before anything is read.

    Papers of a quiz that the person has still to sit are left out, with all that belongs to them.
    """
    return _lines(session, need_table(actor, name), actor)


def need_table(actor: Actor, name: str) -> Export:
    """The table of that name. Raises NotAllowed when this person may not have it, UnknownName."""
    need_reviewer(actor)
    table = next((one for one in TABLES if one.name == name and not one.alone), None)
    if table is None:
        raise UnknownName(Text(en="There is no such table.", es="No existe esa tabla."))
    if table.owner:
        need_owner(actor)
    return table


def every_line(session: Session, table: Export) -> Iterator[tuple[str, int]]:
    """(lines, how many rows they are) of the whole table, for the archive."""
    return _batches(session, table, None)


def _lines(session: Session, table: Export, actor: Actor) -> Iterator[str]:
    for text, _rows in _batches(session, table, actor):
        yield text


def _batches(session: Session, table: Export, actor: Actor | None) -> Iterator[tuple[str, int]]:
    yield lines([columns(table)]), 0
    query = table.query
    if actor is not None and table.quiz is not None:
        query = query.where(table.quiz.not_in(sitting(actor)))
    found = session.execute(query.execution_options(yield_per=BATCH))
    for rows in found.partitions():
        yield lines(_scored(session, rows) if table.scored else rows), len(rows)


def _scored(session: Session, rows: Sequence[Any]) -> list[list[Any]]:
    """The rows of papers with their scores as they hold now."""
    papers = session.execute(paper_query().where(Paper.id.in_([row.id for row in rows]))).all()
    scored = {one.id: one for one in paper_rows(session, papers)}
    return [[*row, *(getattr(scored[row.id], name) for name in SCORED)] for row in rows]
