"""Whether the units of every expression of a calculation agree; used by the tests, never while the program runs.

The formula is run once on pint quantities: each input and each constant carries its unit, and each line written on
the board must come out in the unit its quantity declares, with the value that the plain floats gave.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from trainer.calc.algebra import ANGLES, FUNCTIONS, QUESTIONS, Constant, Traced
from trainer.calc.entries import Entry
from trainer.calc.openings import Flue
from trainer.calc.spec import Calculation, Input
from trainer.calc.units import UNITS, pint_unit, registry


class Measured:
    """A pint quantity with the operations a formula uses; plain numbers count as having no unit."""

    def __init__(self, quantity: Any) -> None:
        self.quantity = quantity

    @property
    def value(self) -> float:
        return float(self.quantity.magnitude)

    @staticmethod
    def lift(value: Any) -> Measured:
        return value if isinstance(value, Measured) else measured(float(value), getattr(value, "unit", ""))

    def __add__(self, other: Any) -> Measured:
        return Measured(self.quantity + self.lift(other).quantity)

    def __radd__(self, other: Any) -> Measured:
        return self.lift(other) + self

    def __sub__(self, other: Any) -> Measured:
        return Measured(self.quantity - self.lift(other).quantity)

    def __rsub__(self, other: Any) -> Measured:
        return self.lift(other) - self

    def __mul__(self, other: Any) -> Measured:
        return Measured(self.quantity * self.lift(other).quantity)

    def __rmul__(self, other: Any) -> Measured:
        return self.lift(other) * self

    def __truediv__(self, other: Any) -> Measured:
        return Measured(self.quantity / self.lift(other).quantity)

    def __rtruediv__(self, other: Any) -> Measured:
        return self.lift(other) / self

    def __pow__(self, power: Any) -> Measured:
        return Measured(self.quantity ** self.lift(power).quantity.to("").magnitude)

    def __rpow__(self, base: float) -> Measured:
        return measured(base ** float(self.quantity.to("").magnitude), "")

    def __neg__(self) -> Measured:
        return Measured(-self.quantity)

    def __lt__(self, other: Any) -> bool:
        return bool(self.value < float(self._like(other)))

    def __le__(self, other: Any) -> bool:
        return bool(self.value <= float(self._like(other)))

    def __gt__(self, other: Any) -> bool:
        return bool(self.value > float(self._like(other)))

    def __ge__(self, other: Any) -> bool:
        return bool(self.value >= float(self._like(other)))

    def __float__(self) -> float:
        return self.value

    def as_force(self) -> Measured:
        return Measured(self.quantity * registry().Quantity(1, "pound_force / pound"))

    def _like(self, other: Any) -> Any:
        return other.quantity.to(self.quantity.units).magnitude if isinstance(other, Measured) else other

    def apply(self, op: str, *others: Any) -> Any:
        if op in QUESTIONS:
            other = self.lift(others[0]).quantity.to(self.quantity.units)
            return FUNCTIONS[op](self.quantity.magnitude, other.magnitude)
        if op in ("greatest", "least"):
            other = self.lift(others[0])
            return Measured((max if op == "greatest" else min)(self.quantity, other.quantity))
        if op == "square_root":
            return Measured(self.quantity**0.5)
        if op == "absolute":
            return Measured(abs(self.quantity))
        if op.startswith("round") and not self.quantity.dimensionless:  # whole days stay days
            return Measured(registry().Quantity(FUNCTIONS[op](self.quantity.magnitude), self.quantity.units))
        # Angles and logarithms are only meant for plain ratios.
        return measured(FUNCTIONS[op](self.quantity.to("").magnitude), "degree" if op in ANGLES else "")


def measured(value: float, unit: str) -> Measured:
    """`value` as a quantity.

    unit: a short name; of a constant also a quotient ("in2/ft2", "1/in") or, after =, an expression ("=psi ** 0.5")
    """
    if unit.startswith("="):
        return Measured(registry().Quantity(value, unit[1:]))
    top, _, bottom = (unit, "", "") if unit in UNITS else unit.rpartition("/")
    quantity = registry().Quantity(value, "" if top in ("", "1") else pint_unit(top))
    return Measured(quantity / registry().Quantity(1, pint_unit(bottom)) if bottom else quantity)


class MeasuringBoard:
    """A board that refuses a line whose unit is not the declared one."""

    calculation: Calculation

    def __init__(self, calculation: Calculation, values: Mapping[str, Any]) -> None:
        object.__setattr__(self, "calculation", calculation)
        for each in calculation.inputs:
            value = values[each.name]
            self.__dict__[each.name] = (
                [_lift(each, one) for one in value] if each.many else _lift(each, value)
            )

    def __setattr__(self, name: str, value: Any) -> None:
        quantity = self.calculation.quantities[name]
        if quantity.kind == "number":
            lifted = Measured.lift(value)
            # A bare zero ("nothing to cut") is right in any unit.
            if isinstance(value, Constant | Measured | Traced) or value != 0:
                lifted = Measured(lifted.quantity.to(pint_unit(quantity.unit) if quantity.unit else ""))
            else:
                lifted = measured(0.0, quantity.unit)
            value = lifted
        self.__dict__[name] = value


def _lift(each: Input, value: Any) -> Any:
    if isinstance(value, Flue):
        length = measured(value.length, each.unit)
        return Flue(
            value.shape, length, length if value.shape == "round" else measured(value.width, each.unit)
        )
    if isinstance(value, Entry):
        return Entry(**{part.name: measured(getattr(value, part.name), part.unit) for part in each.parts})
    return measured(value, each.unit) if isinstance(value, float) else value


def disagreements(
    calculation: Calculation, values: Mapping[str, Any], plain_values: Mapping[str, Any]
) -> list[str]:
    """Every quantity whose value on pint quantities is not the one on plain floats.

    values: the complete inputs; plain_values: what `Calculation.evaluate` put on the board
    Raises pint's DimensionalityError where an expression adds or assigns unlike units.
    """
    board = MeasuringBoard(calculation, values)
    calculation.formula(board)
    return [
        name
        for name in calculation.quantities
        if name in plain_values
        and isinstance(board.__dict__[name], Measured)
        and not math.isclose(board.__dict__[name].value, plain_values[name], rel_tol=1e-9, abs_tol=1e-9)
    ]
