"""What the history says of questions graded anew: see `trainer.records.told`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final

from trainer.records.claim import Claim


def _regrade(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {
        name: facts[name] for name in ("question", "question_version", "by_version", "by_hash", "reason")
    }
    who = {"how": facts["how_mended"], "by": event.actor_id, "at": event.at}
    yield Claim(event.number, "regrade", (facts["regrade"],), {**fields, **who})


def _paper(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    change = {
        "before": float(facts["before"]),
        "after": float(facts["after"]),
        "left_out": facts["left_out"],
        "reason": facts["reason"],
        "by": event.actor_id,
    }
    yield Claim(event.number, "grade change", (facts["paper"], facts["position"], event.at), change)
    scores = {"score": [float(score) for score in facts["scores"]], "passed": facts["passed"]}
    yield Claim(event.number, "regraded paper", (facts["regrade"], facts["paper"]), scores)


def _doubt(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"grant": facts["doubted_grant"], "regrade": facts["regrade"], "at": event.at}
    yield Claim(event.number, "doubt", (facts["doubt"],), fields)


def _settled(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"by": event.actor_id, "text": facts["note"], "at": event.at}
    yield Claim(event.number, "settling", (facts["doubt"],), fields)


def _sent_back(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"again": facts["again"], "reason": facts["reason"], "by": event.actor_id, "at": event.at}
    yield Claim(event.number, "sending back", (facts["paper"],), fields)


REGRADES: Final[Mapping[str, Callable[[Any, Mapping[str, Any]], Iterator[Claim]]]] = {
    "question graded anew": _regrade,
    "paper graded anew": _paper,
    "grant in doubt": _doubt,
    "doubt settled": _settled,
    "paper sent back": _sent_back,
}
