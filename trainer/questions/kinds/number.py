"""A number with its unit: computed by the core, graded within the trade's tolerance, its slips named."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP, Calculation, Evaluation, notation
from trainer.calc.algebra import Traced
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.questions import slips
from trainer.questions.drawn import Draw, Given, Grade
from trainer.questions.givens import draw_given
from trainer.questions.kinds.number_file import KEYS, read
from trainer.questions.model import Question
from trainer.questions.seeds import Rejected, Seed
from trainer.questions.template import fill
from trainer.questions.writing import written

__all__ = ["KEYS", "draw", "grade", "read"]

# A count whose exact value lies this near to a whole number turns on a hair's breadth of the tape.
EDGE_SHARE: Final = 0.02
EDGE_MOST: Final = 0.2


def draw(
    question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]
) -> dict[str, Any]:
    """The right answer and where each slip leads on these numbers.

    Raises Rejected on a knife edge, an answer that does not exist in the field, a refusal of the core, and a listed
    slip that cannot be told from the right answer or from another.
    """
    answer = question.answer
    assert answer is not None
    inputs = {feed.input: feed.value(givens) for feed in answer.feeds}
    try:
        evaluation = answer.calculation.evaluate(inputs, shop)
    except Refusal as refusal:
        raise Rejected("refusal", f"the calculation refuses: {refusal}") from None
    expected = float(evaluation.values[answer.result]) * answer.factor
    if not answer.low <= expected <= answer.high:
        raise Rejected("field", f"the answer {expected:.6g} {answer.unit} lies outside the field's range")
    for exact in knife_edges(question):
        if on_edge(float(evaluation.values[exact])):
            raise Rejected("edge", f"{exact} = {evaluation.values[exact]:.6g} is on a knife edge", exact)
    found = slips.listed(question.slips, answer, inputs, evaluation, givens, shop)
    for place, slip in enumerate(found):
        meets = slips.collision(slip, expected, found[:place], answer.tolerance, answer.unit)
        if meets is not None:
            raise Rejected("slip", f"the slip {slip.id} cannot be told from {meets}", slip.id)
    found += slips.built_in(answer, expected, inputs, found, shop)
    return {
        "calculation": answer.calculation.name,
        "inputs": evaluation.inputs,
        "result": answer.result,
        "expected": expected,
        "unit": answer.unit,
        "tolerance": answer.tolerance,
        "slips": tuple(found),
        "short": question.short,
        "over": question.over,
    }


def on_edge(exact: float) -> bool:
    """Whether a count's unrounded value lies within 2 % (at most 0.2) of a whole number."""
    return abs(exact - round(exact)) <= min(EDGE_SHARE * abs(exact), EDGE_MOST)


@lru_cache(maxsize=1024)
def knife_edges(question: Question) -> tuple[str, ...]:
    """The unrounded values that the answer turns on: those behind it that some quantity rounds up."""
    answer = question.answer
    evaluation = _trial(question)
    if answer is None or evaluation is None:
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
    answer = question.answer
    assert answer is not None
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
    try:
        reading = notation.read(typed, draw.unit, language)
    except Refusal as refusal:
        return Grade("unreadable", refusal=refusal.in_language(language))
    value, shown = float(reading.value), reading.shown(language)
    if draw.tolerance.accepts(draw.expected, value):
        return Grade("right", 1.0, shown)
    slip = slips.match(draw.slips, value, draw.tolerance, draw.unit)
    side = "short" if value < draw.expected else "over"
    difference = written(abs(value - draw.expected), draw.unit).in_language(language)
    return Grade(
        "wrong",
        0.0,
        shown,
        slip=slip.id if slip else None,
        slip_text=slip.text.in_language(language) if slip else "",
        side=side,
        difference=difference,
        consequence=_consequence(
            draw, draw.short if side == "short" else draw.over, difference, shown, language
        ),
    )


def _consequence(draw: Draw, text: Text | None, difference: str, given: str, language: str) -> str:
    if text is None:
        return ""
    values = {name: one.text.in_language(language) for name, one in draw.givens.items()}
    values |= {"difference": difference, "given": given, "expected": draw.answer(language)}
    return fill(text.in_language(language), values)
