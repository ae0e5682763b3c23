"""The rules of clearance as dated versions: a standing on a day is asked by the rules that were in force on it.

in_force     the rules on a day
begin        the first version: an old store's present rules, in force since the beginning
versions     every version; version: one of them
waiting      whether the rules that come with the program have changed since anyone decided on them
change, withdraw, adopt, keep    what an owner decides; each makes a new version from today on
seen_first   what a change would do, before it is made

No version is ever changed, and none begins before the day on which it is made, so the past stays as it was.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session, aliased

from trainer.clearance import Clearance, Rules, changing, decides, freeze, thaw
from trainer.clearance.effects import Effect, effects
from trainer.errors import StoreError, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, checked_text, need_owner, need_reviewer
from trainer.records.evidence import all_evidence
from trainer.records.fingerprints import fingerprint
from trainer.records.models import HistoryHead, Person, RulesVersion, Shop
from trainer.records.shop import today_in_shop
from trainer.records.submissions import ChangedMeanwhile, SentBefore, stored_before

FIRST: Final = "first"
CHANGED, WITHDRAWN, ADOPTED, KEPT = "changed", "withdrawn", "adopted", "kept"
REASON: Final = Text(en="The reason", es="el motivo")


@dataclass(frozen=True, slots=True)
class Version:
    """One version. since: None for the first; by: "" when nobody decided it; before: the rules it took the place of."""

    id: int
    since: date | None
    how: str
    reason: str
    by: str
    at: datetime
    rules: Rules
    before: Rules | None


def in_force(session: Session, on: date, present: Rules) -> Rules:
    """The rules on that day. present: what the program holds now, which speaks where the store has no version yet."""
    return in_force_and_waiting(session, on, present)[0]


def in_force_and_waiting(session: Session, on: date, present: Rules) -> tuple[Rules, bool]:
    """The rules on that day, and whether the program's own wait for a decision.

    One statement, which reads the shop too: who asks for rules most often asks for its zone next.
    """
    newest = aliased(RulesVersion)
    shipped = select(newest.shipped).order_by(newest.id.desc()).limit(1).scalar_subquery()
    found = session.execute(
        select(Shop.zone, RulesVersion.content, shipped)
        .outerjoin(RulesVersion, or_(RulesVersion.since.is_(None), RulesVersion.since <= on))
        .order_by(RulesVersion.id.desc())
        .limit(1)
    ).one_or_none()
    if found is None:
        return present, False
    session.info["zone"], content, decided_on = found
    if content is None:
        return present, False
    return _thawed(content, present), decided_on != _mark(present)


def begin(session: Session, now: datetime, present: Rules) -> bool:
    """Take the program's present rules as the first version when the store has none; whether it did."""
    session.scalars(select(HistoryHead).with_for_update()).one_or_none()  # others who start wait here
    if session.scalar(select(RulesVersion.id).limit(1)) is not None:
        return False
    _add(session, None, now, present, since=None, how=FIRST, reason="", shipped=_mark(present), token=FIRST)
    return True


def begun(session: Session) -> bool:
    """Whether the store has its first version."""
    return session.scalar(select(RulesVersion.id).limit(1)) is not None


def waiting(session: Session, present: Rules) -> bool:
    """Whether the program's own rules are other than those that were last decided on."""
    seen = session.scalar(select(RulesVersion.shipped).order_by(RulesVersion.id.desc()).limit(1))
    return seen is not None and seen != _mark(present)


def mark(session: Session) -> str:
    """A mark of the newest version, for a form made from it."""
    return str(session.scalar(select(func.max(RulesVersion.id))) or "")


def versions(session: Session, actor: Actor, present: Rules) -> tuple[Version, ...]:
    """Every version, newest first."""
    need_reviewer(actor)
    rows = session.execute(
        select(RulesVersion, Person.name)
        .outerjoin(Person, Person.id == RulesVersion.by_id)
        .order_by(RulesVersion.id)
    ).all()
    found: list[Version] = []
    for row, name in rows:
        rules = _thawed(row.content, present)
        before = found[-1].rules if found else None
        found.append(Version(row.id, row.since, row.how, row.reason, name or "", row.at, rules, before))
    return tuple(reversed(found))


