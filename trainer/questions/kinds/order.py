"""Put steps in order: the file holds which must come before which and why; every order that keeps to it is right.

Credit is 3 · (rules kept / rules) − 2, never under 0: a random order keeps each rule half the time, so before the cut
it earns −1/2 on average, and after it a few hundredths. Only an order that keeps every rule is right.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import factorial
from string import ascii_uppercase
from typing import Any, Final

from trainer.errors import Unreadable
from trainer.languages import Text
from trainer.questions.drawn import Body, Draw, Given, Grade, GradedPart, text_from
from trainer.questions.kinds.kind import Kind, Note
from trainer.questions.kinds.letters import read_letters
from trainer.questions.kinds.order_file import KEYS, Order, read
from trainer.questions.model import Question
from trainer.questions.seeds import Rejected, Seed
from trainer.questions.writing import fill_both

# The share of all orders that may be right: 1 in 20, so that a guess seldom is.
MOST_RIGHT: Final = 0.05
MISSING: Final = Text(
    en="Put every step in the order once; %(missing)s is missing.",
    es="Ponga cada paso una vez; falta %(missing)s.",
)
BEFORE: Final = Text(en="“%(first)s” comes before “%(then)s”", es="«%(first)s» va antes de «%(then)s»")


@dataclass(frozen=True, slots=True)
class DrawnStep:
    """One step, lettered in the order shown."""

    letter: str
    id: str
    text: Text


@dataclass(frozen=True, slots=True)
class DrawnRule:
    """The step `first` comes before the step `then`; both are ids."""

    first: str
    then: str
    why: Text


@dataclass(frozen=True, slots=True)
class DrawnOrder(Body):
    """The steps in the order shown, which is not a right one; `order`: the ids in one that is."""

    steps: tuple[DrawnStep, ...]
    order: tuple[str, ...]
    rules: tuple[DrawnRule, ...]

    def step(self, key: str) -> DrawnStep:
        """The step of that id or letter."""
        return next(step for step in self.steps if key in (step.id, step.letter))

    def answer(self, language: str) -> str:
        return ", ".join(self.step(id).letter for id in self.order)

    def mistaken(self) -> str:
        return ", ".join(step.letter for step in self.steps)

    def lines(self, language: str) -> list[str]:
        return [f"{step.letter}. {step.text.in_language(language)}" for step in self.steps]

    def texts(self) -> list[Text]:
        return [step.text for step in self.steps] + [rule.why for rule in self.rules]

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> DrawnOrder:
        return cls(
            tuple(DrawnStep(one["letter"], one["id"], text_from(one["text"])) for one in data["steps"]),
            tuple(data["order"]),
            tuple(DrawnRule(one["first"], one["then"], text_from(one["why"])) for one in data["rules"]),
        )


def draw(question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]) -> DrawnOrder:
    """The steps shuffled by the seed. Raises Rejected when they happen to stand in a right order."""
    order: Order = question.body
    chosen = [order.steps[place] for place in seed.shuffled(len(order.steps))]
    if not broken([step.id for step in chosen], order.pairs):
        raise Rejected("order", "the steps are shown in a right order")
    return DrawnOrder(
        tuple(
            DrawnStep(letter, step.id, fill_both(step.text, givens))
            for letter, step in zip(ascii_uppercase, chosen, strict=False)
        ),
        tuple(step.id for step in order.steps),
        tuple(DrawnRule(rule.first, rule.then, fill_both(rule.why, givens)) for rule in order.rules),
    )


def broken(order: Sequence[str], pairs: Collection[tuple[str, str]]) -> list[tuple[str, str]]:
    """The pairs (first, then) that an order of ids does not keep to."""
    place = {id: at for at, id in enumerate(order)}
    return [(first, then) for first, then in pairs if place[first] > place[then]]


def credit(kept: int, rules: int) -> float:
    """What keeping so many of the rules earns before the cut at 0: 1 for all of them, down to -2."""
    return 3 * kept / rules - 2


def right_orders(ids: Sequence[str], pairs: Collection[tuple[str, str]]) -> int:
    """How many of all orders keep to the pairs, counted over the sets of steps that may be done so far."""
    needs = [sum(1 << ids.index(first) for first, then in pairs if then == id) for id in ids]
    ways = {0: 1}
    for done in range(1 << len(ids)):
        if done not in ways:
            continue
        for place, needed in enumerate(needs):
            if not done >> place & 1 and needed & done == needed:
                ways[done | 1 << place] = ways.get(done | 1 << place, 0) + ways[done]
    return ways.get((1 << len(ids)) - 1, 0)


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """The letters in the person's order, each step once; every rule says whether it was kept, and why it matters."""
    body: DrawnOrder = draw.body
    letters = [step.letter for step in body.steps]
    try:
        given = read_letters(typed, letters)
        missing = [letter for letter in letters if letter not in given]
        if missing:
            raise Unreadable(MISSING, missing=", ".join(missing))
    except Unreadable as refusal:
        return Grade("unreadable", refusal=refusal.in_language(language))
    wrong = broken(
        [body.step(letter).id for letter in given], [(rule.first, rule.then) for rule in body.rules]
    )
    parts = tuple(_part(body, rule, (rule.first, rule.then) in wrong, language) for rule in body.rules)
    reading = ", ".join(given)
    if not wrong:
        return Grade("right", 1.0, reading, parts=parts)
    earned = credit(len(body.rules) - len(wrong), len(body.rules))
    slip = next(part.id for part in parts if part.state == "wrong")
    return Grade("wrong", max(0.0, earned), reading, slip=slip, parts=parts)


def _part(body: DrawnOrder, rule: DrawnRule, wrong: bool, language: str) -> GradedPart:
    names = {
        name: body.step(id).text.in_language(language).rstrip(".")
        for name, id in (("first", rule.first), ("then", rule.then))
    }
    return GradedPart(
        f"{rule.first}-before-{rule.then}",
        "wrong" if wrong else "right",
        BEFORE.in_language(language) % names,
        said=rule.why.in_language(language),
    )


def check(question: Question, draws: Sequence[Draw], note: Note) -> None:
    """Rules so few that a guess is right too often."""
    order: Order = question.body
    right = right_orders([step.id for step in order.steps], order.pairs)
    if right > MOST_RIGHT * factorial(len(order.steps)):
        note(
            ("rule",),
            f"{right} of {factorial(len(order.steps))} orders are right, more than 1 in {1 / MOST_RIGHT:.0f}; "
            "add rules or steps.",
        )


KIND: Final = Kind(KEYS, read, draw, DrawnOrder, grade, check)
