"""Slips: where a known mistake leads on the numbers of one draw.

listed      the question's own slips, each computed by the core with one thing changed
built_in    the slips of units, tried for every number; a flue's radius taken for its diameter
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

from trainer.calc import Evaluation, Flue
from trainer.errors import Refusal
from trainer.questions.drawn import DrawnSlip, Given, Tolerance
from trainer.questions.model import Answer, Change, SlipRule
from trainer.questions.unit_slips import RADIUS, UNIT_SLIPS
from trainer.questions.writing import fill_both

RIGHT_ANSWER: Final = "the right answer"


def listed(
    rules: Sequence[SlipRule],
    answer: Answer,
    inputs: Mapping[str, Any],
    evaluation: Evaluation,
    givens: Mapping[str, Given],
    shop: Mapping[str, Any],
) -> list[DrawnSlip]:
    """The question's own slips on these numbers.

    inputs: what the answer's calculation was given; evaluation: what it made of them
    A slip that changes nothing here (the shop's overhang is what the slip takes) or that the core refuses is left out.
    """
    slips = []
    for rule in rules:
        value = _value(rule, answer, inputs, evaluation, givens, shop)
        if value is not None and math.isfinite(value):
            slips.append(DrawnSlip(rule.id, value, fill_both(rule.text, givens)))
    return slips


def _value(
    rule: SlipRule,
    answer: Answer,
    inputs: Mapping[str, Any],
    evaluation: Evaluation,
    givens: Mapping[str, Given],
    shop: Mapping[str, Any],
) -> float | None:
    if rule.calculation is answer.calculation and not rule.changes:
        return float(evaluation.values[rule.result]) * rule.factor
    changed = changed_inputs(rule, answer, inputs, evaluation, givens)
    if changed is None:
        return None
    try:
        return float(rule.calculation.evaluate(changed, shop).values[rule.result]) * rule.factor
    except Refusal:
        return None


def changed_inputs(
    rule: SlipRule,
    answer: Answer,
    inputs: Mapping[str, Any],
    evaluation: Evaluation,
    givens: Mapping[str, Given],
) -> dict[str, Any] | None:
    """What the slip gives its calculation instead; None when that is no change at all."""
    same = rule.calculation is answer.calculation
    known = {each.name for each in rule.calculation.inputs}
    base = (
        inputs
        if same
        else (
            {name: given.value for name, given in givens.items() if name in known}
            | {name: value for name, value in evaluation.inputs.items() if name in known}
        )
    )
    changed = dict(base)
    for change in rule.changes:
        before = base[change.input] if change.input in base else evaluation.inputs.get(change.input)
        changed[change.input] = _changed(change, before, givens)
    return None if same and changed == base else changed


def _changed(change: Change, before: Any, givens: Mapping[str, Given]) -> Any:
    if change.feed is not None:
        return change.feed.value(givens)
    if change.kind == "none":
        return []
    if change.kind == "zero":
        return 0.0
    times = 0.5 if change.kind == "half" else 2.0
    return [_scaled(one, times) for one in before] if isinstance(before, list) else _scaled(before, times)


def _scaled(value: Any, times: float) -> Any:
    if isinstance(value, Flue):
        return Flue(value.shape, value.length * times, value.width * times)
    return None if value is None else value * times


def built_in(
    answer: Answer,
    expected: float,
    inputs: Mapping[str, Any],
    taken: Sequence[DrawnSlip],
    shop: Mapping[str, Any],
) -> list[DrawnSlip]:
    """The slips of units on this answer, without those that meet the right answer or a slip already `taken`."""
    found = [DrawnSlip(id, expected * factor, text) for id, factor, text in UNIT_SLIPS.get(answer.unit, ())]
    round_flues = [name for name, value in inputs.items() if _has_round(value)]
    for id, times, text in RADIUS if round_flues else ():
        changed = dict(inputs)
        for name in round_flues:
            changed[name] = [_scaled(one, times) if one.shape == "round" else one for one in inputs[name]]
        try:
            value = answer.calculation.evaluate(changed, shop).values[answer.result] * answer.factor
        except Refusal:
            continue
        found.append(DrawnSlip(id, value, text))
    kept: list[DrawnSlip] = []
    for slip in found:
        if collision(slip, expected, [*taken, *kept], answer.tolerance, answer.unit) is None:
            kept.append(slip)
    return kept


def _has_round(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(one, Flue) and one.shape == "round" for one in value)


def collision(
    slip: DrawnSlip, expected: float, others: Sequence[DrawnSlip], tolerance: Tolerance, unit: str
) -> str | None:
    """What the slip's value cannot be told from: "the right answer", another slip's id, or None."""
    if tolerance.accepts(expected, slip.value):
        return RIGHT_ANSWER
    for other in others:
        if tolerance.near_slip(other.value, slip.value, unit) or tolerance.near_slip(
            slip.value, other.value, unit
        ):
            return other.id
    return None


def match(slips: Sequence[DrawnSlip], value: float, tolerance: Tolerance, unit: str) -> DrawnSlip | None:
    """The slip whose value the answer is, the nearest when several are; None when no slip explains it."""
    near = [slip for slip in slips if tolerance.near_slip(slip.value, value, unit)]
    return min(near, key=lambda slip: abs(slip.value - value), default=None)
