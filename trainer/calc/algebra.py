"""Numbers that remember how they were made.

A calculation's formula is ordinary Python arithmetic over the attributes of one board. It runs

* on plain floats, when only the numbers are wanted (the fast way);
* on `Traced` numbers, when the worked solution is wanted: each remembers the operation and the operands that
  made it, so the board shows the very expression that computed the number;
* on pint quantities (dimensions.py), when a test asks whether the units of every expression agree.

The functions here work on all three: `round_up`, `round_off`, `hundredths`, `square_root`, `arctangent`, `arccosine`,
`logarithm`, `greatest`, `least`, `total`, and the questions `at_least`, `at_most`, `more_than`, whose answer is a yes or no
that remembers what was compared.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from datetime import date, timedelta
from typing import Any, Final


class Constant(float):
    """A number with a unit that stands in a formula, such as 144 in² per ft² or a table value."""

    __slots__ = ("unit",)
    unit: str

    def __new__(cls, value: float, unit: str = "") -> Constant:
        constant = super().__new__(cls, value)
        constant.unit = unit
        return constant


SQIN_PER_SQFT: Final = Constant(144.0, "in2/ft2")
CUIN_PER_CUFT: Final = Constant(1728.0, "in3/ft3")
IN_PER_FT: Final = Constant(12.0, "in/ft")
PERCENT: Final = Constant(100.0, "percent")
PI: Final = Constant(math.pi)
# Taken off before rounding up and allowed in comparing, so that 4.000000000001, a float's way of writing 4, stays 4.
ROUNDING_SLACK: Final = 1e-9


class Traced:
    """A number with the expression that made it.

    value: a float; a date, or the yes or no of a comparison
    op: "" for a leaf, else "+", "-", "*", "/", "**", "neg" or the name of a function of this module
    args: the operands, themselves traced
    name: the quantity a leaf stands for; "" for a plain constant
    """

    __slots__ = ("args", "name", "op", "unit", "value")

    def __init__(
        self, value: Any, op: str = "", args: tuple[Traced, ...] = (), name: str = "", unit: str = ""
    ) -> None:
        self.value = value
        self.op = op
        self.args = args
        self.name = name
        self.unit = unit

    def __add__(self, other: Any) -> Traced:
        right = traced(other)
        return Traced(self.value + right.value, "+", (self, right))

    def __radd__(self, other: Any) -> Traced:
        return traced(other) + self

    def __sub__(self, other: Any) -> Traced:
        right = traced(other)
        return Traced(self.value - right.value, "-", (self, right))

    def __rsub__(self, other: Any) -> Traced:
        return traced(other) - self

    def __mul__(self, other: Any) -> Traced:
        right = traced(other)
        return Traced(self.value * right.value, "*", (self, right))

    def __rmul__(self, other: Any) -> Traced:
        return traced(other) * self

    def __truediv__(self, other: Any) -> Traced:
        right = traced(other)
        return Traced(self.value / right.value, "/", (self, right))

    def __rtruediv__(self, other: Any) -> Traced:
        return traced(other) / self

    def __pow__(self, power: Any) -> Traced:
        right = traced(power)
        return Traced(self.value**right.value, "**", (self, right))

    def __rpow__(self, base: Any) -> Traced:
        below = traced(base)
        return Traced(below.value**self.value, "**", (below, self))

    def __neg__(self) -> Traced:
        return Traced(-self.value, "neg", (self,))

    def __lt__(self, other: Any) -> bool:
        return bool(self.value < plain(other))

    def __le__(self, other: Any) -> bool:
        return bool(self.value <= plain(other))

    def __gt__(self, other: Any) -> bool:
        return bool(self.value > plain(other))

    def __ge__(self, other: Any) -> bool:
        return bool(self.value >= plain(other))

    def __eq__(self, other: object) -> bool:
        return bool(self.value == plain(other))

    def __hash__(self) -> int:
        return hash(self.value)

    def __float__(self) -> float:
        return float(self.value)

    @staticmethod
    def lift(value: Any) -> Traced:
        """A plain number among traced ones."""
        return traced(value)

    def apply(self, op: str, *others: Any) -> Traced:
        args = (self, *(traced(other) for other in others))
        return Traced(FUNCTIONS[op](*(arg.value for arg in args)), op, args)


def traced(value: Any) -> Traced:
    """`value` as a traced number; a plain number becomes a constant leaf."""
    if isinstance(value, Traced):
        return value
    if isinstance(value, date):
        return Traced(value)
    return Traced(float(value), unit=getattr(value, "unit", ""))


def plain(value: Any) -> Any:
    """The bare float of a traced number or a quantity; anything else as it is."""
    return value.value if hasattr(value, "apply") else value


FUNCTIONS: Final[dict[str, Callable[..., Any]]] = {
    "round_up": lambda x: float(math.ceil(x - ROUNDING_SLACK)),
    "round_down": lambda x: float(math.floor(x + ROUNDING_SLACK)),
    "absolute": abs,
    "hundredths": lambda x: math.floor(x * 100 + 0.5 + ROUNDING_SLACK) / 100,
    "round_off": lambda x: float(math.floor(x + 0.5 + ROUNDING_SLACK)),
    "square_root": math.sqrt,
    "arctangent": lambda x: math.degrees(math.atan(x)),
    "arccosine": lambda x: math.degrees(math.acos(x)),
    "logarithm": math.log10,
    "greatest": max,
    "least": min,
    "at_least": lambda a, b: a - b >= -ROUNDING_SLACK,
    "at_most": lambda a, b: a - b <= ROUNDING_SLACK,
    "more_than": lambda a, b: a - b > ROUNDING_SLACK,
}
ANGLES: Final = ("arctangent", "arccosine")
QUESTIONS: Final = ("at_least", "at_most", "more_than")


def alike(model: Any, value: Any) -> Any:
    """`value` as the kind of number that `model` is, so that the worked solution keeps its arithmetic."""
    return model.lift(value) if hasattr(model, "lift") else value


def _call(op: str, *values: Any) -> Any:
    for value in values:
        if hasattr(value, "apply"):
            first, *others = values
            return (first if hasattr(first, "apply") else value.lift(first)).apply(op, *others)
    return FUNCTIONS[op](*values)


def round_up(x: Any) -> Any:
    """The next whole number; a whole number stays."""
    return _call("round_up", x)


def round_off(x: Any) -> Any:
    """The nearest whole number; a half goes up."""
    return _call("round_off", x)


def hundredths(x: Any) -> Any:
    """x to the nearest hundredth; a half goes up."""
    return _call("hundredths", x)


def round_down(x: Any) -> Any:
    """The whole number below; a whole number stays."""
    return _call("round_down", x)


def absolute(x: Any) -> Any:
    """x without its sign."""
    return _call("absolute", x)


def square_root(x: Any) -> Any:
    return _call("square_root", x)


def arctangent(x: Any) -> Any:
    """The angle whose tangent is x [degree]."""
    return _call("arctangent", x)


def arccosine(x: Any) -> Any:
    """The angle whose cosine is x [degree]."""
    return _call("arccosine", x)


def logarithm(x: Any) -> Any:
    """The logarithm to base 10."""
    return _call("logarithm", x)


def greatest(a: Any, b: Any) -> Any:
    return _call("greatest", a, b)


def least(a: Any, b: Any) -> Any:
    return _call("least", a, b)


def at_least(a: Any, b: Any) -> Any:
    """Whether a ≥ b."""
    return _call("at_least", a, b)


def at_most(a: Any, b: Any) -> Any:
    """Whether a ≤ b."""
    return _call("at_most", a, b)


def more_than(a: Any, b: Any) -> Any:
    """Whether a > b."""
    return _call("more_than", a, b)


def total(parts: Iterable[Any]) -> Any:
    """The sum, without a leading zero in the worked solution; 0.0 of nothing."""
    result: Any = None
    for part in parts:
        result = part if result is None else result + part
    return 0.0 if result is None else result


def as_force(weight: Any) -> Any:
    """The force [lbf] with which a weight [lb] bears down: the same number, and nothing to write on the board."""
    return weight.as_force() if hasattr(weight, "as_force") else weight


def days_after(start: Any, days: Any) -> Any:
    """The date that many whole days after `start`."""
    made = plain(start) + timedelta(days=round(float(plain(days))))
    if isinstance(start, Traced) or isinstance(days, Traced):
        return Traced(made, "+", (traced(start), traced(days)))
    return made
