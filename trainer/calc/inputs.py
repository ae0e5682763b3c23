"""What a calculation declares of its inputs and quantities, and the check of a value against it.

Input, Quantity   one line each: name, symbol, unit, meaning
Shop, Same        a default taken from the shop standard, or from another input
checked           a value as the formula takes it, or a Refusal
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Final

from trainer.calc import writing
from trainer.calc.allowed import allowed, unit_words
from trainer.calc.entries import EARLIEST, JOINTS, LATEST, Part, entry_of
from trainer.calc.openings import Flue
from trainer.errors import Refusal
from trainer.languages import Text

REQUIRED: Final = object()


@dataclass(frozen=True, slots=True)
class Shop:
    """A default taken from the shop standard's field of that name."""

    field: str


@dataclass(frozen=True, slots=True)
class Same:
    """A default equal to another input."""

    input: str


@dataclass(frozen=True, slots=True)
class Quantity:
    """One number, flag or text that a calculation puts on the board.

    kind: "number", "flag", "text" (text or `Text`), "date" or "list" (of numbers [unit], or of such lists)
    rounds: the quantity this one is the rounded-up form of, when it is
    words: what each value of a text is called in both languages, where it is a word
    """

    name: str
    symbol: str
    unit: str
    meaning: Text
    kind: str = "number"
    rounds: str | None = None
    words: Mapping[str, Text] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a calculation must be told.

    kind: "number" (in `unit`), "flue" (a `Flue`), "choice" (one of `choices`), "date", or an `Entry` of `parts`:
        "at" ("12 @ 42 in"), "ratio" ("1:2:3") or "size" ("4 x 8 ft"), for which `example` shows how it is typed
    words: what each choice is called in both languages, where it is a word
    default: a value, `Shop`, `Same`, None (may be left out) or REQUIRED
    low, high: the allowed range, both ends included [unit]
    many: takes a list of values
    measured: at which side of its wall a flue is meant: "outside" or "inside", or "name" where a tile is called by its
        outside if rectangular and by its inside if round
    """

    name: str
    symbol: str
    unit: str
    meaning: Text
    default: Any = REQUIRED
    low: float = 0.0
    high: float = 1e9
    kind: str = "number"
    choices: tuple[str, ...] = ()
    many: bool = False
    parts: tuple[Part, ...] = ()
    example: str = ""
    measured: str = "outside"
    words: Mapping[str, Text] = field(default_factory=dict)


def missing(each: Input) -> Refusal:
    """The sentence about an input that has no default and was not given."""
    return Refusal(
        Text(
            en="%(name)s (%(meaning)s) is missing; give %(allowed)s.",
            es="Falta %(name)s (%(meaning)s); dé %(allowed)s.",
        ),
        name=each.name,
        meaning=each.meaning,
        allowed=allowed(each),
    )


def checked(each: Input, value: Any) -> Any:
    """`value` as the formula takes it; Refusal names the input, what was given and what is allowed."""
    if each.kind == "choice":
        if value in each.choices:
            return value
    elif each.kind == "flue":
        if isinstance(value, Flue):
            if all(
                math.isfinite(side) and each.low <= side <= each.high for side in (value.length, value.width)
            ):
                return value
            value = str(value)
    elif each.kind == "date":
        if isinstance(value, date) and not isinstance(value, datetime) and EARLIEST <= value <= LATEST:
            return value
    elif each.parts:
        entry = entry_of(each.parts, value)
        if entry is not None:
            numbers = entry.numbers()
            if all(part.low <= numbers[part.name] <= part.high for part in each.parts):
                return entry
            value = JOINTS[each.kind].join(f"{number:g}" for number in numbers.values())
    elif isinstance(value, int | float) or hasattr(value, "numerator"):
        number = float(value)
        if not isinstance(value, bool) and math.isfinite(number) and each.low <= number <= each.high:
            return number
    raise Refusal(
        Text(
            en="%(name)s (%(meaning)s) cannot be %(value)s; give %(allowed)s.",
            es="%(name)s (%(meaning)s) no puede ser %(value)s; dé %(allowed)s.",
        ),
        name=each.name,
        meaning=each.meaning,
        value=_short(value, each.unit),
        allowed=allowed(each),
    )


def _short(value: Any, unit: str) -> Text:
    if isinstance(value, float):
        words = unit_words(unit)
        return Text(en=f"{_figures(value)} {words.en}".strip(), es=f"{_figures(value)} {words.es}".strip())
    text = str(value)
    shown = repr(text if len(text) <= 40 else text[:37] + "...")
    return Text(en=shown, es=shown)


def _figures(value: float) -> str:
    """The number in figures that can be typed: never 2e-05."""
    short = f"{value:g}"
    return writing.write_number(value, 6) if "e" in short else short
