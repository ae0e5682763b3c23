"""A number with its unit: computed by the core, graded within the trade's tolerance, its slips named."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, NamedTuple

from trainer.calc import DEFAULT_SHOP, Calculation, Evaluation, notation
from trainer.calc.algebra import Traced
from trainer.calc.units import unit_named
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.questions import slips
from trainer.questions.drawn import (
    Body,
    Draw,
    DrawnSlip,
    Given,
    Grade,
    Solved,
    Tolerance,
    Unexplained,
    slips_from,
    text_or_none,
    tolerance_from,
    values_from,
)
from trainer.questions.givens import draw_given, varies
from trainer.questions.kinds.kind import Kind, Note
from trainer.questions.kinds.number_file import KEYS, Number, read
from trainer.questions.model import Answer, Question, SlipRule
from trainer.questions.seeds import Rejected, Seed
from trainer.questions.source import Where
from trainer.questions.template import fill
from trainer.questions.writing import written

# A count whose exact value lies this near to a whole number turns on a hair's breadth of the tape.
EDGE_SHARE: Final = 0.02
EDGE_MOST: Final = 0.2
BLANK: Final = "____________"


@dataclass(frozen=True, slots=True)
class DrawnNumber(Body):
    """One number on this draw's givens.

    calculation, inputs: what the answer is computed from, every default filled in; result: its name there
    expected: the right answer [unit]
    short, over: what too low or too high an answer does on the job, with places for the answer given
    """

    calculation: str
    inputs: dict[str, Any]
    result: str
    expected: float
    unit: str
    tolerance: Tolerance
    slips: tuple[DrawnSlip, ...]
    short: Text | None
    over: Text | None

    def answer(self, language: str) -> str:
        return written(self.expected, self.unit).in_language(language)

    def mistaken(self) -> str:
        return mistaken(self.slips, self.expected, self.unit)

    def lines(self, language: str) -> list[str]:
        return [blank(self.unit, language)]

    def texts(self) -> list[Text]:
        return [slip.text for slip in self.slips]

    def solved(self) -> tuple[Solved, ...]:
        return (Solved(self.calculation, self.inputs, self.result, self.expected, self.unit),)

    def unexplained(self, typed: str, language: str) -> tuple[Unexplained, ...]:
        try:
            value = float(notation.read(typed, self.unit, language).value)
        except Refusal:
            return ()
        if self.tolerance.accepts(self.expected, value):
            return ()
        if slips.match(self.slips, value, self.tolerance, self.unit) is not None:
            return ()
        return (Unexplained(self.solved()[0], self.tolerance, value),)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> DrawnNumber:
        return cls(
            data["calculation"],
            values_from(data["inputs"]),
            data["result"],
            data["expected"],
            data["unit"],
            tolerance_from(data["tolerance"]),
            slips_from(data["slips"]),
            text_or_none(data["short"]),
            text_or_none(data["over"]),
        )


def mistaken(drawn: Sequence[DrawnSlip], expected: float, unit: str) -> str:
    """Where the first slip leads that can be written down; a plain wrong number when none can."""
    whole = unit_named(unit).kind == "count"
    values = (slip.value for slip in drawn if slip.value > 0 and (not whole or slip.value.is_integer()))
    return written(next(values, expected + 3), unit).en


def blank(unit: str, language: str) -> str:
    """A place on paper for a number with its unit."""
    return f"{BLANK} {unit_named(unit).many.in_language(language)}".rstrip()


class Solution(NamedTuple):
    """An answer on one draw's numbers. inputs: what the file feeds the calculation; expected: in the unit asked for."""

    inputs: dict[str, Any]
    evaluation: Evaluation
    expected: float
    slips: list[DrawnSlip]


def draw(question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]) -> DrawnNumber:
    """The right answer and where each slip leads on these numbers; Rejected as `solve` says."""
    number: Number = question.body
    answer = number.answer
    solution = solve(answer, number.slips, givens, shop, knife_edges(question))
    return DrawnNumber(
        calculation=answer.calculation.name,
        inputs=solution.evaluation.inputs,
        result=answer.result,
        expected=solution.expected,
        unit=answer.unit,
        tolerance=answer.tolerance,
        slips=tuple(solution.slips),
        short=number.short,
        over=number.over,
    )


def solve(
    answer: Answer,
    rules: Sequence[SlipRule],
    givens: Mapping[str, Given],
    shop: Mapping[str, Any],
    edges: Sequence[str] | None = None,
    within: Where = (),
) -> Solution:
    """The answer and its slips on these numbers.

    edges: the unrounded values the answer turns on, None to find them on these numbers; within: its table in the file
    Raises Rejected on a knife edge, an answer that does not exist in the field, a refusal of the core, and a listed
    slip that cannot be told from the right answer or from another.
    """
    inputs = {feed.input: feed.value(givens) for feed in answer.feeds}
    try:
        evaluation = answer.calculation.evaluate(inputs, shop)
        if edges is None:
            edges = _edges_on(answer, inputs, shop)
    except Refusal as refusal:
        raise Rejected("refusal", f"the calculation refuses: {refusal}") from None
    expected = float(evaluation.values[answer.result]) * answer.factor
    if not answer.low <= expected <= answer.high:
        raise Rejected(
            "field",
            f"the answer {expected:.6g} {answer.unit} lies outside the field's range",
            within=within,
        )
    for exact in edges:
        if on_edge(float(evaluation.values[exact])):
            raise Rejected(
                "edge", f"{exact} = {evaluation.values[exact]:.6g} is on a knife edge", exact, within
            )
    found = slips.listed(rules, answer, inputs, evaluation, givens, shop)
    for place, slip in enumerate(found):
        meets = slips.collision(slip, expected, found[:place], answer.tolerance, answer.unit)
        if meets is not None:
            swallowed = meets == slips.RIGHT_ANSWER
            raise Rejected(
                "slip" if swallowed else "collision",
                f"the slip {slip.id} cannot be told from {meets}",
                slip.id,
                within,
            )
    found += slips.built_in(answer, expected, inputs, found, shop)
    return Solution(inputs, evaluation, expected, found)


