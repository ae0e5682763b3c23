"""What a grant rested on, read back from the copy of the evidence that was frozen with it.

The copy is plain data, as `trainer.records.grants.freeze` makes it. What of it cannot be read is left out, and
a line without a date says so, rather than have one invented.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Training:
    """One requirement of a grant and what met it.

    kind: of the requirement, "lesson", "quiz", "sign-off", "certificate", "clearance"
    days: the date or dates of the training, oldest first; empty when the copy names none
    by: who assigned, watched or issued it; result: what met it, in words; until: its last good day
    """

    kind: str
    what: Text
    days: tuple[date, ...]
    by: tuple[str, ...]
    result: Text
    until: date | None


def trainings(frozen: Any, names: Mapping[int, str]) -> tuple[Training, ...]:
    """Every requirement of the copy that was met, in its order. names: of people, by id."""
    evidence = _mapping(_mapping(frozen).get("evidence"))
    found = []
    for line in _list(_mapping(frozen).get("lines")):
        need, what, result = (
            _mapping(line.get("requirement")),
            _text(line.get("what")),
            _text(line.get("reason")),
        )
        if not line.get("met") or what is None:
            continue
        days, by = _MET_BY.get(str(need.get("kind")), _nothing)(need, evidence, names)
        found.append(
            Training(
                str(need.get("kind")),
                what,
                tuple(sorted(days)),
                tuple(dict.fromkeys(by)),
                result or what,
                _day(line.get("until")),
            )
        )
    return tuple(found)


def people_in(frozen: Any) -> frozenset[int]:
    """The ids of the people whom `trainings` needs to name."""
    papers = _list(_mapping(_mapping(frozen).get("evidence")).get("papers"))
    return frozenset(paper["assigned_by"] for paper in papers if isinstance(paper.get("assigned_by"), int))


Found = tuple[list[date], list[str]]


def _nothing(need: Mapping[str, Any], evidence: Mapping[str, Any], names: Mapping[int, str]) -> Found:
    return [], []


def _lesson(need: Mapping[str, Any], evidence: Mapping[str, Any], names: Mapping[int, str]) -> Found:
    """The last reading of the newest version that was read."""
    read = [
        (reading.get("version") or 0, on)
        for reading in _list(evidence.get("readings"))
        if reading.get("lesson") == need.get("lesson") and (on := _day(reading.get("on"))) is not None
    ]
    return ([max(read)[1]], []) if read else ([], [])


def _quiz(need: Mapping[str, Any], evidence: Mapping[str, Any], names: Mapping[int, str]) -> Found:
    """The newest paper on all of the skills."""
    skills = set(need.get("skills") or ())
    sat = [
        (on, str(paper.get("moment") or ""), paper.get("assigned_by"))
        for paper in _list(evidence.get("papers"))
        if skills and skills <= _skills(paper) and (on := _day(paper.get("handed_in"))) is not None
    ]
    if not sat:
        return [], []
    on, _, by_id = max(sat, key=lambda one: one[:2])
    return [on], [names[by_id]] if isinstance(by_id, int) and by_id in names else []


def _skills(paper: Mapping[str, Any]) -> set[str]:
    return {skill for answer in _list(paper.get("answers")) for skill in answer.get("skills") or ()}


def _sign_off(need: Mapping[str, Any], evidence: Mapping[str, Any], names: Mapping[int, str]) -> Found:
    """The newest passes that were needed, none of them from before the last time it was not passed."""
    seen = sorted(
        (on, one.get("id") or 0, bool(one.get("passed") and one.get("sound")), str(one.get("observer")))
        for one in _list(evidence.get("sign_offs"))
        if one.get("task") == need.get("task") and (on := _day(one.get("on"))) is not None
    )
    failed = max((place for place, one in enumerate(seen) if not one[2]), default=-1)
    counting = seen[failed + 1 :][-max(int(need.get("times") or 1), 1) :]
    return [one[0] for one in counting], [one[3] for one in counting]


def _certificate(need: Mapping[str, Any], evidence: Mapping[str, Any], names: Mapping[int, str]) -> Found:
    """The certificate that is good longest."""
    held = [
        (
            date.max if one.get("never_expires") else _day(one.get("expires")) or date.min,
            on,
            str(one.get("issuer")),
        )
        for one in _list(evidence.get("certificates"))
        if one.get("kind") == need.get("certificate") and (on := _day(one.get("issued"))) is not None
    ]
    return ([max(held)[1]], [max(held)[2]]) if held else ([], [])


def _clearance(need: Mapping[str, Any], evidence: Mapping[str, Any], names: Mapping[int, str]) -> Found:
    """The grant of the other clearance, which has a record of its own."""
    given = [
        (on, one.get("id") or 0, str(one.get("by")))
        for one in _list(evidence.get("grants"))
        if one.get("clearance") == need.get("clearance") and (on := _day(one.get("since"))) is not None
    ]
    return ([max(given)[0]], [max(given)[2]]) if given else ([], [])


_MET_BY = {
    "lesson": _lesson,
    "quiz": _quiz,
    "sign-off": _sign_off,
    "certificate": _certificate,
    "clearance": _clearance,
}


def _mapping(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}


def _list(value: Any) -> Iterable[Mapping[str, Any]]:
    return [one for one in value if isinstance(one, Mapping)] if isinstance(value, list) else []


def _day(value: Any) -> date | None:
    try:
        return date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _text(value: Any) -> Text | None:
    both = _mapping(value)
    return Text(en=str(both["en"]), es=str(both["es"])) if {"en", "es"} <= both.keys() else None
