"""The cells of the board: thousands of them, of which few differ in more than whose they are."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any, Final

from markupsafe import Markup

from trainer.records.queries import BoardRow

SOMEONE: Final = "-someone-"  # stands for a person's number where a cell is made


class Cells:
    """Rows of cells. Each look of a cell is made once, and then only the person's number is put into it."""

    def __init__(self, doubts: Collection[tuple[int, str]] = ()) -> None:
        """doubts: (person, clearance) of the standings that are marked to be looked at again."""
        self._doubts = doubts
        self._made: dict[Any, tuple[str, str]] = {}

    def of(self, row: BoardRow, cell: Callable[..., str]) -> Markup:
        """The cells of one row. cell: from the place in the row, the standing, the person and the doubt to one cell."""
        number = str(row.person.id)
        parts: list[str] = []
        for place, standing in enumerate(row.standings):
            doubted = bool(self._doubts) and (row.person.id, standing.clearance) in self._doubts
            look = (place, standing.state, standing.until if standing.cleared else None, doubted)
            if look not in self._made:
                start, _, end = str(cell(place, standing, SOMEONE, doubted)).partition(SOMEONE)
                self._made[look] = start, end
            start, end = self._made[look]
            parts += (start, number, end)
        return Markup("".join(parts))