def _edges_on(answer: Answer, inputs: Mapping[str, Any], shop: Mapping[str, Any]) -> tuple[str, ...]:
    """The unrounded values that the answer turns on with these inputs."""
    if not any(quantity.rounds for quantity in answer.calculation.quantities.values()):
        return ()  # nothing is rounded, and working it out step by step takes time
    return roundings_behind(answer.calculation, answer.result, answer.calculation.work(inputs, shop))


def on_edge(exact: float) -> bool:
    """Whether a count's unrounded value lies within 2 % (at most 0.2) of a whole number."""
    return abs(exact - round(exact)) <= min(EDGE_SHARE * abs(exact), EDGE_MOST)


@lru_cache(maxsize=1024)
def knife_edges(question: Question) -> tuple[str, ...]:
    """The unrounded values that the answer turns on: those behind it that some quantity rounds up."""
    answer = question.body.answer
    evaluation = _trial(question)
    if evaluation is None:
        return ()
    return roundings_behind(answer.calculation, answer.result, evaluation)


def roundings_behind(calculation: Calculation, result: str, evaluation: Evaluation) -> tuple[str, ...]:
    """The unrounded quantities that `result` depends on, found in a worked solution."""
    behind = {step.name: _leaves(step.made) for step in evaluation.steps}
    waiting, seen = [result], set[str]()
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting += behind.get(name, ())
    rounded = (quantity.rounds for name, quantity in calculation.quantities.items() if name in seen)
    return tuple(exact for exact in rounded if exact is not None)


def _leaves(made: Any) -> set[str]:
    """The names of the quantities that an expression reads."""
    if not isinstance(made, Traced):
        return set()
    return {made.name} if not made.op else set().union(*(_leaves(arg) for arg in made.args))


def _trial(question: Question) -> Evaluation | None:
    """The worked solution on the first numbers that the core takes, whatever the seed; None when it takes none."""
    answer: Answer = question.body.answer
    for attempt in range(20):
        seed = Seed(question.id, question.version, 0, attempt)
        givens: dict[str, Given] = {}
        try:
            for given in question.givens:
                givens[given.name] = draw_given(given, seed.pick, DEFAULT_SHOP, givens)
            inputs = {feed.input: feed.value(givens) for feed in answer.feeds}
            return answer.calculation.work(inputs, DEFAULT_SHOP)
        except Refusal:
            continue
    return None


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """The answer as read, compared with the draw alone; within the tolerance, its edge included, it is right."""
    body: DrawnNumber = draw.body
    try:
        reading = notation.read(typed, body.unit, language)
    except Refusal as refusal:
        return Grade("unreadable", refusal=refusal.in_language(language))
    value, shown = float(reading.value), reading.shown(language)
    if body.tolerance.accepts(body.expected, value):
        return Grade("right", 1.0, shown)
    slip = slips.match(body.slips, value, body.tolerance, body.unit)
    side = "short" if value < body.expected else "over"
    difference = written(abs(value - body.expected), body.unit).in_language(language)
    return Grade(
        "wrong",
        0.0,
        shown,
        slip=slip.id if slip else None,
        slip_text=slip.text.in_language(language) if slip else "",
        side=side,
        difference=difference,
        consequence=_consequence(
            draw, body.short if side == "short" else body.over, difference, shown, language
        ),
    )


def _consequence(draw: Draw, text: Text | None, difference: str, given: str, language: str) -> str:
    if text is None:
        return ""
    values = {name: one.text.in_language(language) for name, one in draw.givens.items()}
    values |= {"difference": difference, "given": given, "expected": draw.answer(language)}
    return fill(text.in_language(language), values)


def check(question: Question, draws: Sequence[Draw], note: Note) -> None:
    """A slip that never has a value of its own, and an answer that never changes."""
    met = {slip.id for one in draws for slip in one.body.slips}
    note_unmet(question.body.slips, met, note)
    note_constant(question, {one.answer() for one in draws}, len(draws), note)


def note_unmet(rules: Sequence[SlipRule], met: Collection[str], note: Note, within: Where = ()) -> None:
    """Note each slip that no draw has. met: the ids of those that some draw has; within: their table in the file."""
    for place, rule in enumerate(rules):
        if rule.id not in met:
            note(
                (*within, "slip", place),
                f"the slip {rule.id} never has a value of its own; change it or take it out.",
            )


def note_constant(
    question: Question, answers: Collection[str], draws: int, note: Note, within: Where = ()
) -> None:
    """Note an answer that is the same on every draw. within: its table in the file."""
    if draws > 1 and len(answers) == 1:
        which = (
            "the givens never vary" if not any(varies(given) for given in question.givens) else "all draws"
        )
        note(
            (*within, "answer"),
            f"the answer does not depend on the givens: {which} and give {next(iter(answers))}.",
        )


KIND: Final = Kind(KEYS, read, draw, DrawnNumber, grade, check)