def version(session: Session, actor: Actor, version_id: int, present: Rules) -> Version:
    """One version. Raises UnknownName."""
    for one in versions(session, actor, present):
        if one.id == version_id:
            return one
    raise UnknownName(Text(en="There is no such version.", es="No existe esa versión."))


def newest(session: Session, present: Rules) -> Rules:
    """The rules that a change would change."""
    content = session.scalar(select(RulesVersion.content).order_by(RulesVersion.id.desc()).limit(1))
    return present if content is None else _thawed(content, present)


def rules_before(session: Session, row: RulesVersion, present: Rules) -> Rules:
    """The rules that the version took the place of."""
    content = session.scalar(
        select(RulesVersion.content).where(RulesVersion.id < row.id).order_by(RulesVersion.id.desc()).limit(1)
    )
    return present if content is None else _thawed(content, present)


def given(session: Session) -> Mapping[str, int]:
    """By clearance, the highest version that it ever had."""
    highest: dict[str, int] = {}
    for content in session.scalars(select(RulesVersion.content)):
        for one in content["clearances"]:
            highest[one["id"]] = max(one["version"], highest.get(one["id"], 0))
    return highest


def changed(session: Session, clearance: Clearance, present: Rules, *, earlier_grants: bool) -> Rules:
    """The rules as they would be with this clearance, new or changed. Raises Refusal."""
    return changing.changed(
        newest(session, present), clearance, given(session), earlier_grants=earlier_grants
    )


def withdrawn(session: Session, clearance: str, present: Rules) -> Rules:
    """The rules as they would be without the clearance. Raises Refusal, UnknownName."""
    rules = newest(session, present)
    if clearance not in rules.clearances:
        raise UnknownName(Text(en="There is no such clearance.", es="No existe esa autorización."))
    return changing.withdrawn(rules, clearance)


def adopted(session: Session, present: Rules, *, earlier_grants: bool) -> Rules:
    """The rules as they would be with the program's own."""
    return changing.adopted(newest(session, present), present, given(session), earlier_grants=earlier_grants)


def seen_first(
    session: Session, actor: Actor, now: datetime, after: Rules, present: Rules
) -> tuple[Effect, ...]:
    """What `after` would change today for everyone who is here, by name."""
    need_reviewer(actor)
    on = today_in_shop(session, now)
    names = session.execute(select(Person.id).where(Person.left_at.is_(None)).order_by(Person.name)).scalars()
    evidence = all_evidence(session)
    crew = {id: evidence[id] for id in names}
    return effects(crew, on, newest(session, present), after)


def change(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    clearance: Clearance,
    earlier_grants: bool,
    reason: str,
    present: Rules,
    made_from: str,
    token: str,
) -> int:
    """A clearance is new, or asks for something else, from today on. Owner only.

    earlier_grants: whether grants given before still count; made_from: the `mark` the form was made from
    Raises Refusal, ChangedMeanwhile, SentBefore.
    """
    need_owner(actor)
    why = checked_text(reason, REASON)
    again = _stored(session, token, CHANGED, why)
    if again is not None:
        was = rules_before(session, again, present).clearances.get(clearance.id)
        then = _thawed(again.content, present).clearances.get(clearance.id)
        if then is None or then == was or not changing.same_as(then, clearance):
            raise SentBefore
        return again.id
    _refuse_changed(session, made_from)
    after = changed(session, clearance, present, earlier_grants=earlier_grants)
    return _decide(session, actor, now, after, CHANGED, why, token, [clearance.id])


def withdraw(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    clearance: str,
    reason: str,
    present: Rules,
    made_from: str,
    token: str,
) -> int:
    """A clearance is no longer given, from today on. Owner only. Raises as `change`, and UnknownName."""
    need_owner(actor)
    why = checked_text(reason, REASON)
    if (again := _stored(session, token, WITHDRAWN, why)) is not None:
        return again.id
    _refuse_changed(session, made_from)
    after = withdrawn(session, clearance, present)
    return _decide(session, actor, now, after, WITHDRAWN, why, token, [clearance])


