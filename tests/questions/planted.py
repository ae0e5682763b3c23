"""Wrong answers with a known planted cause, made without the slip search.

Each plants one mistake in one calculation: an input changed, or one operation of the formula done the other way round
while it runs on numbers that count their operations. What the formula then makes of it is what the person answers.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from random import Random
from types import SimpleNamespace
from typing import Any, NamedTuple

from trainer import calc
from trainer.calc import Flue
from trainer.calc.algebra import FUNCTIONS
from trainer.calc.entries import Entry
from trainer.errors import Refusal
from trainer.questions import Draw, grade
from trainer.questions.drawn import Solved
from trainer.questions.model import Answer
from trainer.questions.search import Cause
from trainer.questions.writing import written

# NIST Handbook 44, Appendix C: what a number is multiplied by when it is taken in the wrong one of two units.
WRONG_UNIT = {
    "in": ("ft", 12.0),
    "ft": ("in", 1 / 12),
    "gal": ("qt", 0.25),
    "lb": ("kg", 1 / 0.45359237),
    "hour": ("minute", 1 / 60),
    "deltaF": ("deltaC", 1.8),
    "ft3": ("yd3", 27.0),
    "ft2": ("in2", 1 / 144),
    "psi": ("ksi", 1000.0),
}


class Planted(NamedTuple):
    """A wrong value [the answer's own unit] and its cause: a category, and whether a cause of the search says the same."""

    category: str
    value: float
    says: Callable[[Cause], bool]


class Counted:
    """A number that counts the operations done on it, and does the one that is asked for the other way round."""

    class Count:
        def __init__(self, turn: int) -> None:
            self.turn, self.done, self.writing, self.at = turn, 0, "", None

    def __init__(self, value: Any, count: Count) -> None:
        self.value, self.count = value, count

    def _do(self, op: str, left: Any, right: Any) -> Counted:
        a, b = bare(left), bare(right)
        place, self.count.done = self.count.done, self.count.done + 1
        if place == self.count.turn:
            op = {"+": "-", "-": "+", "*": "/", "/": "*"}[op]
            self.count.at = (op, float(a), float(b))
            self.count.writing = "next"
        return Counted(
            a + b if op == "+" else a - b if op == "-" else a * b if op == "*" else a / b, self.count
        )

    def __add__(self, other: Any) -> Counted:
        return self._do("+", self, other)

    def __radd__(self, other: Any) -> Counted:
        return self._do("+", other, self)

    def __sub__(self, other: Any) -> Counted:
        return self._do("-", self, other)

    def __rsub__(self, other: Any) -> Counted:
        return self._do("-", other, self)

    def __mul__(self, other: Any) -> Counted:
        return self._do("*", self, other)

    def __rmul__(self, other: Any) -> Counted:
        return self._do("*", other, self)

    def __truediv__(self, other: Any) -> Counted:
        return self._do("/", self, other)

    def __rtruediv__(self, other: Any) -> Counted:
        return self._do("/", other, self)

    def __pow__(self, power: Any) -> Counted:
        return Counted(self.value ** bare(power), self.count)

    def __neg__(self) -> Counted:
        return Counted(-self.value, self.count)

    def __lt__(self, other: Any) -> bool:
        return bool(self.value < bare(other))

    def __le__(self, other: Any) -> bool:
        return bool(self.value <= bare(other))

    def __gt__(self, other: Any) -> bool:
        return bool(self.value > bare(other))

    def __ge__(self, other: Any) -> bool:
        return bool(self.value >= bare(other))

    def __eq__(self, other: object) -> bool:
        return bool(self.value == bare(other))

    __hash__ = None  # type: ignore[assignment]

    def __float__(self) -> float:
        return float(self.value)

    def lift(self, value: Any) -> Counted:
        return value if isinstance(value, Counted) else Counted(float(value), self.count)

    def apply(self, op: str, *others: Any) -> Counted:
        return Counted(FUNCTIONS[op](self.value, *(bare(other) for other in others)), self.count)


def bare(value: Any) -> Any:
    return value.value if isinstance(value, Counted) else value


class Watched(SimpleNamespace):
    """A board that notes which quantity the turned operation was for."""

    def __init__(self, count: Counted.Count, values: dict[str, Any]) -> None:
        object.__setattr__(self, "count", count)
        super().__init__(**values)

    def __setattr__(self, name: str, value: Any) -> None:
        if self.count.writing == "next":
            self.count.writing = name
        super().__setattr__(name, value)


def counting(value: Any, count: Counted.Count) -> Any:
    """An input as the formula takes it, its numbers counted."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, int | float):
        return Counted(float(value), count)
    if isinstance(value, Flue):
        return Flue(value.shape, Counted(value.length, count), Counted(value.width, count))
    if isinstance(value, Entry):
        return Entry(**{name: counting(one, count) for name, one in value.numbers().items()})
    if isinstance(value, list):
        return [counting(one, count) for one in value]
    return value


def run(solved: Solved, changed: dict[str, Any]) -> float | None:
    """What the formula makes of changed inputs, whether or not a chimney has such numbers."""
    board = SimpleNamespace(**(solved.inputs | changed))
    return _value(lambda: calc.get(solved.calculation).formula(board), board, solved.result)


def turned(solved: Solved, turn: int) -> tuple[float | None, Counted.Count]:
    """What comes out when the operation of that number is done the other way round."""
    count = Counted.Count(turn)
    board = Watched(count, {name: counting(value, count) for name, value in solved.inputs.items()})
    return _value(lambda: calc.get(solved.calculation).formula(board), board, solved.result), count


def _value(work: Callable[[], Any], board: Any, result: str) -> float | None:
    try:
        work()
    except (Refusal, ArithmeticError, ValueError, LookupError, AttributeError, TypeError, StopIteration):
        return None
    value = bare(getattr(board, result))
    return float(value) if math.isfinite(value) and value > 0 else None


class Number(NamedTuple):
    """One number that the question gives. put: the whole input with another number in its place."""

    name: str
    input: str
    value: float
    unit: str
    put: Callable[[float], Any]


def numbers(answer: Answer, solved: Solved) -> list[Number]:
    """The numbers that the question's file feeds the calculation."""
    found = []
    for each in answer.calculation.inputs:
        feeds = {feed.input for feed in answer.feeds}
        if each.name not in feeds:
            continue
        whole = solved.inputs[each.name]
        for place, one in enumerate(whole if each.many else [whole]):

            def put(new: Any, each: Any = each, whole: Any = whole, place: int = place) -> Any:
                return [*whole[:place], new, *whole[place + 1 :]] if each.many else new

            name = f"{each.name}[{place}]" if each.many else each.name
            if isinstance(one, Entry):
                for part in each.parts:

                    def with_part(new: float, one: Entry = one, part: str = part.name, put: Any = put) -> Any:
                        return put(Entry(**(one.numbers() | {part: new})))

                    value = one.numbers()[part.name]
                    found.append(Number(f"{name}.{part.name}", each.name, value, part.unit, with_part))
            elif isinstance(one, float):
                found.append(Number(name, each.name, one, each.unit, put))
    return found


def plants(category: str, answer: Answer, solved: Solved, random: Random) -> Iterator[Planted]:
    """Mistakes of one category in random order."""
    given = numbers(answer, solved)
    random.shuffle(given)
    for one in given:
        change = CHANGES.get(category)
        if change is None:
            break
        for way, new in change(one, random):
            value = run(solved, {one.input: one.put(new)})
            if value is not None:

                def says(cause: Cause, way: str = way, one: Number = one, new: float = new) -> bool:
                    if (cause.way, cause.about[0]) != (way, one.name):
                        return False
                    return way not in ("taken as", "misread") or math.isclose(
                        _used(cause, one), new, rel_tol=1e-6
                    )

                yield Planted(category, value, says)
    if category == "dropped":
        yield from _left_out(answer, solved, random)
    if category == "swapped":
        yield from _swapped(given, solved)
    if category == "wrong row":
        yield from _rows(answer, solved, random)
    if category == "turned round":
        yield from _turned(solved, random)


def _used(cause: Cause, one: Number) -> float:
    """The number that the cause of the search used instead."""
    if cause.way == "taken as":
        return calc.units.convert(one.value, cause.unit, one.unit)
    part = one.name.rpartition(".")[2]
    return float(cause.new.numbers()[part] if isinstance(cause.new, Entry) else cause.new)


def _dropped(one: Number, random: Random) -> list[tuple[str, float]]:
    return [("left out", 0.0)]


def _doubled(one: Number, random: Random) -> list[tuple[str, float]]:
    return [("counted twice", one.value * 2)]


def _halved(one: Number, random: Random) -> list[tuple[str, float]]:
    return [("taken at half", one.value / 2)]


def _wrong_unit(one: Number, random: Random) -> list[tuple[str, float]]:
    return [("taken as", one.value * WRONG_UNIT[one.unit][1])] if one.unit in WRONG_UNIT else []


def _neighbour(one: Number, random: Random) -> list[tuple[str, float]]:
    """A tape read an inch or half an inch off; the last figure of another number one up or down."""
    if one.unit == "in":
        step = random.choice((1.0, 0.5))
    else:
        figures = f"{one.value:.10f}".rstrip("0")
        step = (
            10.0 ** -len(figures.partition(".")[2])
            if not figures.endswith(".")
            else 10.0 ** (len(figures[:-1]) - len(figures[:-1].rstrip("0")))
        )
    sign = random.choice((1, -1))
    return [("misread", one.value + sign * step)] if one.value + sign * step > 0 else []


CHANGES = {
    "dropped": _dropped,
    "doubled": _doubled,
    "halved": _halved,
    "wrong unit": _wrong_unit,
    "neighbouring value": _neighbour,
}
CATEGORIES = (*CHANGES, "swapped", "wrong row", "turned round")


def _left_out(answer: Answer, solved: Solved, random: Random) -> Iterator[Planted]:
    """One of several forgotten: a length, a flue, a sample."""
    for each in answer.calculation.inputs:
        whole = solved.inputs[each.name]
        if not each.many or each.name not in {feed.input for feed in answer.feeds}:
            continue
        for place in random.sample(range(len(whole)), len(whole)):
            value = run(solved, {each.name: [*whole[:place], *whole[place + 1 :]]})
            if value is not None:

                def says(cause: Cause, each: Any = each, gone: Any = whole[place]) -> bool:
                    # Of two alike it is all one which was forgotten, and the sentence is the same.
                    return (
                        cause.way == "left out"
                        and cause.it is not None
                        and (cause.it.input is each and cause.it.value == gone)
                    )

                yield Planted("dropped", value, says)


def _swapped(given: list[Number], solved: Solved) -> Iterator[Planted]:
    for place, one in enumerate(given):
        for other in given[place + 1 :]:
            if one.unit != other.unit or one.input == other.input or one.value == other.value:
                continue
            value = run(solved, {one.input: one.put(other.value), other.input: other.put(one.value)})
            if value is not None:
                names = {one.name, other.name}
                yield Planted(
                    "swapped",
                    value,
                    lambda cause, names=names: cause.way == "mixed up" and set(cause.about) == names,
                )


def _rows(answer: Answer, solved: Solved, random: Random) -> Iterator[Planted]:
    """A neighbouring row of a table."""
    fed = {feed.input for feed in answer.feeds}
    rows = [each for each in answer.calculation.inputs if each.kind == "choice" and each.name in fed]
    random.shuffle(rows)
    for each in rows:
        here = each.choices.index(solved.inputs[each.name])
        for row in (here - 1, here + 1):
            if 0 <= row < len(each.choices):
                value = run(solved, {each.name: each.choices[row]})
                if value is not None:
                    about = (each.name, each.choices[row])
                    yield Planted(
                        "wrong row",
                        value,
                        lambda cause, about=about: (cause.way, cause.about) == ("wrong row", about),
                    )


def _turned(solved: Solved, random: Random) -> Iterator[Planted]:
    """Plus for minus or times for divided, at one place of the working."""
    _, count = turned(solved, -1)
    for turn in random.sample(range(count.done), count.done):
        value, at = turned(solved, turn)
        if value is not None and at.at is not None:
            op, left, right = at.at

            def says(
                cause: Cause, op: str = op, left: float = left, right: float = right, step: str = at.writing
            ) -> bool:
                if cause.way != "wrong sign" or cause.about[0] != step or cause.wrong is None:
                    return False
                wrong = cause.wrong
                return wrong.op == op and [float(arg.value) for arg in wrong.args] == [left, right]

            yield Planted("turned round", value, says)


class Wrong(NamedTuple):
    """A wrong answer to a draw: what was typed, and what was planted in it."""

    draw: Draw
    typed: str
    planted: Planted


def wrong_answer(drawn: Draw, answers: list[Answer], random: Random) -> Wrong | None:
    """One number of the draw worked with one planted mistake, as the trade writes it; None when none can be planted.

    What a listed slip explains, what is within the tolerance, and what nobody could type is no wrong answer for the search.
    """
    solved = drawn.body.solved()
    place = random.randrange(len(solved))
    one, answer = solved[place], answers[place]
    lines = [written(each.expected, each.unit).en for each in solved]
    right = run(one, {})
    if right is None:
        return None
    for category in random.sample(CATEGORIES, len(CATEGORIES)):
        for planted in plants(category, answer, one, random):
            value = planted.value * one.expected / right
            if value == one.expected:
                continue
            if one.unit == "count" and not value.is_integer():
                continue
            if not 1e-4 < value < 1e9:
                continue
            lines[place] = written(value, one.unit).en
            typed = "\n".join(lines)
            said = grade(drawn, typed)
            if said.status == "wrong" and said.slip is None and drawn.body.unexplained(typed, "en"):
                return Wrong(drawn, typed, planted)
    return None
