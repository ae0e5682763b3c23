"""A draw and a grade: what the engine hands out, complete in itself.

A draw holds everything that grading, the worked solution and the drawing need, so that a later change to the bank
or to the shop standard never changes a past grade. Both go to plain JSON data and come back equal.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Final, Literal, NamedTuple

from trainer.calc import Flue
from trainer.calc.entries import Entry
from trainer.calc.units import unit_named
from trainer.languages import Text

if TYPE_CHECKING:
    from trainer.drawings import Drawing

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
        size = abs(expected)
        slack = SLACK * size if size > 1.0 else SLACK
        return (size * self.amount / 100 if self.kind == "percent" else self.amount) + slack

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


class DrawnSlip(NamedTuple):
    """The value that a known way to go wrong leads to on this draw [the answer's unit], and what it says."""

    id: str
    value: float
    text: Text


@dataclass(frozen=True, slots=True)
class DrawnFigure:
    """The drawing that belongs to the draw; `shown` names the values that may stand on it before the answer."""

    name: str
    calculation: str
    inputs: dict[str, Any]
    shown: tuple[str, ...]


class Solved(NamedTuple):
    """A number of the answer and how the core makes it.

    calculation, inputs: with every default filled in; result: its name there; expected: the right answer [unit]
    title: which of several numbers it is
    """

    calculation: str
    inputs: dict[str, Any]
    result: str
    expected: float
    unit: str
    title: Text | None = None


class Unexplained(NamedTuple):
    """A wrong number that no slip explains.

    solved: how the core makes the right one, from the person's own figures where it follows from them
    value: what was answered [the unit asked for]
    """

    solved: Solved
    tolerance: Tolerance
    value: float


class Body:
    """What only a draw's kind knows: each kind has its own frozen dataclass below this one.

    Its fields stand in the draw's JSON beside the common ones, so none may have the name of one of those.
    """

    __slots__ = ()

    def answer(self, language: str) -> str:
        """The right answer as a person would write it; graded right."""
        raise NotImplementedError

    def mistaken(self) -> str:
        """A wrong answer, where a known way to go wrong leads."""
        raise NotImplementedError

    def lines(self, language: str) -> list[str]:
        """What stands under the text on paper: lettered options, blanks with their units."""
        raise NotImplementedError

    def texts(self) -> list[Text]:
        """Every text that a person may read."""
        raise NotImplementedError

    def solved(self) -> tuple[Solved, ...]:
        """The numbers that answer the question; none when no calculation does."""
        return ()

    def unexplained(self, typed: str, language: str) -> tuple[Unexplained, ...]:
        """The wrong numbers of an answer that no slip explains."""
        return ()

    def drawing(self, language: str, reveal: bool) -> Drawing | None:
        """The drawing that the kind itself makes; None when it makes none. reveal: the answer may stand on it."""
        return None

    def to_json(self) -> dict[str, Any]:
        """The fields as plain data."""
        return plain_fields(self)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Body:
        """The body that `to_json` made the data of, from the JSON of the whole draw."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Draw:
    """One question with its numbers fixed.

    question_id, version, hash: which file, and its content when drawn; kind: one of kinds.KINDS
    body: what only that kind knows
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
    hints: tuple[Text, ...]
    figure: DrawnFigure | None
    body: Any

    def answer(self, language: str = "en") -> str:
        """The right answer as a person would write it."""
        return str(self.body.answer(language))

    def to_json(self) -> dict[str, Any]:
        """The draw as plain data that `json` can write; the body's fields stand beside the common ones."""
        common = {name: plain(getattr(self, name)) for name in _COMMON}
        return {**common, **self.body.to_json()}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Draw:
        """The draw that `to_json` made the data of."""
        from trainer.questions.kinds import KINDS

        common = {name: _READERS.get(name, _as_it_is)(data[name]) for name in _COMMON}
        return cls(**common, body=KINDS[data["kind"]].body.from_json(data))


_COMMON: Final = tuple(name for name in Draw.__dataclass_fields__ if name != "body")


@dataclass(frozen=True, slots=True)
class GradedPart:
    """What is said of one part of an answer: a linked number, an option, a rule of an order.

    state: "carried" is worked rightly from the person's own earlier wrong value; "unreadable" could not be read
    label: what the part asks; reading, answer: as read and as it should be; said: why, or what went wrong
    """

    id: str
    state: Literal["right", "carried", "wrong", "unreadable"]
    label: str
    reading: str = ""
    answer: str = ""
    slip: str | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class Grade:
    """What is said of one answer; texts in the language asked for.

    status: "right", "wrong", or "unreadable": it could not be read and does not count as wrong
    credit: 0 to 1; reading: the answer as it was read, shown back; refusal: why it could not be read
    slip, slip_text: the known way to go wrong that leads to this answer, and where it departs
    side, difference: "short" or "over", and by how much; consequence: what the answer would do on the job
    because: the reason behind the right option of a choice
    parts: the parts of an answer that has several
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
    parts: tuple[GradedPart, ...] = ()

    @property
    def right(self) -> bool:
        return self.status == "right"

    @property
    def shown(self) -> str:
        """What is shown back to the person: the answer as it was read."""
        return self.reading

    def to_json(self) -> dict[str, Any]:
        """The grade as plain data."""
        return plain_fields(self)


def plain(value: Any) -> Any:
    """A value of a draw as data that `json` can write."""
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, Flue):
        return {"flue": [value.shape, value.length, value.width]}
    if isinstance(value, Entry):
        return {"entry": value.numbers()}
    if isinstance(value, date):
        return {"date": value.isoformat()}
    if isinstance(value, DrawnSlip):
        return plain(value._asdict())
    if isinstance(value, tuple | list):
        return [plain(one) for one in value]
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    return plain_fields(value)


def plain_fields(value: Any) -> dict[str, Any]:
    """The fields of a dataclass as data that `json` can write."""
    return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}


def text_from(data: Mapping[str, str]) -> Text:
    return Text(en=data["en"], es=data["es"])


def text_or_none(data: Mapping[str, str] | None) -> Text | None:
    return None if data is None else text_from(data)


def value_from(data: Any) -> Any:
    """A calculation's input from its data: a number, a word, or flues."""
    if isinstance(data, list):
        return [value_from(one) for one in data]
    if isinstance(data, Mapping):
        if "entry" in data:
            return Entry(**data["entry"])
        if "date" in data:
            return date.fromisoformat(data["date"])
        shape, length, width = data["flue"]
        return Flue(shape, length, width)
    return data


def values_from(data: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value_from(one) for name, one in data.items()}


def tolerance_from(data: Mapping[str, Any]) -> Tolerance:
    return Tolerance(data["kind"], data["amount"])


def slips_from(data: Sequence[Mapping[str, Any]]) -> tuple[DrawnSlip, ...]:
    return tuple(DrawnSlip(one["id"], one["value"], text_from(one["text"])) for one in data)


def _figure(data: Mapping[str, Any] | None) -> DrawnFigure | None:
    if data is None:
        return None
    return DrawnFigure(data["name"], data["calculation"], values_from(data["inputs"]), tuple(data["shown"]))


def _as_it_is(data: Any) -> Any:
    return data


_READERS: Final[dict[str, Any]] = {
    "skills": tuple,
    "sources": tuple,
    "text": text_from,
    "givens": lambda data: {
        name: Given(value_from(one["value"]), one["unit"], text_from(one["text"]))
        for name, one in data.items()
    },
    "hints": lambda data: tuple(text_from(one) for one in data),
    "figure": _figure,
}
