"""What a bank holds, read and checked: questions, skills and the parts of a question. Everything is frozen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Protocol

from trainer.calc import Calculation
from trainer.languages import Text
from trainer.questions.drawn import Given, Tolerance


@dataclass(frozen=True, slots=True)
class Skill:
    """One thing a person can or cannot do.

    lesson: the id of the lesson that teaches it; calculations: what it computes with; line: where it stands in its file
    no_must_pass: why a wrong answer on it can hurt nobody, None where it has must-pass questions
    """

    id: str
    name: Text
    purpose: Text
    lesson: str
    calculations: tuple[str, ...]
    line: int = 0
    no_must_pass: Text | None = None


class Named(Protocol):
    """What an input may take its value from: a given, or the answer of a part above."""

    @property
    def name(self) -> str: ...
    @property
    def unit(self) -> str: ...


@dataclass(frozen=True, slots=True)
class EarlierPart:
    """The answer of a part above, called "part:" and its id."""

    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Feed:
    """How an input of a calculation gets its value: from the given or earlier part of that name, a literal, or a list.

    factor: from the given's unit to the input's, negative where the given is taken away
    """

    input: str
    given: str = ""
    literal: Any = None
    factor: float = 1.0
    each: tuple[Feed, ...] = ()

    def value(self, givens: Mapping[str, Given]) -> Any:
        if self.each:
            return [feed.value(givens) for feed in self.each]
        if not self.given:
            return self.literal
        value = givens[self.given].value
        return value * self.factor if self.factor != 1.0 else value


@dataclass(frozen=True, slots=True)
class Stepped:
    """A given between two ends in equal steps [unit]; its value is one of `count`."""

    name: str
    unit: str
    low: Fraction
    step: Fraction
    count: int
    feet: bool
    made: dict[int, Given] = field(default_factory=dict, compare=False)


@dataclass(frozen=True, slots=True)
class Listed:
    """A given that is one of a list; a fixed given is a list of one."""

    name: str
    unit: str
    values: tuple[Given, ...]


@dataclass(frozen=True, slots=True)
class FromShop:
    """A given that is the shop standard's figure."""

    name: str
    unit: str
    field: str


@dataclass(frozen=True, slots=True)
class Computed:
    """A given that a calculation makes from the givens above it; `step` [unit] rounds it, 0 leaves it."""

    name: str
    unit: str
    calculation: Calculation
    result: str
    feeds: tuple[Feed, ...]
    step: Fraction


AnyGiven = Stepped | Listed | FromShop | Computed


@dataclass(frozen=True, slots=True)
class Change:
    """What a slip does to one input: "half", "double", "zero", "none" (no flues), "given" or "literal"."""

    input: str
    kind: str
    feed: Feed | None = None


@dataclass(frozen=True, slots=True)
class SlipRule:
    """A known way to go wrong, computed by the same core on the same numbers.

    factor: from the result's unit to the unit the question asks in, and `times` of the file
    """

    id: str
    text: Text
    calculation: Calculation
    result: str
    changes: tuple[Change, ...]
    factor: float
    line: int


@dataclass(frozen=True, slots=True)
class Answer:
    """How the core answers a number question.

    unit: what the question asks in; factor: from the result's own unit to that one
    low, high: what exists in the field [unit]
    """

    calculation: Calculation
    result: str
    unit: str
    factor: float
    tolerance: Tolerance
    feeds: tuple[Feed, ...]
    low: float = float("-inf")
    high: float = float("inf")


@dataclass(frozen=True, slots=True)
class FigureRule:
    """Which drawing a question shows, and which values may stand on it before the answer."""

    name: str
    calculation: Calculation
    shown: tuple[str, ...]
    feeds: tuple[Feed, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Question:
    """One file of the bank, ready to be drawn.

    path: relative to the bank; hash: sha256 of the file's bytes
    body: what only the kind knows of it
    line: finds the line of a key path in the file, for what the bank check reports
    """

    id: str
    version: int
    path: str
    hash: str
    kind: str
    skills: tuple[str, ...]
    level: int
    must_pass: bool
    sources: tuple[str, ...]
    text: Text
    givens: tuple[AnyGiven, ...]
    hints: tuple[Text, ...]
    figure: FigureRule | None
    body: Any
    line: Callable[[tuple[str | int, ...]], int] = field(repr=False)
