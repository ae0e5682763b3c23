"""What the history says must stand in the records: each event's claims about rows.

A claim names a row by a kind and a key, as `trainer.records.held` does, and the fields that the event fixes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

from trainer.records.claim import LACKING, Claim, Key
from trainer.records.told_quizzes import QUIZZES
from trainer.records.told_regrades import REGRADES


@dataclass
class _Person:
    """A person as far as the events have told."""

    number: int
    name: str
    roles: list[str]
    left_at: datetime | None = None
    email: str | None = None
    absences: list[list[datetime | None]] = field(default_factory=list)


class Told:
    """Reads events in their order. Of what changes in place, only the last state is claimed, at the end."""

    def __init__(self) -> None:
        self.people: dict[int, _Person] = {}
        self.shop: tuple[int, dict[str, Any]] | None = None
        self.crews: dict[int, Claim] = {}
        self.seen: Counter[tuple[str, Key]] = Counter()

    def claims(self, events: Iterable[Any]) -> Iterator[Claim]:
        """events: with number, at, kind, actor_id, person_id and facts."""
        for event in events:
            try:
                yield from [self._checked(claim) for claim in self._of(event)]
            except (KeyError, TypeError, ValueError, AttributeError):
                yield Claim(event.number, event.kind, (), None)
        if self.shop is not None:
            yield Claim(self.shop[0], "shop", (), self.shop[1])
        yield from self.crews.values()
        for id, person in self.people.items():
            yield Claim(
                person.number,
                "person",
                (id,),
                {
                    "name": person.name,
                    "roles": sorted(person.roles),
                    "left_at": person.left_at,
                    "email": person.email,
                },
            )
            for left, back in person.absences:
                yield self._numbered(Claim(person.number, "absence", (id, left), {"back_at": back}))

    def _of(self, event: Any) -> Iterable[Claim]:
        if event.kind in IN_PLACE:
            IN_PLACE[event.kind](self, event, event.facts)
        claim = CLAIMS.get(event.kind)
        return claim(event, event.facts) if claim else ()

    def _checked(self, claim: Claim) -> Claim:
        assert claim.fields is not None
        lacking = tuple(name for name, value in claim.fields.items() if value is LACKING)
        known = {name: value for name, value in claim.fields.items() if value is not LACKING}
        return self._numbered(claim._replace(fields=known, lacking=lacking))

    def _numbered(self, claim: Claim) -> Claim:
        if claim.kind not in REPEATING:
            return claim
        return claim._replace(key=numbered(self.seen, claim.kind, claim.key))


# Rows without a natural key: the first, second … of the same key. The store numbers them in the order of events.
REPEATING: Final = {"absence", "comment", "grade change", "standard"}


def numbered(seen: Counter[tuple[str, Key]], kind: str, key: Key) -> Key:
    """The key with how many of the same came before it."""
    seen[kind, key] += 1
    return (*key, seen[kind, key])


# What changes in place ------------------------------------------------------------------------------------------


def _added(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    told.people[event.person_id] = _Person(event.number, facts["name"], list(facts["roles"]))


def _changed(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    person = told.people[event.person_id]
    person.number, person.name = event.number, facts["after"]["name"]


def _roles(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    person = told.people[event.person_id]
    person.number, person.roles = event.number, list(facts["after"])


def _left(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    person = told.people[event.person_id]
    person.number, person.left_at = event.number, event.at
    person.absences.append([event.at, None])


def _back(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    person = told.people[event.person_id]
    person.number, person.left_at = event.number, None
    person.absences[-1:] = [[person.absences[-1][0], event.at]] if person.absences else []


def _email(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    person = told.people[event.person_id]
    person.number, person.email = event.number, facts["email_hash"]


def _shop(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    values = facts.get("after", facts)
    told.shop = event.number, {"name": values["name"], "zone": values["zone"]}


def _crew(told: Told, event: Any, facts: Mapping[str, Any]) -> None:
    values = facts.get("after", facts)
    fields = {"name": values["name"], "people": values["people"]}
    told.crews[facts["crew"]] = Claim(event.number, "crew", (facts["crew"],), fields)


IN_PLACE: Final[Mapping[str, Callable[[Told, Any, Mapping[str, Any]], None]]] = {
    "person added": _added,
    "person changed": _changed,
    "roles changed": _roles,
    "e-mail address changed": _email,
    "person deactivated": _left,
    "person reactivated": _back,
    "crew made": _crew,
    "crew changed": _crew,
    "shop set up": _shop,
    "shop changed": _shop,
}


# What is written once -------------------------------------------------------------------------------------------


def _standard(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"at": event.at, "by": event.actor_id, "values": facts.get("standard_hash", LACKING)}
    yield Claim(event.number, "standard", (), fields)


def _read(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    key = (event.person_id, facts["lesson"], facts["version"])
    yield Claim(event.number, "reading", key, {"at": event.at, "checked": facts.get("checked", LACKING)})


def _gone_through(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    key = (event.person_id, facts["lesson"], facts["version"])
    yield Claim(event.number, "lesson end", key, {"at": event.at})


def _checked(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    key = (event.person_id, facts["lesson"], facts["version"], facts["question"], facts["attempt"])
    names = ("question_version", "seed", "typed", "shown", "right", "slip")
    yield Claim(event.number, "check", key, {**{name: facts[name] for name in names}, "at": event.at})


def _opened(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    yield Claim(event.number, "opening", (facts["paper"],), {"at": event.at})


def _closed(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"at": event.at, "how": facts.get("how", "taken back"), "score": facts.get("score", LACKING)}
    yield Claim(event.number, "hand-in", (facts["paper"],), fields)


def _reviewed(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    yield Claim(event.number, "review", (facts["paper"],), {"at": event.at, "by": event.actor_id})


def _answered(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {
        "typed": facts["typed"],
        "shown": facts["shown"],
        "credit": float(facts["credit"]),
        "right": facts.get("right", LACKING),
        "slip": facts.get("slip", LACKING),
        "at": event.at,
    }
    yield Claim(event.number, "answer", (facts["paper"], facts["position"]), fields)


def _typed_in(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    yield from _answered(event, facts)
    yield Claim(event.number, "typing in", (facts["paper"], facts["position"]), {"by": event.actor_id})


def _hint(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    key = (facts["paper"], facts["position"], facts["hint"])
    yield Claim(event.number, "hint", key, {"text": facts["text"], "at": event.at})


def _regraded(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {
        "before": float(facts["before"]),
        "after": float(facts["after"]),
        "left_out": False,  # only a question graded anew is left out
        "reason": facts["reason"],
        "by": event.actor_id,
    }
    yield Claim(event.number, "grade change", (facts["paper"], facts["position"], event.at), fields)


def _commented(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"position": facts["position"], "text": facts["text"], "by": event.actor_id}
    yield Claim(event.number, "comment", (facts["paper"], event.at), fields)


def _signed_off(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {
        "person": event.person_id,
        "by": event.actor_id,
        "task": facts["task"],
        "version": facts["version"],
        "passed": event.kind == "task signed off",
        "criteria": facts["criteria"],
        "fails": facts["fails"],
        "measures": facts.get("measured", LACKING),
        "notes": facts["notes"],
        "at": event.at,
    }
    yield Claim(event.number, "sign-off", (facts["sign_off"],), fields)
    for position, marks in enumerate(facts.get("photos", ()), start=1):
        yield Claim(event.number, "photograph", (facts["sign_off"], position), _file(marks))


def _file(marks: Sequence[str | None]) -> dict[str, Any]:
    return dict(zip(("file", "small"), marks, strict=True))


def _certificate(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {name: facts[name] for name in ("issuer", "issued", "expires", "entered_on")}
    who = {"person": event.person_id, "by": event.actor_id, "at": event.at}
    yield Claim(
        event.number,
        "certificate",
        (facts["certificate"],),
        {**fields, **who, "kind": facts["certificate_kind"]},
    )
    if "certificate_file" in facts:
        key = (facts["certificate"],)
        yield Claim(event.number, "paper of a certificate", key, _file(facts["certificate_file"]))


def _withdrawn(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"by": event.actor_id, "reason": facts["reason"], "on": facts["withdrawn_on"], "at": event.at}
    yield Claim(event.number, "withdrawal", (facts["certificate"],), fields)


def _granted(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {name: facts[name] for name in ("clearance", "version", "since", "until")}
    who = {"person": event.person_id, "by": event.actor_id, "evidence": facts["evidence_hash"]}
    yield Claim(event.number, "grant", (facts["grant"],), {**fields, **who, "at": event.at})


def _suspended(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {name: facts[name] for name in ("clearance", "since", "reason")}
    who = {"person": event.person_id, "by": event.actor_id, "at": event.at}
    yield Claim(event.number, "suspension", (facts["suspension"],), {**fields, **who})


def _accepted(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {name: facts[name] for name in ("lesson", "version", "present", "since", "reason")}
    who = {"by": event.actor_id, "at": event.at}
    yield Claim(event.number, "acceptance", (facts["acceptance"],), {**fields, **who})


def _asked_again(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"by": event.actor_id, "reason": facts["reason"], "on": facts["ended_on"], "at": event.at}
    yield Claim(event.number, "asking again", (facts["acceptance"],), fields)


def _lifted(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {
        "by": event.actor_id,
        "reason": facts["reason"],
        "on": facts.get("lifted_on", LACKING),
        "at": event.at,
    }
    yield Claim(event.number, "lifting", (facts["suspension"],), fields)


def _linked(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"use": facts["use"], "key_hash": facts["key_hash"], "person": event.person_id}
    yield Claim(event.number, "link", (facts["link"],), {**fields, "by": event.actor_id, "at": event.at})


def _unlinked(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"by": event.actor_id, "at": event.at}
    yield Claim(event.number, "link withdrawal", (facts["link"],), fields)


def _rules(event: Any, facts: Mapping[str, Any]) -> Iterator[Claim]:
    fields = {"how": facts["how_decided"], "since": facts["since"], "reason": facts["reason"]}
    marks = {"rules": facts["rules_hash"], "shipped": facts["shipped_hash"]}
    yield Claim(
        event.number, "rules", (facts["rules"],), {**fields, **marks, "by": event.actor_id, "at": event.at}
    )


CLAIMS: Final[Mapping[str, Callable[[Any, Mapping[str, Any]], Iterator[Claim]]]] = {
    "shop set up": _standard,
    "standard changed": _standard,
    "lesson gone through": _gone_through,
    "check question answered": _checked,
    "lesson read": _read,
    "older lesson accepted": _accepted,
    "older lesson asked again": _asked_again,
    "paper opened": _opened,
    "paper handed in": _closed,
    "paper taken back": _closed,
    "paper reviewed": _reviewed,
    "hint opened": _hint,
    "answer given": _answered,
    "answer typed in": _typed_in,
    "grade changed": _regraded,
    "comment made": _commented,
    "task signed off": _signed_off,
    "task not passed": _signed_off,
    "certificate entered": _certificate,
    "certificate withdrawn": _withdrawn,
    "clearance granted": _granted,
    "clearance suspended": _suspended,
    "suspension lifted": _lifted,
    "private link made": _linked,
    "private link withdrawn": _unlinked,
    "rules changed": _rules,
    **QUIZZES,
    **REGRADES,
}
