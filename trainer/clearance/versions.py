"""What would change in a person's standings with other evidence: shown before an older lesson is accepted or asked again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trainer.clearance.evidence import Evidence
from trainer.clearance.requirements import Rules
from trainer.clearance.standing import Standing, standings


@dataclass(frozen=True, slots=True)
class Change:
    """One clearance that would stand otherwise, before and after."""

    before: Standing
    after: Standing


def changes(evidence: Evidence, otherwise: Evidence, on: date, rules: Rules) -> tuple[Change, ...]:
    """The clearances of one person whose state, or whether their requirements are met, would not be the same.

    evidence, otherwise: of the same person, as it is and as it would be
    """
    pairs = zip(
        standings(evidence.person_id, evidence, on, rules),
        standings(evidence.person_id, otherwise, on, rules),
        strict=True,
    )
    return tuple(
        Change(before, after)
        for before, after in pairs
        if (before.state, before.requirements_met) != (after.state, after.requirements_met)
    )
