"""What a change of the rules would do: who would gain or lose, before it is made. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from trainer.clearance.evidence import Evidence
from trainer.clearance.requirements import Rules
from trainer.clearance.standing import Standing, standing
from trainer.languages import Text

GAINS, LOSES, ELSE = "gains", "loses", "else"


@dataclass(frozen=True, slots=True)
class Effect:
    """One person's standing on one clearance that the change would alter.

    before, after: None where there is no such clearance
    """

    person_id: int
    before: Standing | None
    after: Standing | None

    @property
    def name(self) -> Text:
        """The clearance's name."""
        held = self.after or self.before
        assert held is not None
        return held.name

    @property
    def kind(self) -> str:
        """GAINS or LOSES leave, or ELSE: only what is missing, or until when it stands, changes."""
        was = self.before is not None and self.before.cleared
        will = self.after is not None and self.after.cleared
        if was == will:
            return ELSE
        return GAINS if will else LOSES


def effects(crew: Mapping[int, Evidence], on: date, before: Rules, after: Rules) -> tuple[Effect, ...]:
    """Every standing on that day that would not be what it is: whoever loses first, then who gains, then the rest.

    crew: what is known of each person, in the order in which they are to be shown
    """
    names = dict.fromkeys((*before.clearances, *after.clearances))
    found = [
        effect
        for person_id, evidence in crew.items()
        for name in names
        if (effect := _effect(person_id, name, evidence, on, before, after)) is not None
    ]
    return tuple(sorted(found, key=lambda one: (LOSES, GAINS, ELSE).index(one.kind)))


def _effect(
    person_id: int, name: str, evidence: Evidence, on: date, before: Rules, after: Rules
) -> Effect | None:
    was = standing(person_id, name, evidence, on, before) if name in before.clearances else None
    will = standing(person_id, name, evidence, on, after) if name in after.clearances else None
    if _seen(was) == _seen(will):
        return None
    return Effect(person_id, was, will)


def _seen(found: Standing | None) -> tuple[object, ...] | None:
    """What a person would notice: the state, and until when it stands. To have nothing is like having no such leave."""
    if found is None or found.state == "not cleared":
        return None
    return found.state, found.until if found.cleared else None
