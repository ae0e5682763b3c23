"""Parts of the board: who and what is asked for, what ends soon, and the board as a table of plain texts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import timedelta

from trainer.clearance import Standing
from trainer.records.cells import harmless
from trainer.records.queries.rows import Board, BoardRow, PersonRow


def part_of(
    board: Board, people: Iterable[PersonRow], *, clearance: str = "", cleared: bool | None = None
) -> Board:
    """The board of those people, and of that clearance alone when one is named.

    cleared: whether at least one of the standings that remain is, or is not
    """
    asked = {person.id for person in people}
    rows = []
    for row in board.rows:
        if row.person.id not in asked:
            continue
        standings = tuple(one for one in row.standings if not clearance or one.clearance == clearance)
        if cleared is None or any(one.cleared is cleared for one in standings):
            rows.append(BoardRow(row.person, standings))
    kept = tuple(one for one in board.clearances if not clearance or one.id == clearance)
    return replace(board, clearances=kept, rows=tuple(rows))


def ending(board: Board, days: int) -> tuple[tuple[BoardRow, Standing], ...]:
    """What stands on the day of the board and ends within so many days of it, the soonest first."""
    last = board.on + timedelta(days=min(days, (board.on.max - board.on).days))
    found = [
        (row, one)
        for row in board.rows
        for one in row.standings
        if one.cleared and one.until is not None and one.until <= last
    ]
    return tuple(sorted(found, key=lambda pair: (pair[1].until, pair[0].person.name.casefold())))


def table(board: Board, language: str) -> Iterator[list[str]]:
    """Rows of texts: a heading, then each person with the state on each clearance and the last good day, if any."""
    heading = ["Nombre" if language == "es" else "Name"]
    last = "hasta" if language == "es" else "until"
    for clearance in board.clearances:
        name = clearance.name.in_language(language)
        heading += [name, f"{name}: {last}"]
    yield [harmless(text) for text in heading]
    for row in board.rows:
        cells = [row.person.name]
        for one in row.standings:
            cells += [
                one.state_text.in_language(language),
                one.until.isoformat() if one.cleared and one.until else "",
            ]
        yield [harmless(text) for text in cells]
