"""Whether nothing in a sign-off contradicts that it was passed: noted with it, so that a board need not read all of it again.

It is worked out from what never changes; `apart` finds a note that is not true.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.records.models import SignOff

BATCH = 1000


def is_sound(criteria: list[Any], fails: list[Any], measures: dict[str, Any]) -> bool:
    """criteria, fails, measures: as the sign-off keeps them"""
    criteria_met = bool(criteria) and all(met is True for met in criteria)
    measured_well = all(isinstance(one, dict) and one.get("ok") is not False for one in measures.values())
    return criteria_met and not fails and measured_well


def apart(session: Session) -> Iterator[int]:
    """The sign-offs whose note is not what they say."""
    rows = session.execute(
        select(SignOff.id, SignOff.sound, SignOff.criteria, SignOff.fails, SignOff.measures)
        .order_by(SignOff.id)
        .execution_options(yield_per=BATCH)
    )
    for id, noted, *seen in rows:
        if noted != is_sound(*seen):
            yield id
