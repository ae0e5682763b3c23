"""What the records held against the history are read with: a row, and columns as they lie in the store."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import Select, Text, cast
from sqlalchemy.orm import InstrumentedAttribute

from trainer.records.claim import Key


class Row(NamedTuple):
    kind: str
    key: Key
    fields: dict[str, Any]


# A statement, and what turns its rows into rows of which the history tells.
Table = tuple[Select[*tuple[Any, ...]], Callable[[Any], Iterator[Row]]]


def text_of(column: InstrumentedAttribute[Any]) -> Any:
    """A JSON column as text, so that one that is no JSON any more stops nothing."""
    return cast(column, Text)


def parsed(text: Any) -> Any:
    """What a JSON column holds; its text when that is no JSON."""
    try:
        return json.loads(text) if isinstance(text, str) else text
    except ValueError:
        return repr(text)


def iso(on: date | None) -> str | None:
    """A day as events write it."""
    return on.isoformat() if on else None
