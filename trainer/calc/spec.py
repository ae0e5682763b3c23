"""What a calculation is: its inputs, its quantities and its formula, declared once; and the registry of them all.

calculation(...)     the decorator that puts a formula into the registry
Calculation          evaluate (numbers only) and work (numbers with steps)
Input, Quantity, Shop, Same   what it declares (inputs.py)
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from trainer.calc.algebra import Traced, plain
from trainer.calc.entries import Entry
from trainer.calc.inputs import REQUIRED, Input, Quantity, Same, Shop, checked, missing
from trainer.calc.openings import Flue
from trainer.calc.working import Step
from trainer.errors import UnknownName
from trainer.languages import Text

__all__ = [
    "REQUIRED",
    "Calculation",
    "Evaluation",
    "Input",
    "Quantity",
    "Same",
    "Shop",
    "calculation",
    "get",
]


@dataclass(frozen=True, slots=True)
class Evaluation:
    """A calculation done once.

    inputs: every input, defaults filled in; results: the named results; values: both and the intermediates
    steps: the worked solution, empty unless asked for
    """

    calculation: Calculation
    inputs: dict[str, Any]
    values: dict[str, Any]
    steps: tuple[Step, ...] = ()

    @property
    def results(self) -> dict[str, Any]:
        return {name: self.values[name] for name in self.calculation.result_names}


class Board:
    """What a formula reads and writes: every quantity is an attribute."""

    def __init__(self, values: dict[str, Any]) -> None:
        self.__dict__ = values

    def __getattr__(self, name: str) -> Any:  # only reached for a name that is not on the board
        raise AttributeError(f"the formula reads {name!r} before it is known")


class _Reached(Exception):
    """The quantity that was wanted stands on the board."""


class FixedBoard:
    """A board on which some quantities keep the value they are set to, whatever the formula makes of them."""

    __slots__ = ("__dict__", "_fixed", "_wanted")
    _fixed: Mapping[str, Any]
    _wanted: str

    def __init__(self, values: dict[str, Any], fixed: Mapping[str, Any], wanted: str) -> None:
        object.__setattr__(self, "__dict__", values)
        object.__setattr__(self, "_fixed", fixed)
        object.__setattr__(self, "_wanted", wanted)

    def __setattr__(self, name: str, value: Any) -> None:
        self.__dict__[name] = self._fixed.get(name, value)
        if name == self._wanted:
            raise _Reached


class TracingBoard:
    """A board on which every line written is kept as a step of the worked solution."""

    calculation: Calculation
    lines: list[Step]

    def __init__(self, calculation: Calculation, values: Mapping[str, Any]) -> None:
        object.__setattr__(self, "calculation", calculation)
        object.__setattr__(self, "lines", [])
        for each in calculation.inputs:
            self.__dict__[each.name] = _trace_input(each, values[each.name])

    def __setattr__(self, name: str, value: Any) -> None:
        quantity = self.calculation.quantities[name]
        self.lines.append(Step(quantity, value, self.calculation.symbols))
        if quantity.kind == "number":
            value = Traced(float(plain(value)), name=name, unit=quantity.unit)
        elif quantity.kind == "date":
            value = Traced(plain(value), name=name)
        elif quantity.kind == "flag":
            value = plain(value)
        self.__dict__[name] = value


def _trace_input(each: Input, value: Any) -> Any:
    if each.many:
        return [_trace_one(each, one, f"{each.name}[{place}]") for place, one in enumerate(value, 1)]
    return _trace_one(each, value, each.name)


def _trace_one(each: Input, value: Any, name: str) -> Any:
    if isinstance(value, Flue):
        return value.traced(name)
    if isinstance(value, Entry):
        numbers = value.numbers()
        return Entry(
            **{
                part.name: Traced(numbers[part.name], name=f"{name}.{part.name}", unit=part.unit)
                for part in each.parts
            }
        )
    if isinstance(value, date):
        return Traced(value, name=name)
    if each.kind == "number" and value is not None:
        return Traced(value, name=name, unit=each.unit)
    return value


def _bare(value: Any) -> Any:
    return plain(value) if isinstance(value, Traced) else value


@dataclass(frozen=True, eq=False)
class Calculation:
    """A formula with everything that is known about it.

    notes: what a reader of the number must know: a default that rests on no source, what the number leaves out
    sample: inputs as typed, for a worked example; enough to work with when the rest is left to its defaults
    cautions: what can hurt someone where this is used; each begins with its signal word
    """

    name: str
    title: Text
    purpose: Text
    inputs: tuple[Input, ...]
    quantities: dict[str, Quantity]
    result_names: tuple[str, ...]
    sources: tuple[str, ...]
    formula: Callable[[Any], None]
    notes: tuple[Text, ...] = ()
    sample: Mapping[str, str | tuple[str, ...]] = field(default_factory=dict)
    cautions: tuple[Text, ...] = ()
    symbols: dict[str, str] = field(init=False)

    def __post_init__(self) -> None:
        declared: tuple[Input | Quantity, ...] = (*self.inputs, *self.quantities.values())
        symbols = {each.name: each.symbol for each in declared}
        symbols |= {f"{each.name}.{part.name}": part.symbol for each in self.inputs for part in each.parts}
        object.__setattr__(self, "symbols", symbols)

    @property
    def results(self) -> tuple[Quantity, ...]:
        return tuple(self.quantities[name] for name in self.result_names)

    def input(self, name: str) -> Input:
        """The input of that name; UnknownName lists the ones there are."""
        for each in self.inputs:
            if each.name == name:
                return each
        raise UnknownName(
            Text(
                en="%(calculation)s has no input %(name)s; it takes %(known)s.",
                es="%(calculation)s no tiene la entrada %(name)s; recibe %(known)s.",
            ),
            calculation=self.name,
            name=repr(name),
            known=", ".join(each.name for each in self.inputs),
        )

    def evaluate(self, inputs: Mapping[str, Any], shop: Mapping[str, Any]) -> Evaluation:
        """The numbers alone.

        inputs: values in the declared units; shop: the shop standard
        Raises Refusal when a value is missing, not finite, out of range or impossible together with the others.
        """
        given = self._complete(inputs, shop)
        values = dict(given)
        self.formula(Board(values))
        return Evaluation(self, given, values)

    def work(self, inputs: Mapping[str, Any], shop: Mapping[str, Any]) -> Evaluation:
        """The same numbers with the steps that made them."""
        given = self._complete(inputs, shop)
        board = TracingBoard(self, given)
        self.formula(board)
        values = given | {
            name: _bare(board.__dict__[name]) for name in self.quantities if name in board.__dict__
        }
        return Evaluation(self, given, values, tuple(board.lines))

    def rework(self, inputs: Mapping[str, Any], wanted: str, fixed: Mapping[str, Any]) -> Any:
        """The value of the quantity `wanted`, to follow a mistake through: numbers may lie outside their ranges.

        inputs: all of them, as `Evaluation.inputs`, not checked; fixed: quantities that take this value instead
        Raises Refusal, and whatever arithmetic or a table raises on numbers that no chimney has.
        """
        values = dict(inputs)
        with suppress(_Reached):
            self.formula(FixedBoard(values, fixed, wanted))
        return values[wanted]

    def _complete(self, inputs: Mapping[str, Any], shop: Mapping[str, Any]) -> dict[str, Any]:
        if not inputs.keys() <= self.symbols.keys():
            for name in inputs:
                self.input(name)
        given: dict[str, Any] = {}
        for each in self.inputs:
            value = inputs.get(each.name)
            if value is None:
                value = self.default(each, given, shop)
            if each.many:
                value = [
                    checked(each, one) for one in (value if isinstance(value, list | tuple) else [value])
                ]
                if not value and each.default is REQUIRED:
                    raise missing(each)
            # The usual case first: a float inside its range.
            elif value is not None and (type(value) is not float or not each.low <= value <= each.high):
                value = checked(each, value)
            given[each.name] = value
        return given

    @staticmethod
    def default(each: Input, given: Mapping[str, Any], shop: Mapping[str, Any]) -> Any:
        """What an input is when it is left out; `given` holds the inputs before it. Refusal when it must be given."""
        default = each.default
        if isinstance(default, Shop):
            return shop[default.field]
        if isinstance(default, Same):
            return given[default.input]
        if default is REQUIRED:
            raise missing(each)
        return default


REGISTRY: dict[str, Calculation] = {}


def calculation(
    name: str,
    *,
    title: Text,
    purpose: Text,
    inputs: tuple[Input, ...],
    quantities: tuple[Quantity, ...],
    results: tuple[str, ...],
    sources: tuple[str, ...],
    notes: tuple[Text, ...] = (),
    sample: Mapping[str, str | tuple[str, ...]] | None = None,
    cautions: tuple[Text, ...] = (),
) -> Callable[[Callable[[Any], None]], Calculation]:
    """Put the decorated formula into the registry under `name`."""

    def register(formula: Callable[[Any], None]) -> Calculation:
        made = Calculation(
            name,
            title,
            purpose,
            inputs,
            {each.name: each for each in quantities},
            results,
            sources,
            formula,
            notes,
            sample or {},
            cautions,
        )
        REGISTRY[name] = made
        return made

    return register


def get(name: str) -> Calculation:
    """The calculation of that name; UnknownName lists the ones there are."""
    try:
        return REGISTRY[name]
    except KeyError:
        raise UnknownName(
            Text(
                en="there is no calculation %(name)s; there are %(known)s.",
                es="no hay un cálculo %(name)s; hay %(known)s.",
            ),
            name=repr(name),
            known=", ".join(sorted(REGISTRY)),
        ) from None
