"""What holds for every calculation: finite results, one answer in either system of units, complete declarations."""

from __future__ import annotations

import math
import random
import re
from decimal import Decimal
from fractions import Fraction

import pytest

from trainer import calc
from trainer.calc import Flue, notation
from trainer.calc.allowed import allowed
from trainer.calc.sources import SOURCES
from trainer.calc.spec import REQUIRED
from trainer.calc.units import UNITS
from trainer.errors import Refusal

from . import draws

EVERY = pytest.mark.parametrize("name", calc.names())
FEWEST_TAKEN = 20

# The unit that the same number is typed in by someone with a metric tape; the rest are typed alike.
METRIC = {
    "in": "mm", "ft": "m", "in2": "cm2", "ft2": "m2", "ft3": "m3", "in3": "mL", "gal": "L", "floz": "mL", "lb": "kg",
    "lb/ft3": "kg/m3", "lb/ft": "kg/m", "lb/ft2": "kg/m2", "psi": "MPa", "ksi": "MPa", "degF": "degC", "deltaF": "degC",
    "1/degF": "per C", "mph": "km/h", "ug/m3": "mg/m3", "day": "hours", "hour": "min", "minute": "h",
}  # fmt: skip
SPELLED = {"deltaF": "deltaC", "1/degF": "1/degC", "day": "hour", "hour": "minute", "minute": "hour"}


def flat(value):
    if isinstance(value, list | tuple):
        return [leaf for one in value for leaf in flat(one)]
    return [value]


@EVERY
def test_any_result_is_finite(name):
    calculation, chance = calc.get(name), random.Random(f"finite {name}")
    taken = 0
    for _ in range(400):
        drawn = draws.inputs(chance, calculation)
        try:
            results = calc.evaluate(name, drawn).results
        except Refusal as refusal:
            assert refusal.in_language("en") and refusal.in_language("es")
            continue
        taken += 1
        for quantity in calculation.results:
            for leaf in flat(results[quantity.name]):
                if quantity.kind in ("number", "list"):
                    assert isinstance(leaf, int | float) and math.isfinite(leaf), (quantity.name, drawn)
                elif quantity.kind == "flag":
                    assert leaf in (True, False, None)
    assert taken >= FEWEST_TAKEN


def typed(value, unit: str, metric: bool) -> str:
    """One number as typed in inches and pounds, or in millimetres and kilograms."""
    exact = Fraction(value)
    if not metric or unit not in METRIC:
        return f"{decimals(exact)} {US.get(unit, unit)}".strip()
    there = notation.convert(exact, unit, SPELLED.get(unit, METRIC[unit]))
    return f"{decimals(there)} {METRIC[unit]}"


US = {
    "count": "",
    "percent": "%",
    "degree": "deg",
    "1/degF": "per F",
    "deltaF": "F",
    "degF": "F",
    "1/minute": "per min",
}


def decimals(exact: Fraction) -> str:
    """Every decimal there is, or the first twenty-eight figures."""
    return f"{Decimal(exact.numerator) / Decimal(exact.denominator):f}"


def texts(calculation, drawn, metric: bool):
    made = {}
    for name, value in drawn.items():
        each = calculation.input(name)
        many = value if each.many else [value]
        made[name] = [text(each, one, metric) for one in many] or ["none"]
    return made


def text(each, value, metric: bool) -> str:
    if isinstance(value, Flue):
        scale, unit = (Fraction(127, 5), "mm") if metric else (1, "in")
        length, width = (decimals(Fraction(side) * scale) for side in (value.length, value.width))
        return f"{length} {unit} dia" if value.shape == "round" else f"{length} x {width} {unit}"
    if each.kind in ("at", "ratio", "size"):
        halves = [typed(one, part.unit, metric) for one, part in zip(value, each.parts, strict=True)]
        if each.kind == "ratio":
            return ":".join(decimals(Fraction(one)) for one in value)
        return (" @ " if each.kind == "at" else " x ").join(halves)
    return str(value) if each.kind in ("choice", "date") else typed(value, each.unit, metric)


ENDLESS = {"degF", "deltaF", "1/degF", "psi", "ksi", "lb/ft3", "lb/ft2", "lb/ft"}
"""Units whose decimals have no end in metric: an end of the range cannot be typed exactly."""


def at_an_end(calculation, drawn) -> bool:
    for name, value in drawn.items():
        each = calculation.input(name)
        if each.unit in ENDLESS and not each.parts and value in (each.low, each.high):
            return True
        for entry in value if each.parts and each.many else ():
            if any(
                p.unit in ENDLESS and n in (p.low, p.high) for n, p in zip(entry, each.parts, strict=True)
            ):
                return True
    return False


@EVERY
def test_metric_and_inches_agree(name):
    calculation, chance = calc.get(name), random.Random(f"metric {name}")
    taken, metric_typed = 0, False
    for _ in range(120):
        drawn = draws.inputs(chance, calculation)
        answers = []
        for metric in (False, True):
            given = texts(calculation, drawn, metric)
            read = calc.read_inputs(name, given)
            try:
                answers.append(calc.evaluate(name, read).results)
            except Refusal:
                answers.append(None)
        metric_typed = metric_typed or texts(calculation, drawn, True) != texts(calculation, drawn, False)
        inches, millimetres = answers
        if at_an_end(calculation, drawn):
            continue
        assert (inches is None) == (millimetres is None), drawn
        if inches is None:
            continue
        taken += 1
        for result, value in inches.items():
            one, other = flat(value), flat(millimetres[result])
            assert len(one) == len(other)
            for a, b in zip(one, other, strict=True):
                if isinstance(a, float):
                    assert b == pytest.approx(a, rel=1e-9, abs=1e-9), (result, drawn)
                else:
                    assert a == b, (result, drawn)
    assert taken >= 10
    units = {each.unit for each in calculation.inputs} | {
        part.unit for each in calculation.inputs for part in each.parts
    }
    assert metric_typed == bool(units & METRIC.keys())


@EVERY
def test_declared_whole(name):
    calculation = calc.get(name)
    assert {*calculation.sources} <= SOURCES.keys() and calculation.sources
    assert calculation.title.en != calculation.title.es or name == "rebar.lap"
    assert calculation.purpose.en.endswith(".") and calculation.purpose.es.endswith(".")
    for each in calculation.inputs:
        assert each.unit in UNITS
        assert each.low < each.high or each.kind in ("choice", "date")
        if isinstance(each.default, float):
            assert each.low <= each.default <= each.high
        if each.default is REQUIRED:
            with pytest.raises(Refusal, match=rf"^{each.name} \(.* is missing; give "):
                calc.evaluate(
                    name,
                    {
                        other.name: draws.value(random.Random(1), other)
                        for other in calculation.inputs
                        if other is not each
                    },
                )
        # What a range says can be typed.
        assert not re.search(r"\de[-+]?\d", allowed(each).en)
    for quantity in calculation.results:
        assert quantity.unit in UNITS
        assert quantity.meaning.en and quantity.meaning.es