def adopt(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    earlier_grants: bool,
    reason: str,
    present: Rules,
    made_from: str,
    token: str,
) -> int:
    """The program's own rules hold from today on. Owner only. Raises as `change`."""
    need_owner(actor)
    why = checked_text(reason, REASON)
    if (again := _stored(session, token, ADOPTED, why)) is not None:
        return again.id
    _refuse_changed(session, made_from)
    before = newest(session, present)
    after = adopted(session, present, earlier_grants=earlier_grants)
    names = [id for id in {**before.clearances, **after.clearances} if _differs(id, before, after)]
    return _decide(session, actor, now, after, ADOPTED, why, token, names, shipped=_mark(present))


def keep(
    session: Session, actor: Actor, now: datetime, *, reason: str, present: Rules, made_from: str, token: str
) -> int:
    """The program's own rules were looked at, and the shop's stay as they are. Owner only. Raises as `change`."""
    need_owner(actor)
    why = checked_text(reason, REASON)
    if (again := _stored(session, token, KEPT, why)) is not None:
        return again.id
    _refuse_changed(session, made_from)
    rules = newest(session, present)
    return _decide(session, actor, now, rules, KEPT, why, token, [], shipped=_mark(present))


def _differs(clearance: str, before: Rules, after: Rules) -> bool:
    return before.clearances.get(clearance) != after.clearances.get(clearance)


def _decide(
    session: Session,
    actor: Actor,
    now: datetime,
    rules: Rules,
    how: str,
    reason: str,
    token: str,
    names: list[str],
    shipped: str | None = None,
) -> int:
    last = session.scalars(select(RulesVersion).order_by(RulesVersion.id.desc()).limit(1)).one_or_none()
    today = today_in_shop(session, now)
    # A shop whose zone was changed may have a version that begins tomorrow; none begins before the one it replaces.
    since = max(today, last.since) if last is not None and last.since is not None else today
    seen = shipped or (last.shipped if last is not None else "")
    return _add(
        session,
        actor,
        now,
        rules,
        since=since,
        how=how,
        reason=reason,
        shipped=seen,
        token=token,
        names=names,
    )


def _add(
    session: Session,
    actor: Actor | None,
    now: datetime,
    rules: Rules,
    *,
    since: date | None,
    how: str,
    reason: str,
    shipped: str,
    token: str,
    names: list[str] | None = None,
) -> int:
    content = history.plain(freeze(rules))
    row = RulesVersion(
        since=since,
        how=how,
        reason=reason,
        content=content,
        shipped=shipped,
        by_id=actor.id if actor else None,
        at=now,
        form_token=token,
    )
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="rules changed",
        actor_id=row.by_id,
        rules=row.id,
        how_decided=how,
        since=since,
        reason=reason,
        clearances=names or [],
        rules_hash=fingerprint(content),
        shipped_hash=shipped,
    )
    return row.id


def _stored(session: Session, token: str, how: str, reason: str) -> RulesVersion | None:
    return stored_before(session, RulesVersion, token, {"how": how, "reason": reason})


def _refuse_changed(session: Session, made_from: str) -> None:
    if made_from != mark(session):
        raise ChangedMeanwhile(
            Text(
                en="The rules were changed after you opened the page, and that stands. Yours was not saved. Look at "
                "them again, and save once more if yours should hold instead.",
                es="Las reglas cambiaron después de que usted abrió la página, y eso queda. Lo suyo no se guardó. "
                "Revíselas y guarde otra vez si lo suyo debe valer en su lugar.",
            )
        )


def _mark(present: Rules) -> str:
    """A hash of what decides in the program's own rules."""
    return fingerprint(history.plain(decides(freeze(present))))


def _thawed(content: Any, present: Rules) -> Rules:
    try:
        return thaw(content, present)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise StoreError(
            "the rules of clearance in the data store cannot be read: put a copy of the store in its place"
        ) from error
