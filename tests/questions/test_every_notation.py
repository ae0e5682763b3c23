"""Every number question of the bank, over many draws: the right answer in every notation is graded right, the same moved
by twice its tolerance is graded wrong, and each slip's value is graded wrong and named.

A fraction is written at the coarsest mark (1/16, 1/32, 1/64 … of an inch or unit) that stays within the tolerance, since a
person who rounds further than the question allows is wrong and should be told so. Metric figures are written to ten
figures. Five draws a question in the normal run, 200 under the marker `sweep`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

import pytest

from tests.shipped import shipped_bank
from trainer.calc.units import unit_named
from trainer.questions import Bank, Draw, draw, grade
from trainer.questions.drawn import DrawnSlip, Tolerance

BANK: Bank = shipped_bank()
NUMBERS = [one.id for one in BANK.questions.values() if one.kind in ("number", "linked")]
FEW, MANY = range(5), range(1000, 1200)

# NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B.8: what one of the unit is in metric units.
METRIC: dict[str, tuple[tuple[str, float], ...]] = {
    "in": (("mm", 25.4), ("cm", 2.54), ("m", 0.0254)),
    "ft": (("m", 0.3048), ("mm", 304.8)),
    "in2": (("cm2", 6.4516),),
    "ft2": (("m2", 0.09290304),),
    "ft3": (("m3", 0.028316846592), ("L", 28.316846592)),
    "yd3": (("m3", 0.764554857984),),
    "gal": (("L", 3.785411784),),
    "lb": (("kg", 0.45359237),),
    "psi": (("MPa", 0.006894757293168),),
    "ug/m3": (("mg/m3", 0.001),),
    "day": (("hours", 24.0), ("semanas", 1 / 7)),
}
# How a plain decimal may carry its unit, in both languages.
WORDS: dict[str, tuple[str, ...]] = {
    "in": ("{} in", '{}"', "{}″", "{} inches", "{} pulg", "{} pulgadas"),
    "ft": ("{} ft", "{}'", "{}′", "{} feet", "{} pies"),
    "in2": ("{} in2", "{} in²", "{} sq in", "{} pulgadas cuadradas"),
    "ft2": ("{} ft2", "{} ft²", "{} sq ft", "{} pies cuadrados"),
    "ft3": ("{} ft3", "{} ft³", "{} cu ft", "{} pies cúbicos"),
    "yd3": ("{} yd3", "{} cu yd", "{} yardas cúbicas"),
    "lb": ("{} lb", "{} pounds", "{} libras"),
    "gal": ("{} gal", "{} gallons", "{} galones"),
    "count": ("{}", "{} bags", "{} sacos", "{} pieces", "{} varillas"),
    "percent": ("{} %", "{}%", "{} percent", "{} por ciento"),
    "degree": ("{}°", "{} degrees", "{} grados"),
    "in/ft": ("{} in per ft", "{} in 12", "{} en 12", "{} in/ft"),
    "psi": ("{} psi",),
    "cfm": ("{} cfm",),
    "day": ("{} days", "{} días"),
    "ug/m3": ("{} ug/m3",),
}
FRACTIONAL = ("in", "ft", "in/ft", "")
FINEST = 4096
# Two slips may lie little more than a tolerance apart, and the nearer is named: a fraction keeps within a hundredth.
NEAR = 0.01


def figures(value: float, digits: int = 10) -> str:
    """A plain decimal of so many figures, never with an exponent."""
    places = max(0, digits - 1 - math.floor(math.log10(abs(value)))) if value else 0
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def mark(value: float, reach: float) -> Fraction:
    """`value` at the coarsest mark from a sixteenth down that lies within `reach` of it."""
    part = 16
    while part < FINEST and abs(round(value * part) / part - value) > reach * 0.999:
        part *= 2
    return Fraction(round(value * part), part)


def mixed(value: Fraction, joint: str = " ") -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole}{joint}{rest}" if whole else str(rest)


def notations(value: float, unit: str, tolerance: Tolerance) -> Iterator[str]:
    """`value` [unit] as people type it, each within the tolerance."""
    reach = tolerance.reach(value)
    if unit_named(unit).kind == "count":
        whole = round(value)
        yield from (f"{whole:,}", *(each.format(whole) for each in WORDS["count"]))
        return
    decimal = figures(value)
    whole, _, part = decimal.partition(".")
    yield decimal
    yield f"{int(whole):,}" + (f".{part}" if part else "")
    yield f" {decimal} "
    yield from (each.format(decimal) for each in WORDS.get(unit, ()))
    for metric, factor in METRIC.get(unit, ()):
        yield f"{figures(value * factor)} {metric}"
    if unit in FRACTIONAL:
        at = mark(value, reach)
        yield mixed(at)
        if at > 1:
            yield mixed(at, "-")
        yield from (each.format(mixed(at)) for each in WORDS.get(unit, ())[:1])
    if unit in ("in", "ft"):
        inches = value * (12 if unit == "ft" else 1)
        yield figures(inches) + " in"
        yield figures(inches / 12) + " ft"
        at = mark(inches, reach * (12 if unit == "ft" else 1))
        feet, rest = divmod(at, 12)
        yield f"{mixed(at)} in"
        if feet:
            yield from (f"{feet}' {mixed(rest)}\"", f"{feet}'-{mixed(rest)}\"", f"{feet} ft {mixed(rest)} in")
            yield from (f"{feet}ft{figures(float(rest), 6)}in", f"{feet}′ {mixed(rest)}″")
            yield f"{feet} pies {mixed(rest)} pulgadas"


class Asked:
    """One number of a draw, whichever kind asks it; the other parts of a linked question are answered right."""

    def __init__(self, drawn: Draw, place: int) -> None:
        self.drawn, self.place = drawn, place
        one = drawn.body.parts[place] if drawn.kind == "linked" else drawn.body
        self.expected: float = one.expected
        self.unit: str = one.unit
        self.tolerance: Tolerance = one.tolerance
        self.slips: tuple[DrawnSlip, ...] = one.slips

    def said(self, typed: str, language: str = "en") -> tuple[str, str | None]:
        """(how the number is graded, the slip that is named)."""
        if self.drawn.kind == "number":
            found = grade(self.drawn, typed, language)
            return found.status, found.slip
        lines = self.drawn.answer(language).split("\n")
        lines[self.place] = typed
        found = grade(self.drawn, "\n".join(lines), language)
        if found.status == "unreadable":
            return found.status, None
        part = found.parts[self.place]
        return part.state, part.slip


def asked(question: str, seeds: range) -> Iterator[Asked]:
    for seed in seeds:
        drawn = draw(BANK.question(question), seed)
        yield from (Asked(drawn, place) for place in range(len(drawn.body.solved())))


def moved(one: Asked) -> list[float]:
    """The right answer moved by twice its tolerance, a whole one for a count; nothing that cannot be typed."""
    step = 1.0 if one.tolerance.kind == "exact" else 2 * one.tolerance.reach(one.expected)
    return [value for value in (one.expected + step, one.expected - step) if value >= 0]


def every_notation_is_right(question: str, seeds: range) -> None:
    for one in asked(question, seeds):
        for typed in notations(one.expected, one.unit, one.tolerance):
            for language in ("en", "es"):
                assert one.said(typed, language)[0] == "right", (one.drawn.seed, typed, one.expected)


def twice_the_tolerance_is_wrong(question: str, seeds: range) -> None:
    tried = 0
    for one in asked(question, seeds):
        counts = unit_named(one.unit).kind == "count"
        for value in moved(one):
            tried += 1
            typed = str(round(value)) if counts else figures(value)
            assert one.said(typed)[0] == "wrong", (one.drawn.seed, typed, one.expected)
    assert tried >= len(seeds)


def every_slip_is_wrong_and_named(question: str, seeds: range) -> None:
    for one in asked(question, seeds):
        counts = unit_named(one.unit).kind == "count"
        for slip in one.slips:
            if slip.value < 0 or (counts and not slip.value.is_integer()):
                continue  # nobody can type it as an answer
            typed = [str(round(slip.value)) if counts else figures(slip.value)]
            if one.unit in FRACTIONAL and one.unit != "in/ft":  # whose bare fractions are read as a pitch
                typed.append(mixed(mark(slip.value, min(one.tolerance.reach(slip.value), NEAR))))
            for each in typed:
                assert one.said(each) == ("wrong", slip.id), (one.drawn.seed, each, slip.id, one.expected)


@pytest.mark.parametrize("question", NUMBERS)
def test_the_right_answer_in_every_notation_is_right(question: str) -> None:
    every_notation_is_right(question, FEW)


@pytest.mark.parametrize("question", NUMBERS)
def test_twice_the_tolerance_off_is_wrong(question: str) -> None:
    twice_the_tolerance_is_wrong(question, FEW)


@pytest.mark.parametrize("question", NUMBERS)
def test_every_slip_is_wrong_and_named(question: str) -> None:
    every_slip_is_wrong_and_named(question, FEW)


@pytest.mark.sweep
@pytest.mark.parametrize("question", NUMBERS)
def test_two_hundred_draws(question: str) -> None:
    every_notation_is_right(question, MANY)
    twice_the_tolerance_is_wrong(question, MANY)
    every_slip_is_wrong_and_named(question, MANY)


def test_the_table_covers_every_unit_that_the_bank_asks_in() -> None:
    units = {solved.unit for id in NUMBERS for solved in draw(BANK.question(id), 0).body.solved()}
    assert units <= {*WORDS, ""}
