"""The slip search: what a wrong number may come from when no slip of the question explains it.

The core is run again with one thing changed at a time, each input and each step in turn; what comes out as the number that
was typed is a likely explanation. It is a guess for the trainer who reviews the paper. It never touches a grade.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from trainer import calc
from trainer.calc import Calculation, Flue
from trainer.calc.units import convert, unit_named
from trainer.calc.working import leading_to
from trainer.errors import Refusal
from trainer.languages import LANGUAGES, Text
from trainer.questions.drawn import Draw, Given, Unexplained
from trainer.questions.search.causes import WAYS, Cause
from trainer.questions.search.inputs import changed_inputs
from trainer.questions.search.steps import changed_steps
from trainer.questions.writing import written

__all__ = ["Cause", "Explanation", "Guess", "explain", "guesses"]

# How many causes that lead to one number are told together, and how many numbers.
MOST_CAUSES: Final = 3
MOST_EXPLANATIONS: Final = 3
# Two numbers that are the same but for how floats round.
SAME: Final = 1e-9
# What a cause is worth that leads near the number typed but would be written otherwise.
NEAR: Final = 0.1
POINT: Final = (10.0, 0.1)
# A number on the way to the answer is likelier taken for it than one beside the way.
ON_THE_WAY: Final = 1.0
BESIDE: Final = 0.5
OTHER_KIND: Final = 0.3
# What a formula raises on numbers that it would never be given.
IMPOSSIBLE: Final = (
    Refusal,
    ArithmeticError,
    ValueError,
    LookupError,
    AttributeError,
    TypeError,
    StopIteration,
)
OR: Final = Text(en="; or ", es="; o ")


@dataclass(frozen=True, slots=True)
class Explanation:
    """Causes that lead to one number, the likeliest first; none of them can be told from the others by the answer."""

    causes: tuple[Cause, ...]

    @property
    def text(self) -> Text:
        """The sentence in both languages."""
        return Text(*(self.sentence(language) for language in LANGUAGES))

    def sentence(self, language: str) -> str:
        """One sentence that names the likeliest causes."""
        said = OR.in_language(language).join(cause.sentence(language) for cause in self.causes)
        return said[:1].upper() + said[1:] + "."


@dataclass(frozen=True, slots=True)
class Guess:
    """What one wrong number may come from, the likeliest first. title: which of several numbers it is."""

    title: Text | None
    explanations: tuple[Explanation, ...]


def guesses(draw: Draw, typed: str, language: str = "en") -> list[Guess]:
    """For each wrong number of an answer that no slip explains and something here does: what it may come from."""
    found = []
    for wrong in draw.body.unexplained(typed, language):
        explained = explain(wrong, draw.givens.values())
        if explained:
            found.append(Guess(wrong.solved.title, tuple(explained)))
    return found


def explain(wrong: Unexplained, givens: Any = ()) -> list[Explanation]:
    """The likeliest explanations of one wrong number, best first. givens: what stands in the question."""
    near = [cause for cause in causes(wrong, list(givens)) if _near(wrong, cause.value)]
    typed = written(wrong.value, wrong.solved.unit)
    ranked = sorted(
        ((cause.weight * _closeness(wrong, cause.value, typed), cause) for cause in near),
        key=lambda pair: (-pair[0], abs(pair[1].value - wrong.value)),
    )
    groups: list[list[Cause]] = []
    for _, cause in ranked:
        for group in groups:
            if _same(group[0].value, cause.value):
                if all(cause.sentence("en") != other.sentence("en") for other in group):
                    group.append(cause)
                break
        else:
            groups.append([cause])
    return [Explanation(tuple(group[:MOST_CAUSES])) for group in groups[:MOST_EXPLANATIONS]]


def causes(wrong: Unexplained, givens: Sequence[Given]) -> list[Cause]:
    """Every single change of an input or a step that leads to a number at all, whichever number was typed."""
    solved = wrong.solved
    calculation = calc.get(solved.calculation)
    worked = calculation.work(solved.inputs, calc.DEFAULT_SHOP)
    factor = _factor(worked.values[solved.result], solved.expected)

    def rerun(changed: Mapping[str, Any], fixed: Mapping[str, float]) -> float | None:
        try:
            value = calculation.rework({**worked.inputs, **changed}, solved.result, fixed)
        except IMPOSSIBLE:
            return None
        return float(value) * factor if isinstance(value, int | float) and math.isfinite(value) else None

    def run(changed: Mapping[str, Any]) -> float | None:
        return rerun(changed, {})

    steps = leading_to(worked.steps, solved.result)
    found = list(changed_inputs(calculation, worked.inputs, _stands_in(givens), run))
    found += changed_steps(steps, lambda name, value: rerun({}, {name: value}))
    found += _other_numbers(
        calculation, worked.values, solved.result, solved.unit, {step.name for step in steps}
    )
    found += [
        Cause("decimal point", solved.expected * times, WAYS["decimal point"].weight, (f"{times:g}",))
        for times in POINT
    ]
    return found


def _factor(value: float, expected: float) -> float:
    """From the result's own unit to the one asked for."""
    return expected / value if value else 1.0


def _stands_in(givens: Sequence[Given]) -> Any:
    """Whether a value [unit] stands in the question."""
    known: set[Any] = set()
    for given in givens:
        for one in given.value if isinstance(given.value, list | tuple) else [given.value]:
            known.add((given.unit, _key(one)))
    units = {given.unit for given in givens}

    def stands(value: Any, unit: str) -> bool:
        if isinstance(value, float) and unit_named(unit).kind != "count":
            kind = unit_named(unit).kind
            return any(
                (other, _key(convert(value, unit, other))) in known
                for other in units
                if unit_named(other).kind == kind
            )
        return any((other, _key(value)) in known for other in units)

    return stands


def _key(value: Any) -> Any:
    return (
        f"{abs(value):.6g}"
        if isinstance(value, int | float)
        else repr(value)
        if isinstance(value, Flue)
        else str(value)
    )


def _other_numbers(
    calculation: Calculation, values: Mapping[str, Any], result: str, unit: str, on_the_way: set[str]
) -> list[Cause]:
    found = []
    for name, quantity in calculation.quantities.items():
        value = values.get(name)
        if name == result or quantity.kind != "number" or not isinstance(value, int | float) or not value:
            continue
        raw, share = value, ON_THE_WAY if name in on_the_way else BESIDE
        if unit_named(quantity.unit).kind == unit_named(unit).kind:
            value = convert(float(value), quantity.unit, unit)
        else:
            share *= OTHER_KIND
        found.append(
            Cause(
                "another number",
                float(value),
                WAYS["another number"].weight * share,
                (name,),
                new=raw,
                quantity=quantity,
            )
        )
    return found


def _near(wrong: Unexplained, value: float) -> bool:
    """Whether a person who came to `value` would have written the number typed."""
    return math.isfinite(value) and wrong.tolerance.near_slip(value, wrong.value, wrong.solved.unit)


def _closeness(wrong: Unexplained, value: float, typed: Text) -> float:
    if written(value, wrong.solved.unit) == typed:
        return 1.0
    reach = wrong.tolerance.reach(value) or 1.0
    return NEAR / (1 + abs(value - wrong.value) / reach)


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME * max(abs(one), abs(other), 1.0)
