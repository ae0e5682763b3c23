"""Granting a clearance, suspending it at once, lifting a suspension.

A grant records the owner's decision on a day; it keeps a frozen copy of the evidence it rested on.
"""

from __future__ import annotations

from dataclasses import asdict, fields, is_dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.clearance import Clearance, Evidence, Rules, Sheet, Standing, standing
from trainer.clearance.words import day, joined
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import (
    Actor,
    active_person_of,
    checked_text,
    need_other,
    need_owner,
    need_reviewer,
    person_of,
)
from trainer.records.evidence import evidence_of
from trainer.records.fingerprints import fingerprint
from trainer.records.models import Grant, Paper, PaperQuestion, Suspension
from trainer.records.rules import in_force
from trainer.records.shop import today_in_shop

REASON = Text(en="The reason", es="el motivo")


class RequirementsUnmet(Refusal):
    """The grant is refused; standing: with the line of each requirement and the reasons."""

    def __init__(self, refused: Standing, name: str) -> None:
        self.standing = refused
        # Without a grant "no grant is in force" is always among the reasons, and says nothing here.
        unmet = [line for line in refused.lines if not line.met]
        reasons = refused.reasons if refused.suspension or not unmet else [line.what for line in unmet]
        super().__init__(
            Text(
                en="%(name)s cannot be cleared for %(clearance)s yet: %(reasons)s",
                es="%(name)s aún no puede recibir la autorización %(clearance)s: %(reasons)s",
            ),
            name=name,
            clearance=refused.name,
            reasons=joined(reasons),
        )


class AlreadySo(Refusal):
    """What was asked for is so already: a grant as long is in force, or the person is suspended."""


def grant(
    session: Session, actor: Actor, now: datetime, *, person_id: int, clearance: str, rules: Rules
) -> int:
    """Clear the person from today until the earliest day on which a requirement runs out.

    Owner only, never for oneself. Raises RequirementsUnmet; AlreadySo when a grant as long is in force.
    """
    need_owner(actor)
    need_other(actor, person_id, Text(en="Nobody clears themselves.", es="Nadie se autoriza a sí mismo."))
    on = today_in_shop(session, now)
    rules = in_force(session, on, rules)
    rule = _clearance(rules, clearance)
    person = active_person_of(session, person_id)
    evidence = evidence_of(session, person.id)
    now_stands = standing(person.id, clearance, evidence, on, rules)
    if not now_stands.requirements_met or now_stands.suspension is not None:
        raise RequirementsUnmet(now_stands, person.name)
    until, held = now_stands.requirements_until, now_stands.grant
    if held is not None and not now_stands.grantable:
        raise AlreadySo(
            Text(
                en="%(name)s is cleared for %(clearance)s already%(until)s.",
                es="%(name)s ya tiene vigente la autorización %(clearance)s%(until)s.",
            ),
            name=person.name,
            clearance=rule.name,
            until=_through(held.until),
        )
    frozen = freeze(now_stands, evidence) | {"questions": _questions(session, person.id)}
    row = Grant(
        clearance=rule.id,
        version=rule.version,
        person_id=person.id,
        by_id=actor.id,
        since=on,
        until=until,
        evidence=frozen,
        at=now,
    )
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="clearance granted",
        actor_id=actor.id,
        person_id=person.id,
        grant=row.id,
        clearance=rule.id,
        version=rule.version,
        since=on,
        until=until,
        evidence_hash=evidence_hash(frozen),
    )
    return row.id


def suspend(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    person_id: int,
    clearance: str,
    reason: str,
    rules: Rules,
) -> int:
    """Take the leave back at once. Trainer or owner. Refusal without a reason, AlreadySo when suspended."""
    need_reviewer(actor)
    on = today_in_shop(session, now)
    rule = _clearance(in_force(session, on, rules), clearance)
    person = person_of(session, person_id)
    why = checked_text(reason, REASON)
    open_one = session.scalar(
        select(Suspension.id).where(
            Suspension.person_id == person.id, Suspension.clearance == rule.id, Suspension.lifted_at.is_(None)
        )
    )
    if open_one is not None:
        raise AlreadySo(
            Text(
                en="%(name)s is suspended from %(clearance)s already.",
                es="%(name)s ya tiene suspendida la autorización %(clearance)s.",
            ),
            name=person.name,
            clearance=rule.name,
        )
    row = Suspension(clearance=rule.id, person_id=person.id, reason=why, by_id=actor.id, since=on, at=now)
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="clearance suspended",
        actor_id=actor.id,
        person_id=person.id,
        suspension=row.id,
        clearance=rule.id,
        since=on,
        reason=why,
    )
    return row.id


