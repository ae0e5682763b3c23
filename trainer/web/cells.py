"""The cells of the board: thousands of them, of which few differ in more than whose they are."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import date

from markupsafe import Markup

from trainer.records.queries import BoardRow

SOMEONE, SOME_DAY = (
    "-someone-",
    "-some day-",
)  # stand for a person's number and a last day where a cell is made


class Cells:
    """Rows of cells. Each look of a cell is made once, and then only the person's number and the last day are put in."""

    def __init__(self, doubts: Collection[tuple[int, str]] = ()) -> None:
        """doubts: (person, clearance) of the standings that are marked to be looked at again."""
        self._doubts = doubts
        self._made: dict[tuple[int, str, bool], tuple[str, str, str]] = {}
        self._days: dict[date | None, str] = {None: ""}

    def of(self, row: BoardRow, cell: Callable[..., str], last_day: Callable[[date], str]) -> Markup:
        """The cells of one row.

        cell: from the place in the row, the standing, the person, the last day and the doubt to one cell
        last_day: from a day to what is said of it
        """
        number, made, days = str(row.person.id), self._made, self._days
        parts: list[str] = []
        for place, standing in enumerate(row.standings):
            doubted = bool(self._doubts) and (row.person.id, standing.clearance) in self._doubts
            look = (place, standing.state, doubted)
            if look not in made:
                start, _, rest = str(cell(place, standing, SOMEONE, SOME_DAY, doubted)).partition(SOMEONE)
                middle, _, end = rest.partition(SOME_DAY)
                made[look] = start, middle, end
            start, middle, end = made[look]
            last = standing.until if standing.cleared else None
            if last is not None and last not in days:
                days[last] = str(last_day(last))
            parts += (start, number, middle, days[last], end)
        return Markup("".join(parts))
