"""The hints of a draw: from which sizes matter, over the question's own hints, to the first worked step.

The question's file holds what only a person can say; the first and the last rung are made from the working with the
draw's own numbers. A rung that would give the answer away is left out.
"""

from __future__ import annotations

from typing import Any, Final

from trainer import calc
from trainer.calc import Calculation, Evaluation, Input
from trainer.calc.working import Step, leading_to, read_from, with_numbers
from trainer.languages import LANGUAGES, Text
from trainer.questions.draw import given_away
from trainer.questions.drawn import Draw, Solved

MOST_HINTS: Final = 3
SIZES: Final = Text(en="These numbers matter: %s.", es="Estos números cuentan: %s.")
FIRST_STEP: Final = Text(
    en="The first step: %(what)s = %(sum)s = %(gives)s.", es="El primer paso: %(what)s = %(sum)s = %(gives)s."
)


def hints(draw: Draw) -> tuple[Text, ...]:
    """At most three hints, the broadest first."""
    own, solved = draw.hints, draw.body.solved()
    if len(own) >= MOST_HINTS or not solved:
        return own[:MOST_HINTS]
    first = solved[0]
    evaluation = calc.work(first.calculation, first.inputs)
    steps = leading_to(evaluation.steps, first.result)
    last = _safe(_first_step(steps, first.result), solved)
    rungs = (*own, *last)
    if len(rungs) < MOST_HINTS:
        rungs = (*_safe(_sizes(draw, evaluation, steps), solved), *rungs)
    return rungs


def _safe(hint: Text | None, solved: tuple[Solved, ...]) -> tuple[Text, ...]:
    """The hint, unless there is none or it holds an answer."""
    if hint is None or any(given_away(hint, one.expected, one.unit) for one in solved):
        return ()
    return (hint,)


def _first_step(steps: tuple[Step, ...], result: str) -> Text | None:
    """The first line of the working that is worked out and is not the answer itself."""
    first = next((step for step in steps if step.computed and step.quantity.kind == "number"), None)
    if first is None or first.name == result:
        return None
    return Text(
        *(
            FIRST_STEP.in_language(language)
            % {
                "what": first.quantity.meaning.in_language(language),
                "sum": with_numbers(first.made, language),
                "gives": first.shown(language),
            }
            for language in LANGUAGES
        )
    )


def _sizes(draw: Draw, evaluation: Evaluation, steps: tuple[Step, ...]) -> Text | None:
    """What the answer rests on of all that the question tells; None when nothing of it can be left aside."""
    read = {name for step in steps for name in read_from(step.made)}
    calculation: Calculation = evaluation.calculation
    named = [each for each in calculation.inputs if each.name in read and each.name in draw.givens]
    if not named or len(named) == len(draw.givens):
        return None
    return Text(*(SIZES.in_language(language) % _row(named, language) for language in LANGUAGES))


def _row(inputs: list[Input], language: str) -> str:
    return "; ".join(each.meaning.in_language(language) for each in inputs)


def opened(draw: Any, number: int) -> Text | None:
    """Hint `number`, from 1, of a draw's JSON; None when it has no such hint."""
    known = hints(Draw.from_json(draw))
    return known[number - 1] if 1 <= number <= len(known) else None
