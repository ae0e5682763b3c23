"""What the history says of quizzes: see `trainer.records.told`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime
from typing import Any, Final

from trainer.records.claim import LACKING, Claim
from trainer.records.fingerprints import fingerprint


def _moment(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text).astimezone(UTC) if text else None


def _deciding(facts: Mapping[str, Any]) -> Any:
    """A mark of the terms of a quiz that decides early; None of one that does not."""
    kept = facts.get("deciding", LACKING)
    return kept if kept is LACKING or kept is None else fingerprint(kept)


def _assigned(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    yield Claim(
        event.number,
        "quiz",
        (facts["quiz"],),
        {
            "title": facts["title"],
            "pass_mark": facts["pass_mark"],
            "hint_cost": facts.get("hint_cost", LACKING),
            "opens": _moment(facts.get("opens")),
            "due": _moment(facts["due"]),
            "by": event.actor_id,
            "at": event.at,
            "deciding": _deciding(facts),
            "must": facts.get("must", []),
            "goes": facts.get("goes", 1),
            "wait": facts.get("wait_hours", 0),
            "repeat": facts.get("repeat"),
            "week": facts.get("week"),
        },
    )
    yield from _paper(event, facts)


def _paper(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    paper = facts["paper"]
    fields = {"person": event.person_id, "quiz": facts["quiz"], "go": facts.get("go", 1)}
    yield Claim(event.number, "paper", (paper,), fields)
    frozen = facts.get("frozen") or [LACKING] * len(facts["questions"])
    for position, (asked, mark) in enumerate(zip(facts["questions"], frozen, strict=True), start=1):
        fields = dict(zip(("question", "version", "hash", "seed"), asked, strict=True))
        yield Claim(event.number, "question", (paper, position), {**fields, "frozen": mark})


def _ended(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    yield Claim(event.number, "taking back", (facts["quiz"],), {"by": event.actor_id, "at": event.at})


def _repeat(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {name: facts[name] for name in ("crews", "people", "until")}
    yield Claim(
        event.number, "weekly quiz", (facts["repeat"],), {**fields, "by": event.actor_id, "at": event.at}
    )


def _stopped(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    yield Claim(event.number, "stop", (facts["repeat"],), {"by": event.actor_id, "at": event.at})


QUIZZES: Final[Mapping[str, Callable[[Any, Mapping[str, Any]], Iterator[Claim]]]] = {
    "quiz assigned": _assigned,
    "quiz sat again": _paper,
    "quiz taken back": _ended,
    "weekly quiz set up": _repeat,
    "weekly quiz stopped": _stopped,
}
