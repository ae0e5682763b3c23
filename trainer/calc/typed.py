"""From the values that a calculation takes back to what a person would type, and losing nothing.

typed_input     one value as text that `reading.read_input` reads back as the same value
typed_inputs    the inputs that differ from what would be taken anyway
query           those as the query of a web address
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any
from urllib.parse import urlencode

from trainer.calc import notation
from trainer.calc.entries import JOINTS, Entry
from trainer.calc.openings import Flue
from trainer.calc.spec import REQUIRED, Calculation, Evaluation, Input
from trainer.calc.units import unit_named
from trainer.calc.writing import FINEST, exact, mixed
from trainer.languages import Text

DIAMETER = Text(en="dia", es="diám")


def typed_input(each: Input, value: Any, language: str = "en") -> str:
    """One value of the input: "40 1/2 in", "13 x 13 in", "12 @ 42 in", "2026-11-25", "#3"."""
    if isinstance(value, Flue):
        length, width = _figures(value.length, each.unit), _figures(value.width, each.unit)
        if value.shape == "round":
            return f"{length} {each.unit} {DIAMETER.in_language(language)}"
        return f"{length} x {width} {each.unit}"
    if isinstance(value, Entry):
        numbers = [(value.numbers()[part.name], part.unit) for part in each.parts]
        if each.kind == "at":
            return JOINTS[each.kind].join(_quantity(number, unit, language) for number, unit in numbers)
        sizes = JOINTS[each.kind].join(_figures(number, unit) for number, unit in numbers)
        return f"{sizes} {numbers[-1][1]}" if each.kind == "size" else sizes
    if isinstance(value, date):
        return value.isoformat()
    return value if isinstance(value, str) else _quantity(value, each.unit, language)


def typed_inputs(
    evaluation: Evaluation, shop: Mapping[str, Any], language: str = "en"
) -> dict[str, list[str]]:
    """What must be typed to get the evaluation again in a shop with the standard `shop`; defaults are left out."""
    calculation: Calculation = evaluation.calculation
    given = evaluation.inputs
    texts = {}
    for each in calculation.inputs:
        value = given[each.name]
        if value is None or (
            each.default is not REQUIRED and value == _as_held(each, calculation.default(each, given, shop))
        ):
            continue
        values = value if each.many else [value]
        texts[each.name] = [typed_input(each, one, language) for one in values] or ["none"]
    return texts


def query(evaluation: Evaluation, shop: Mapping[str, Any], language: str = "en") -> str:
    """The same as the query of an address: "chimney_length=40+1/2+in&flue=13+x+13+in"."""
    return urlencode(typed_inputs(evaluation, shop, language), doseq=True, safe="/@:")


def _as_held(each: Input, default: Any) -> Any:
    return list(default) if each.many else default


def _quantity(value: float, unit: str, language: str) -> str:
    """The value as the trade writes it when that reads back the same, else with every figure."""
    measure = unit_named(unit)
    figures = _figures(value, unit)
    if unit == "ft":
        written = notation.write(value, unit, language)
        if float(notation.read(written, unit, language, signed=True).value) == value:
            return written
    return figures + measure.written(figures, language)


def _figures(value: float, unit: str) -> str:
    """A length on a sixteenth as on the tape; any other number as a decimal with every figure."""
    if unit == "in" and float(value * FINEST).is_integer():
        return mixed(Fraction(value))
    return exact(Fraction(repr(float(value))))