def lift(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    person_id: int,
    clearance: str,
    suspension_id: int,
    reason: str,
) -> None:
    """End the person's suspension from the clearance, with the reason. Owner only, never one's own.

    Raises UnknownName when there is no such suspension, or it is another person's or another clearance's.
    """
    need_owner(actor)
    row = session.scalars(
        select(Suspension)
        .where(
            Suspension.id == suspension_id,
            Suspension.person_id == person_id,
            Suspension.clearance == clearance,
        )
        .with_for_update()
    ).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such suspension.", es="No existe esa suspensión."))
    need_other(
        actor,
        row.person_id,
        Text(en="Nobody lifts their own suspension.", es="Nadie levanta su propia suspensión."),
    )
    if row.lifted_at is not None:
        raise Refusal(Text(en="It was lifted already.", es="Ya fue levantada."))
    row.lifted_reason = checked_text(reason, REASON)
    row.lifted_by_id, row.lifted_at, row.lifted_on = actor.id, now, today_in_shop(session, now)
    history.append(
        session,
        now,
        kind="suspension lifted",
        actor_id=actor.id,
        person_id=row.person_id,
        suspension=row.id,
        clearance=row.clearance,
        lifted_on=row.lifted_on,
        reason=row.lifted_reason,
    )


def freeze(now_stands: Standing, evidence: Evidence) -> dict[str, Any]:
    """What a grant rests on, as plain data: each requirement's line, and all the evidence there was."""
    lines = [
        {
            "requirement": asdict(line.requirement),
            "met": line.met,
            "what": asdict(line.what),
            "by_what": asdict(line.by_what) if line.by_what else None,
            "until": line.until,
            "reason": asdict(line.reason),
        }
        for line in now_stands.lines
    ]
    return history.plain({"lines": lines, "evidence": as_data(evidence)})


def _questions(session: Session, person_id: int) -> dict[str, list[str]]:
    """By paper, what it asked, in order: the evidence tells how each question was marked, not which it was."""
    found: dict[str, list[str]] = {}
    rows = session.execute(
        select(PaperQuestion.paper_id, PaperQuestion.question)
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .where(Paper.person_id == person_id, Paper.closed_at.is_not(None))
        .order_by(PaperQuestion.paper_id, PaperQuestion.position)
    )
    for paper, question in rows:
        found.setdefault(str(paper), []).append(question)
    return found


def as_data(known: Any) -> Any:
    """Evidence with everything in it as mappings and lists."""
    if is_dataclass(known):
        return {field.name: as_data(getattr(known, field.name)) for field in fields(known)}
    if isinstance(known, tuple) and hasattr(known, "_asdict"):
        return {name: as_data(value) for name, value in known._asdict().items()}
    return [as_data(one) for one in known] if isinstance(known, (tuple, Sheet)) else known


def evidence_hash(frozen: dict[str, Any]) -> str:
    """SHA-256 of frozen evidence; the history holds it, so that a change to the copy is noticed."""
    return fingerprint(frozen)


def _clearance(rules: Rules, clearance: str) -> Clearance:
    if clearance not in rules.clearances:
        raise UnknownName(
            Text(en="There is no clearance %(given)s.", es="No existe la autorización %(given)s."),
            given=repr(clearance),
        )
    return rules.clearances[clearance]


def _through(last: Any) -> Text:
    if last is None:
        return Text(en="", es="")
    shown = day(last)
    return Text(en=f" through {shown.en}", es=f" hasta el {shown.es}")
