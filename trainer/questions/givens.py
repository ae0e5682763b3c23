"""Givens: fixing their values for a draw."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from trainer.calc import standard
from trainer.languages import Text
from trainer.questions.drawn import Given
from trainer.questions.model import AnyGiven, FromShop, Listed, Stepped
from trainer.questions.writing import written


def draw_given(
    given: AnyGiven, pick: Callable[[str, int], int], shop: Mapping[str, Any], above: Mapping[str, Given]
) -> Given:
    """The given with its value fixed.

    pick: index below a count, from the seed, for a given's name; above: the givens fixed before this one
    Raises Refusal when a computed given cannot be computed.
    """
    if isinstance(given, Stepped):
        index = pick(given.name, given.count)
        made = given.made.get(index)
        if made is None:
            exact = given.low + index * given.step
            made = Given(float(exact), given.unit, written(exact, given.unit, given.feet))
            given.made[index] = made
        return made
    if isinstance(given, Listed):
        return given.values[pick(given.name, len(given.values)) if len(given.values) > 1 else 0]
    if isinstance(given, FromShop):
        return shop_given(given.field, shop[given.field])
    values = given.calculation.evaluate({feed.input: feed.value(above) for feed in given.feeds}, shop).values
    value = values[given.result]
    if given.step:
        exact = round(Fraction(value) / given.step) * given.step
        return Given(float(exact), given.unit, written(exact, given.unit))
    return Given(value, given.unit, written(value, given.unit))


def shop_given(name: str, value: Any) -> Given:
    """The shop standard's figure as a given."""
    unit = standard.FIELDS[name].unit
    return Given(value, unit, Text(value, value) if isinstance(value, str) else written(float(value), unit))


def varies(given: AnyGiven) -> bool:
    """Whether the given's value comes from the seed by itself."""
    return isinstance(given, Stepped) or (isinstance(given, Listed) and len(given.values) > 1)
