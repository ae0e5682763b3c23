"""Which papers a grant rested on, read from the copy of the evidence that it keeps.

papers_behind(frozen)       the papers that met its quiz requirements when it was given
clearances_behind(frozen)   the other clearances it required

What cannot be read rests on nothing that is known: an owner looks at such a grant on its own page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any


def papers_behind(frozen: Any) -> frozenset[int]:
    """The ids of the newest papers on all skills of each quiz requirement; of papers equally new, each."""
    papers = _mappings(_mapping(_mapping(frozen).get("evidence")).get("papers"))
    found: set[int] = set()
    for need in _needs(frozen, "quiz"):
        skills = set(need.get("skills") or ())
        sat = [
            ((handed_in, str(paper.get("moment") or "")), paper["paper_id"])
            for paper in papers
            if skills
            and skills <= _skills(paper)
            and isinstance(paper.get("paper_id"), int)
            and _is_day(handed_in := paper.get("handed_in"))
        ]
        newest = max((when for when, _ in sat), default=None)
        found |= {paper for when, paper in sat if when == newest}
    return frozenset(found)


def clearances_behind(frozen: Any) -> frozenset[str]:
    """The ids of the clearances that it required."""
    return frozenset(str(need["clearance"]) for need in _needs(frozen, "clearance") if "clearance" in need)


def _needs(frozen: Any, kind: str) -> list[Mapping[str, Any]]:
    lines = _mappings(_mapping(frozen).get("lines"))
    return [need for line in lines if (need := _mapping(line.get("requirement"))).get("kind") == kind]


def _skills(paper: Mapping[str, Any]) -> set[str]:
    return {skill for answer in _mappings(paper.get("answers")) for skill in answer.get("skills") or ()}


def _is_day(value: Any) -> bool:
    try:
        return isinstance(value, str) and bool(date.fromisoformat(value))
    except ValueError:
        return False


def _mapping(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}


def _mappings(value: Any) -> list[Mapping[str, Any]]:
    return [one for one in value if isinstance(one, Mapping)] if isinstance(value, Iterable) else []
