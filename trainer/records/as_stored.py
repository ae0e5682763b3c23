"""Values as they lie in the store: of tens of thousands of rows, each different value is turned into its Python form once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date, datetime, tzinfo
from functools import lru_cache
from typing import Any

from sqlalchemy import ColumnElement, Connection, Dialect, Select, String, true, type_coerce
from sqlalchemy.orm import InstrumentedAttribute

from trainer.clearance.memo import Memo
from trainer.records.models.base import Moment


def raw(column: InstrumentedAttribute[Any]) -> ColumnElement[Any]:
    """A time or a date as it lies in the store; `Times` reads it."""
    return type_coerce(column, String)


def rows_of(connection: Connection, statement: Select[Any]) -> Sequence[Any]:
    """All rows as the store gives them, for columns of whole numbers, texts and truths: one of these may be 0 or 1."""
    result = connection.execute(statement)
    rows = result.cursor.fetchall()
    result.close()
    return rows


def only(column: InstrumentedAttribute[int], people: Collection[int] | None) -> ColumnElement[bool]:
    """Of these people. people: their ids; None for everyone"""
    return true() if people is None else column.in_(people)


class Times:
    """Times as they lie in the store: `moment` and `day`, in the shop's zone, are functions of one; `date` is one of a date.

    Where the store keeps times as texts, as SQLite does, the day is mostly known by the hour.
    """

    def __init__(self, dialect: Dialect, zone: tzinfo) -> None:
        processor: Callable[[Any], Any] | None = (
            Moment().dialect_impl(dialect).result_processor(dialect, None)
        )
        assert processor is not None
        self._zone, as_texts = zone, dialect.name == "sqlite"
        self._hours: Memo[str, date | None] = Memo(lambda hour: _day_of_hour(hour, zone))
        self.moment: Callable[[Any], datetime] = _moment_in if as_texts else processor
        self.day: Callable[[Any], date] = self._day_in if as_texts else self._day
        dates: Memo[Any, Any] = Memo(date.fromisoformat if as_texts else lambda found: found)
        dates[None] = None
        self.date: Callable[[Any], Any] = dates.__getitem__

    def _day(self, raw: Any) -> date:
        return self.moment(raw).astimezone(self._zone).date()

    def _day_in(self, raw: str) -> date:
        return self._hours[raw[:13]] or self._day(raw)


@lru_cache(maxsize=100_000)  # hours of more than ten years
def _day_of_hour(hour: str, zone: tzinfo) -> date | None:
    """The day of all times within an hour such as "2026-11-25 15"; None when the day or the zone changes within it."""
    first = _moment_in(f"{hour}:00:00.000000").astimezone(zone)
    last = _moment_in(f"{hour}:59:59.999999").astimezone(zone)
    same = first.date() == last.date() and first.utcoffset() == last.utcoffset()
    return first.date() if same else None


def _moment_in(text: str) -> datetime:
    return datetime.fromisoformat(text + "+00:00")
