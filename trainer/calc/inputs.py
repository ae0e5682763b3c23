"""What a calculation declares of its inputs and quantities, and the check of a value against it.

Input, Quantity   one line each: name, symbol, unit, meaning
Shop, Same        a default taken from the shop standard, or from another input
checked           a value as the formula takes it, or a Refusal; allowed: what an input takes, in words
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Final

from trainer.calc import notation
from trainer.calc.entries import EARLIEST, JOINTS, LATEST, Part, entry_of
from trainer.calc.openings import Flue
from trainer.calc.units import UNITS
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
        return _joined(_figures(value), _unit_words(unit))
    text = str(value)
    shown = repr(text if len(text) <= 40 else text[:37] + "...")
    return Text(en=shown, es=shown)


def _figures(value: float) -> str:
    """The number in figures that can be typed: never 2e-05."""
    short = f"{value:g}"
    return notation.write_number(value, 6) if "e" in short else short


def _joined(figures: str, words: Text) -> Text:
    return Text(en=f"{figures} {words.en}".strip(), es=f"{figures} {words.es}".strip())


def _unit_words(unit: str) -> Text:
    return UNITS[unit].many if unit in UNITS else Text(en=unit, es=unit)


FLUE_EXAMPLES: Final = {
    "outside": Text(
        en='an outside size such as "13 x 13 in" or "10 in dia"; "10 in ID" for a round tile by its inside',
        es='una medida exterior como "13 x 13 in" o "10 in diám"; "10 in ID" si un tubo redondo se mide por dentro',
    ),
    "inside": Text(
        en='an inside size such as "11 1/4 x 11 1/4 in" or "10 in dia"; "11 3/4 in OD" for a round tile by its outside',
        es='una medida interior como "11 1/4 x 11 1/4 in" o "10 in diám"; "11 3/4 in OD" si un tubo redondo se mide por '
        "fuera",
    ),
    "name": Text(
        en='the size a tile is called by such as "13 x 13 in" or "10 in dia"',
        es='la medida con que se nombra el tubo como "13 x 13 in" o "10 in diám"',
    ),
}


def allowed(each: Input) -> Text:
    """What an input takes, in words."""
    if each.kind == "choice":
        en, es = (
            ", ".join(
                each.words[one].in_language(language) if one in each.words else one for one in each.choices
            )
            for language in ("en", "es")
        )
        return Text(en=f"one of {en}", es=f"uno de {es}")
    if each.kind == "date":
        return Text(
            en=f"year-month-day such as 2026-11-25, {EARLIEST} to {LATEST}",
            es=f"año-mes-día como 2026-11-25, de {EARLIEST} a {LATEST}",
        )
    if each.parts:
        ranges = [_range(part.low, part.high, part.unit) for part in each.parts]
        en, es = (
            "; ".join(dict.fromkeys(one.in_language(language) for one in ranges)) for language in ("en", "es")
        )
        return Text(en=f'for example "{each.example}" ({en})', es=f'por ejemplo "{each.example}" ({es})')
    if each.kind == "flue":
        low, high = f"{each.low:g}", f"{each.high:g} {each.unit}".strip()
        example = FLUE_EXAMPLES[each.measured]
        return Text(
            en=f"{example.en}, each side {low} to {high}",
            es=f"{example.es}, cada lado de {low} a {high}",
        )
    return _range(each.low, each.high, each.unit)


def _range(low: float, high: float, unit: str) -> Text:
    words = _unit_words(unit)
    return Text(
        en=f"{_figures(low)} to {_figures(high)} {words.en}".strip(),
        es=f"de {_figures(low)} a {_figures(high)} {words.es}".strip(),
    )
