"""Values as they lie in the store: of tens of thousands of rows, each different value is turned into its Python form once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, tzinfo
from functools import reduce
from typing import Any

from sqlalchemy import ColumnElement, Dialect, String, Text, cast, type_coerce
from sqlalchemy.orm import InstrumentedAttribute

from trainer.clearance.memo import Memo
from trainer.records.models.base import Moment


def raw(column: InstrumentedAttribute[Any]) -> ColumnElement[Any]:
    """A time as it lies in the store; `Times` reads it."""
    return type_coerce(column, String)


def together(*columns: InstrumentedAttribute[Any]) -> ColumnElement[str]:
    """Values of JSON in one text, a line for each; JSON as it is written holds no line's end."""
    first, *others = [cast(column, Text) for column in columns]
    return reduce(lambda text, column: text + "\n" + column, others, first)


class Times:
    """moments, days: by a time as it lies in the store, the moment and its day in the shop's zone."""

    def __init__(self, dialect: Dialect, zone: tzinfo) -> None:
        processor = Moment().dialect_impl(dialect).result_processor(dialect, None)
        assert processor is not None
        moment: Callable[[Any], Any] = processor
        self.zone = zone
        self.moments: Memo[Any, datetime] = Memo(moment)
        self.days: Memo[Any, date] = Memo(self._day)
        self._hours: Memo[str, date | None] = Memo(self._day_of_hour)

    def _day(self, raw: Any) -> date:
        """The day in the shop's zone; a time that lies in the store as a text is mostly known by its hour."""
        day = self._hours[raw[:13]] if isinstance(raw, str) else None
        return day or self.moments[raw].astimezone(self.zone).date()

    def _day_of_hour(self, hour: str) -> date | None:
        """The day of all times within an hour such as "2026-11-25 15"; None when the day or the zone changes within it."""
        first = self.moments[f"{hour}:00:00.000000"].astimezone(self.zone)
        last = self.moments[f"{hour}:59:59.999999"].astimezone(self.zone)
        same = first.date() == last.date() and first.utcoffset() == last.utcoffset()
        return first.date() if same else None
