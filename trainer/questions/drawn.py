"""A draw and a grade: what the engine hands out, complete in itself.

A draw holds everything that grading, the worked solution and the drawing need, so that a later change to the bank
or to the shop standard never changes a past grade. Both go to plain JSON data and come back equal.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final, Literal

from trainer.calc import Flue
from trainer.calc.entries import Entry
from trainer.calc.units import unit_named
from trainer.languages import Text

# Slack for floats at the very edge of a tolerance, relative to the right answer.
SLACK: Final = 1e-9
# How near to a slip's value an answer must lie when the question itself asks for the exact value.
SLIP_NEAR: Final = 0.005
HALF_SIXTEENTH: Final = 1 / 32


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far off an answer may be and still be right.

    kind: "absolute" (amount in the answer's unit), "percent" (of the right answer) or "exact"
    """

    kind: Literal["absolute", "percent", "exact"]
    amount: float = 0.0

    def reach(self, expected: float) -> float:
        """The distance from `expected` that is still right [the answer's unit]."""
        slack = SLACK * max(1.0, abs(expected))
        if self.kind == "percent":
            return abs(expected) * self.amount / 100 + slack
        return self.amount + slack

    def accepts(self, expected: float, value: float) -> bool:
        """Whether `value` is right; a value on the edge is."""
        return abs(value - expected) <= self.reach(expected)

    def near_slip(self, slip: float, value: float, unit: str) -> bool:
        """Whether `value` is the slip's value, as near as a person would have written it."""
        if self.kind != "exact" or unit_named(unit).kind == "count":
            return self.accepts(slip, value)
        return abs(value - slip) <= (HALF_SIXTEENTH if unit == "in" else SLIP_NEAR * abs(slip)) + SLACK


@dataclass(frozen=True, slots=True)
class Given:
    """One given with its value fixed: a number [unit], a word such as "#3", or flues."""

    value: Any
    unit: str
    text: Text


@dataclass(frozen=True, slots=True)
class DrawnSlip:
    """The value that a known way to go wrong leads to on this draw [the answer's unit], and what it says."""

    id: str
    value: float
    text: Text


@dataclass(frozen=True, slots=True)
class DrawnOption:
    """One option of a choice, lettered in the order shown; a wrong one says why."""

    letter: str
    id: str
    right: bool
    text: Text
    why: Text | None = None


@dataclass(frozen=True, slots=True)
class DrawnFigure:
    """The drawing that belongs to the draw; `shown` names the values that may stand on it before the answer."""

    name: str
    calculation: str
    inputs: dict[str, Any]
    shown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Draw:
    """One question with its numbers fixed.

    question_id, version, hash: which file, and its content when drawn; kind: "number" or "choose"
    calculation, inputs: what the answer was computed from, every default filled in; "" for a choice
    expected: the right answer [unit]; result: its name in the calculation
    short, over: what too low or too high an answer does on the job, with places for the answer given
    """

    question_id: str
    version: int
    hash: str
    seed: int
    kind: str
    level: int
    must_pass: bool
    skills: tuple[str, ...]
    sources: tuple[str, ...]
    text: Text
    givens: dict[str, Given]
    hints: tuple[Text, ...] = ()
    calculation: str = ""
    inputs: dict[str, Any] | None = None
    result: str = ""
    expected: float = 0.0
    unit: str = ""
    tolerance: Tolerance = Tolerance("exact")
    slips: tuple[DrawnSlip, ...] = ()
    short: Text | None = None
    over: Text | None = None
    options: tuple[DrawnOption, ...] = ()
    because: Text | None = None
    figure: DrawnFigure | None = None

    def answer(self, language: str = "en") -> str:
        """The right answer as the trade writes it, or the right option."""
        from trainer.questions.writing import written

        if self.kind == "choose":
            return next(option.text.in_language(language) for option in self.options if option.right)
        return written(self.expected, self.unit).in_language(language)

    def to_json(self) -> dict[str, Any]:
        """The draw as plain data that `json` can write."""
        return {name: _plain(getattr(self, name)) for name in self.__dataclass_fields__}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Draw:
        """The draw that `to_json` made the data of."""
        return cls(
            **{name: value for name, value in data.items() if name not in _READERS},
            **{name: reader(data[name]) for name, reader in _READERS.items() if name in data},
        )


@dataclass(frozen=True, slots=True)
class Grade:
    """What is said of one answer; texts in the language asked for.

    status: "right", "wrong", or "unreadable": it could not be read and does not count as wrong
    credit: 0 to 1; reading: the answer as it was read, shown back; refusal: why it could not be read
    slip, slip_text: the known way to go wrong that leads to this answer, and where it departs
    side, difference: "short" or "over", and by how much; consequence: what the answer would do on the job
    because: the reason behind the right option of a choice
    """

    status: Literal["right", "wrong", "unreadable"]
    credit: float = 0.0
    reading: str = ""
    refusal: str = ""
    slip: str | None = None
    slip_text: str = ""
    side: str = ""
    difference: str = ""
    consequence: str = ""
    because: str = ""

    @property
    def right(self) -> bool:
        return self.status == "right"

    @property
    def shown(self) -> str:
        """What is shown back to the person: the answer as it was read."""
        return self.reading

    def to_json(self) -> dict[str, Any]:
        """The grade as plain data."""
        return {name: getattr(self, name) for name in self.__dataclass_fields__}


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, Flue):
        return {"flue": [value.shape, value.length, value.width]}
    if isinstance(value, Entry):
        return {"entry": value.numbers()}
    if isinstance(value, date):
        return {"date": value.isoformat()}
    if isinstance(value, tuple | list):
        return [_plain(one) for one in value]
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}


def _text(data: Mapping[str, str] | None) -> Any:
    return None if data is None else Text(en=data["en"], es=data["es"])


def _value(data: Any) -> Any:
    if isinstance(data, list):
        return [_value(one) for one in data]
    if isinstance(data, Mapping):
        if "entry" in data:
            return Entry(**data["entry"])
        if "date" in data:
            return date.fromisoformat(data["date"])
        shape, length, width = data["flue"]
        return Flue(shape, length, width)
    return data


def _values(data: Mapping[str, Any] | None) -> dict[str, Any] | None:
    return None if data is None else {name: _value(one) for name, one in data.items()}


def _figure(data: Mapping[str, Any] | None) -> DrawnFigure | None:
    if data is None:
        return None
    return DrawnFigure(data["name"], data["calculation"], _values(data["inputs"]) or {}, tuple(data["shown"]))


_READERS: Final[dict[str, Any]] = {
    "skills": tuple,
    "sources": tuple,
    "text": _text,
    "givens": lambda data: {
        name: Given(_value(one["value"]), one["unit"], _text(one["text"])) for name, one in data.items()
    },
    "hints": lambda data: tuple(_text(one) for one in data),
    "inputs": _values,
    "tolerance": lambda data: Tolerance(data["kind"], data["amount"]),
    "slips": lambda data: tuple(DrawnSlip(one["id"], one["value"], _text(one["text"])) for one in data),
    "short": _text,
    "over": _text,
    "options": lambda data: tuple(
        DrawnOption(one["letter"], one["id"], one["right"], _text(one["text"]), _text(one["why"]))
        for one in data
    ),
    "because": _text,
    "figure": _figure,
}
