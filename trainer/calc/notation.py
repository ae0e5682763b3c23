"""Quantities as people type them, read strictly; and, from `writing`, as the trade writes them.

    read            "3 ft 6 1/2 in", "4-1/2", "115 mm", "9.5 ft³", "8 bolsas" → an exact value in the unit asked for
    read_size       "8 1/2 x 13 in" → two lengths
    read_flue       "13 x 13 in" or "10 in dia" → shape and sizes
    write, write_inches, write_number

Both languages' words are read whichever language is in use. The decimal mark is a point in both; a comma counts only
before groups of three digits. What can be taken two ways is refused with what would be read instead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NamedTuple

from trainer.calc.scan import Amount, Asked, first_number, fold, scan
from trainer.calc.spoken import figures
from trainer.calc.units import INCHES_PER_FOOT, KINDS, UNITS, convert, unit_meant, unit_named, unit_spelled
from trainer.calc.unreadable import LONGEST, unreadable
from trainer.calc.writing import FINEST, MINUS, exact, mixed, write, write_inches, write_number
from trainer.languages import Text

__all__ = [
    "Reading",
    "convert",
    "read",
    "read_flue",
    "read_size",
    "write",
    "write_inches",
    "write_number",
]

_ABOUT: Final = Text("about", "aprox.")
_IN_TWELVE: Final = Text("in 12", "en 12")
_TAPE_UNITS: Final = ("in", "ft")

_BETWEEN_SIZES: Final = re.compile(r"x| (?:by|por) ")
_DIAMETER: Final = re.compile(
    r"^(?:diameter|diametro|diam|dia)\b\.?|(?:de )?(?:diameter|diametro|diam|dia|round|redond[oa])\.?$"
)
# At which side of its wall a round tile was taken.
_SIDES: Final = {
    "inside": re.compile(r"\b(?:i\.?d\b\.?|inside|int(?:erior)?\b\.?|por dentro)"),
    "outside": re.compile(r"\b(?:o\.?d\b\.?|outside|ext(?:erior)?\b\.?|por fuera)"),
}

_RUN: Final = "12"
_OVER_LINE: Final = re.compile(r"([\d.,]+) */ *([\d.,]+)")
# What may stand between a rise and its run of 12: "6/12", "6:12", "6 in 12", "6 en 12", "6 in per 12 in".
_OVER_RUN: Final = re.compile(
    r"""(?:(?:in|inch|inches|pulg|pulgadas?|") ?)?(?:/|:|in|on|per|en|por|sobre) ?([\d.,]+) ?(?:in|inches|pulg|pulgadas|")?"""
)


class Part(NamedTuple):
    """One number of a reading in the unit it was typed in; fractional: typed with a fraction."""

    value: Fraction
    unit: str
    fractional: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read.

    value: exact, in `unit`; unit: the unit asked for; typed: the text as given
    parts: the numbers in the units they were typed in; pitch: typed as a rise in 12; minus: typed with one before
    """

    value: Fraction
    unit: str
    typed: str
    parts: tuple[Part, ...]
    pitch: bool = False
    minus: bool = False

    def shown(self, language: str = "en") -> str:
        """What was read, in the units typed; after it, in brackets, what it makes in the unit asked for."""
        sign = MINUS if self.minus and any(part.value for part in self.parts) else ""
        if self.pitch:
            return f"{sign}{_figures(self.parts[0])} {_IN_TWELVE.in_language(language)}"
        words = sign + " ".join(_part_shown(part, language) for part in self.parts)
        typed_in = self.parts[-1].unit
        on_the_tape = typed_in in _TAPE_UNITS and self.unit in _TAPE_UNITS
        if on_the_tape or typed_in == self.unit or UNITS[self.unit].kind == "count":
            return words
        made = write(self.value, self.unit, language)
        about = "" if _is_exact(self.value, self.unit) else f"{_ABOUT.in_language(language)} "
        return f"{words} ({about}{made})"

    def _negative(self) -> Reading:
        value = -self.value
        if (
            UNITS[self.unit].kind == "temperature"
        ):  # the scales' zeros differ: 11 °C under zero is 12.2 °F above it
            value = convert(-self.parts[0].value, self.parts[0].unit, self.unit)
        return Reading(value, self.unit, self.typed, self.parts, self.pitch, minus=True)


def read(text: str, unit: str, language: str = "en", *, signed: bool = False) -> Reading:
    """`text` as an exact value in `unit`, which is also what a bare number means.

    language: taken because every caller has one; words of both languages are read
    signed: whether a leading minus is taken
    Raises Unreadable with one sentence in both languages; UnknownName for a `unit` that is not in units.UNITS.
    """
    asked = Asked(text, unit_named(unit).name)
    folded = fold(_bounded(text, asked), asked)
    minus = folded.startswith("-")
    if minus:
        if not signed:
            raise unreadable("negative", *asked)
        folded = folded[1:].strip()
    folded = figures(folded)
    found = _read_slope(folded, asked) if unit == "in/ft" else _read_amounts(scan(folded, asked), asked)
    return found._negative() if minus else found


def read_size(text: str, unit: str = "in") -> tuple[Fraction, Fraction]:
    """ "8 1/2 x 13 in", "13 × 13", "8½ por 13 pulg" → length and width [unit], both over zero.

    A unit after the second size holds for the first too. Raises Unreadable.
    """
    asked = Asked(text, unit_named(unit).name)
    halves = [half.strip() for half in _BETWEEN_SIZES.split(fold(_bounded(text, asked), asked))]
    if len(halves) != 2 or not all(halves):
        raise unreadable("size", *asked)
    first, second = (scan(half, asked) for half in halves)
    if not second[-1].words and first[-1].words:
        if unit_spelled(first[-1].words) != unit:
            raise unreadable("size unit", *asked, instead=f"{halves[0]} x {halves[1]} {first[-1].words}")
    elif not first[-1].words:
        first = [*first[:-1], first[-1]._replace(words=second[-1].words)]
    length, width = (_read_amounts(amounts, asked).value for amounts in (first, second))
    if not (length and width):
        raise unreadable("size zero", *asked)
    return length, width


def read_flue(text: str) -> tuple[str, Fraction, Fraction]:
    """ "13 x 13 in" → ("rectangular", 13, 13); "10 in dia" or "10 in diám" → ("round", 10, 10); sizes [in].

    "10 in ID" and "11 3/4 in OD" say at which side a round one was taken: ("round inside", 10, 10) and so on.
    Raises Unreadable.
    """
    asked = Asked(text, "in")
    stripped = _bounded(text, asked)
    # Ø is what drawings put before a diameter.
    folded = fold(re.sub("[øØ⌀]", " dia ", stripped), asked).strip()
    side = next((side for side, words in _SIDES.items() if words.search(folded)), "")
    unsided = _SIDES[side].sub("", folded).strip() if side else folded
    if _BETWEEN_SIZES.search(unsided):
        if side:  # only of a round tile is it known how the inside and the outside go together
            raise unreadable("flue side", *asked)
        return ("rectangular", *read_size(text))
    marked = _DIAMETER.sub("", unsided).strip()
    if marked == folded:
        raise unreadable("flue", *asked)
    diameter = _read_amounts(scan(marked, asked), asked).value if marked else Fraction(0)
    if not diameter:
        raise unreadable("flue", *asked)
    return f"round {side}".strip(), diameter, diameter


def _bounded(text: str, asked: Asked) -> str:
    if len(text) > LONGEST:
        raise unreadable("long", *asked, length=len(text), longest=LONGEST)
    stripped = text.strip()
    if not stripped:
        raise unreadable("empty", *asked)
    return stripped


def _read_amounts(amounts: list[Amount], asked: Asked) -> Reading:
    """One number with its unit, or whole feet then inches, in the unit asked for."""
    if not amounts:
        raise unreadable("no number", *asked)
    parts = tuple(_part(amount, asked) for amount in amounts)
    last = parts[-1]
    value = last.value if len(parts) == 1 else _feet_then_inches(parts, amounts, asked)
    kind, wanted = UNITS[last.unit].kind, UNITS[asked.unit].kind
    if kind != wanted:
        raise unreadable("another kind", *asked, other=KINDS[kind].noun)
    if wanted == "count" and value.denominator != 1:
        below = int(value)
        either = Text(f"{below} or {below + 1}", f"{below} o {below + 1}")
        raise unreadable("not whole", *asked, instead=either)
    if last.unit != asked.unit:
        value = convert(value, last.unit, asked.unit)
    return Reading(value, asked.unit, asked.given, parts)


def _part(amount: Amount, asked: Asked) -> Part:
    if not amount.words:
        return Part(amount.value, asked.unit, amount.fractional)
    name = unit_spelled(amount.words)
    if name is None:
        raise unreadable("unit", *asked, words=amount.words)
    return Part(amount.value, unit_meant(name, asked.unit), amount.fractional)


def _feet_then_inches(parts: tuple[Part, ...], amounts: list[Amount], asked: Asked) -> Fraction:
    """The inches of whole feet then inches."""
    kinds = [KINDS[UNITS[part.unit].kind].noun for part in parts]
    for kind in kinds[1:]:
        if kind != kinds[0]:
            raise unreadable("mixed kinds", *asked, first=kinds[0], second=kind)
    feet, inches = parts[0], parts[1]
    if len(parts) == 2 and feet.unit == "ft" and not amounts[1].words:
        raise unreadable("unit missing", *asked, instead=f"{_figures(feet)} ft {_figures(inches)} in")
    if len(parts) != 2 or (feet.unit, inches.unit) != _TAPE_UNITS[::-1]:
        raise unreadable("two units", *asked)
    total = feet.value * INCHES_PER_FOOT + inches.value
    if feet.fractional or feet.value.denominator != 1:
        raise unreadable("feet not whole", *asked, instead=_length_shown(total))
    if inches.value >= INCHES_PER_FOOT:
        raise unreadable("inches over a foot", *asked, instead=_length_shown(total))
    return total


def _read_slope(folded: str, asked: Asked) -> Reading:
    """A rise in 12 ("6 in 12", "6/12", "6:12") or inches per foot; a bare number is inches per foot."""
    over_line = _OVER_LINE.fullmatch(folded)
    # "6/12" is a pitch, not a half: over 12, the number under the line is the run.
    if over_line and over_line.group(2) == _RUN:
        return _slope(scan(over_line.group(1), asked)[0].value, False, asked, pitch=True)
    begun = first_number(folded, asked)
    if begun is None:
        raise unreadable("no number", *asked)
    value, fractional, rest = begun
    # "1/4" is a quarter inch in a foot; "6/10" or "10/4" could be a rise over some other run.
    if over_line and (value >= 1 or FINEST % value.denominator):
        raise unreadable("run", *asked)
    if not rest or unit_spelled(rest) == "in/ft":
        return _slope(value, fractional, asked)
    over = _OVER_RUN.fullmatch(rest)
    if over is None:
        return _read_amounts(scan(folded, asked), asked)
    if over.group(1) != _RUN:
        raise unreadable("run" if over.group(1).strip("0.,") else "zero below", *asked)
    return _slope(value, fractional, asked, pitch=True)


def _slope(value: Fraction, fractional: bool, asked: Asked, pitch: bool = False) -> Reading:
    return Reading(value, asked.unit, asked.given, (Part(value, asked.unit, fractional),), pitch)


def _part_shown(part: Part, language: str) -> str:
    figures = _figures(part)
    return figures + UNITS[part.unit].written(figures, language)


def _figures(part: Part) -> str:
    """A fraction for what was typed as one and for tape sixteenths; else the decimal as typed."""
    on_the_tape = part.unit in (*_TAPE_UNITS, "in/ft") and FINEST % part.value.denominator == 0
    return mixed(part.value) if part.fractional or on_the_tape else exact(part.value)


def _length_shown(inches: Fraction) -> str:
    """Feet and inches with nothing rounded, for what would be read instead."""
    if FINEST % inches.denominator == 0:
        return write(inches, "in")
    feet, rest = divmod(inches, INCHES_PER_FOOT)
    return f"{feet} ft {exact(rest)} in"


def _is_exact(value: Fraction, unit: str) -> bool:
    """Whether `write` loses nothing of `value`."""
    if unit in _TAPE_UNITS:
        return (convert(value, unit, "in") * FINEST).denominator == 1
    return Fraction(write_number(value).replace(",", "").replace(MINUS, "-")) == value
