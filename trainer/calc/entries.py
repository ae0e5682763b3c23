"""Values of more than one number: pieces, timed samples, parts by volume, sizes; and dates.

Part        one number of an entry: its name, symbol, unit and range
Entry       the numbers by name: Entry(count=12.0, length=42.0)
read_entry  "12 @ 42 in", "6 h @ 55 F", "1:2:3", "4 x 8 ft" → an Entry
read_date   "2026-11-25" → a date
as_data     any value as plain data
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any, Final

from trainer.calc import notation
from trainer.calc.units import UNITS
from trainer.calc.unreadable import LONGEST, unreadable
from trainer.languages import Text, in_language

JOINTS: Final = {"at": " @ ", "ratio": ":", "size": " x "}
"""What stands between the numbers of an entry, by the input's kind."""

EARLIEST: Final = date(2000, 1, 1)
LATEST: Final = date(2099, 12, 31)

_DATE: Final = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")


@dataclass(frozen=True, slots=True)
class Part:
    """One number of an entry; low, high: its range, both ends included [unit]."""

    name: str
    symbol: str
    unit: str
    low: float = 0.0
    high: float = 1e9


class Entry:
    """Numbers that belong together, each an attribute, in the units their `Part`s declare."""

    def __init__(self, **numbers: Any) -> None:
        self.__dict__.update(numbers)

    def __getattr__(self, name: str) -> Any:  # only reached for a name that is no number of the entry
        raise AttributeError(f"the entry has no {name!r}")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Entry) and self.__dict__ == other.__dict__

    def __hash__(self) -> int:
        return hash(tuple(self.__dict__.items()))

    def __repr__(self) -> str:
        return f"Entry({', '.join(f'{name}={value!r}' for name, value in self.__dict__.items())})"

    def numbers(self) -> dict[str, Any]:
        return dict(self.__dict__)


def takes_minus(each: Any) -> bool:
    """Whether a number of this `Part` or `Input` may be typed with a minus: 0 °F is under zero in °C."""
    return each.low < 0 or UNITS[each.unit].kind == "temperature"


def entry_of(parts: Sequence[Part], value: Any) -> Entry | None:
    """`value`, an Entry or as many numbers as there are parts, as an Entry of plain floats; None when it is neither."""
    if isinstance(value, Entry):
        if [*value.numbers()] != [part.name for part in parts]:
            return None
        value = [*value.numbers().values()]
    if not isinstance(value, list | tuple) or len(value) != len(parts):
        return None
    if any(isinstance(one, bool) or not isinstance(one, int | float | Fraction) for one in value):
        return None
    return Entry(**{part.name: float(one) for part, one in zip(parts, value, strict=True)})


def read_entry(kind: str, parts: Sequence[Part], text: str, language: str = "en") -> Entry:
    """The numbers typed, exact, in the units of `parts`.

    kind: "at" (two numbers with @ between), "ratio" (numbers with : between) or "size" (two lengths)
    Raises Unreadable.
    """
    unit = parts[-1].unit
    if len(text) > LONGEST:
        raise unreadable("long", text, unit, length=len(text), longest=LONGEST)
    if kind == "size":
        return Entry(**dict(zip((part.name for part in parts), notation.read_size(text, unit), strict=True)))
    typed = text.split(JOINTS[kind].strip())
    if len(typed) != len(parts) or not all(one.strip() for one in typed):
        raise unreadable("at" if kind == "at" else "ratio", text, unit, numbers=len(parts))
    return Entry(
        **{
            part.name: notation.read(one, part.unit, language, signed=takes_minus(part)).value
            for part, one in zip(parts, typed, strict=True)
        }
    )


def read_date(text: str) -> date:
    """A day typed year-month-day. Raises Unreadable on any other order and on a day the calendar does not have."""
    found = _DATE.fullmatch(text.strip())
    if found is None:
        raise unreadable("date", text, "")
    try:
        return date(*map(int, found.groups()))
    except ValueError:
        raise unreadable("no such day", text, "") from None


def written_entry(kind: str, parts: Sequence[Part], entry: Entry, language: str = "en") -> str:
    """The entry as it is typed: "12 @ 3 ft 6 in", "6 hours @ 55 °F", "1:2:3", "4 x 8 ft"."""
    values = [(entry.numbers()[part.name], part.unit) for part in parts]
    if kind == "ratio":
        return JOINTS[kind].join(notation.write_number(value, 6) for value, _ in values)
    if kind == "size":
        last = notation.write_number(values[-1][0], 6) + f" {values[-1][1]}"
        return JOINTS[kind].join([*(notation.write_number(value, 6) for value, _ in values[:-1]), last])
    return JOINTS[kind].join(notation.write(value, unit, language) for value, unit in values)


def as_data(value: Any, language: str = "en") -> Any:
    """`value` as JSON holds it: an entry is an object of its numbers, a date is "2026-11-25", a list stays one."""
    if isinstance(value, Entry):
        return value.numbers()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return [as_data(one, language) for one in value]
    return in_language(value, language) if isinstance(value, Text) else value
