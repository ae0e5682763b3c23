"""The shop: its name, zone and language, its days, and the revisions of its standard."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.calc import standard
from trainer.calc.standard import Notice
from trainer.errors import Refusal, StoreError
from trainer.languages import LANGUAGES, Text
from trainer.records import history
from trainer.records.actors import Actor, checked_language, checked_text, need_owner, need_reviewer
from trainer.records.fingerprints import fingerprint
from trainer.records.models import Person, Shop, StandardRevision
from trainer.records.submissions import ChangedMeanwhile

# Made once, as every request sends it: making a statement costs more than sending it.
# Columns, not objects, for the same reason.
_SHOP = select(
    Shop.name,
    Shop.zone,
    Shop.language,
    Shop.secret,
    StandardRevision.values,
    StandardRevision.at,
    StandardRevision.id,
).outerjoin(StandardRevision, StandardRevision.id == select(func.max(StandardRevision.id)).scalar_subquery())
SHOP_NAME = Text(en="The shop's name", es="el nombre del taller")


@dataclass(frozen=True, slots=True)
class ShopInfo:
    """What most pages need of the shop.

    standard: every field of the shop standard as it holds now; standard_mark: of the revision it comes from
    """

    name: str
    zone: str
    language: str
    secret: str
    standard: Mapping[str, Any]
    standard_since: datetime | None
    standard_mark: str

    @property
    def mark(self) -> str:
        """A mark of name, zone and language, for a form made from them."""
        return hashlib.sha256(repr((self.name, self.zone, self.language)).encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class StandardChange:
    """One revision of the standard. changed: by field, the value before and after."""

    at: datetime
    by: str
    values: Mapping[str, Any]
    changed: Mapping[str, tuple[Any, Any]]


def shop(session: Session) -> ShopInfo | None:
    """The shop with its standard, None before it is set up. One statement."""
    found = session.connection().execute(_SHOP).one_or_none()
    if found is None:
        return None
    name, zone, language, secret, values, since, revision = found
    session.info["zone"] = zone
    return ShopInfo(
        name,
        zone,
        language,
        secret,
        complete_standard(values or {}),
        since,
        "" if revision is None else str(revision),
    )


def the_shop(session: Session) -> ShopInfo:
    """As `shop`, where it must exist."""
    info = shop(session)
    if info is None:
        raise StoreError("the shop is not set up yet: run `trainer init`")
    return info


def zone_of(name: str) -> ZoneInfo:
    """The time zone of that name. Refusal when there is none."""
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        raise Refusal(
            Text(
                en="%(given)s is no time zone; give one such as America/New_York.",
                es="%(given)s no es una zona horaria; escriba una como America/New_York.",
            ),
            given=repr(name),
        ) from None


def local(info: ShopInfo, moment: datetime) -> datetime:
    """`moment` in the shop's zone."""
    return moment.astimezone(zone_of(info.zone))


def today(info: ShopInfo, now: datetime) -> date:
    """The day it is in the shop."""
    return local(info, now).date()


def zone_in_shop(session: Session) -> ZoneInfo:
    """The shop's zone; no statement when the shop was read in this session."""
    name = session.info.get("zone") or session.get_one(Shop, 1).zone
    session.info["zone"] = name
    return zone_of(name)


def today_in_shop(session: Session, now: datetime) -> date:
    """The day it is in the shop."""
    return now.astimezone(zone_in_shop(session)).date()


def check_standard(values: Mapping[str, Any]) -> tuple[Notice, ...]:
    """Notices on a whole or partial standard. Refusal when a figure is looser than every source, or unknown."""
    for name in values:
        standard.field(name)
    return tuple(standard.check_all(complete_standard(values)))


def change_standard(
    session: Session, actor: Actor, now: datetime, values: Mapping[str, Any], made_from: str | None = None
) -> tuple[Notice, ...]:
    """A new revision of the standard: `values` change, the others stay. Returns the notices on the whole.

    made_from: the `standard_mark` that the form was made from; None asks nothing
    Raises ChangedMeanwhile, saying what stands now; Refusal as `check_standard`.
    """
    need_owner(actor)
    info = the_shop(session)
    if made_from is not None and made_from != info.standard_mark:
        raise _standard_changed(session, info, made_from)
    before = info.standard
    after = {**before, **values}
    notices = check_standard(after)
    changed = {name: [before[name], after[name]] for name in after if before[name] != after[name]}
    if changed:
        session.add(StandardRevision(values=after, by_id=actor.id, at=now))
        history.append(
            session,
            now,
            kind="standard changed",
            actor_id=actor.id,
            changed=changed,
            standard_hash=fingerprint(after),
        )
    return notices


def _standard_changed(session: Session, info: ShopInfo, made_from: str) -> ChangedMeanwhile:
    """What stands now, against the revision that a form was made from."""
    old = (
        session.get(StandardRevision, int(made_from))
        if made_from.isdecimal() and len(made_from) < 10
        else None
    )
    then = complete_standard(old.values) if old is not None else dict(info.standard)
    now = {name: standard.field(name) for name in then if then[name] != info.standard[name]}
    figures = {
        language: "; ".join(
            f"{field.meaning.in_language(language)}: {field.shown(then[name], language)} → "
            f"{field.shown(info.standard[name], language)}"
            for name, field in now.items()
        )
        for language in LANGUAGES
    }
    return ChangedMeanwhile(
        Text(
            en="The standard was changed after you opened the page, and that stands: %(figures)s. Yours was not "
            "saved. Check your figures below and save again if they should hold instead.",
            es="El estándar cambió después de que usted abrió la página, y eso queda: %(figures)s. Lo suyo no se "
            "guardó. Revise sus valores abajo y guarde otra vez si deben valer en su lugar.",
        ),
        figures=Text(en=figures["en"] or "–", es=figures["es"] or "–"),
    )


def standard_history(session: Session, actor: Actor) -> tuple[StandardChange, ...]:
    """Every revision, newest first."""
    need_reviewer(actor)
    rows = session.execute(
        select(StandardRevision, Person.name)
        .outerjoin(Person, Person.id == StandardRevision.by_id)
        .order_by(StandardRevision.id)
    ).all()
    changes: list[StandardChange] = []
    before: dict[str, Any] = {}
    for revision, name in rows:
        values = revision.values
        changed = {key: (before.get(key), values[key]) for key in values if before.get(key) != values[key]}
        changes.append(StandardChange(revision.at, name or "", values, changed if before else {}))
        before = values
    return tuple(reversed(changes))


def change_shop(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    name: str | None = None,
    zone: str | None = None,
    language: str | None = None,
    made_from: str | None = None,
) -> None:
    """Change the shop's name, zone or language; what is None stays.

    made_from: the `mark` that the form was made from; None asks nothing. Raises ChangedMeanwhile.
    """
    need_owner(actor)
    info = the_shop(session)
    if made_from is not None and made_from != info.mark:
        raise ChangedMeanwhile(
            Text(
                en="The shop was changed after you opened the page, and that stands: %(stands)s. Yours was not "
                "saved; save again if it should hold instead.",
                es="El taller cambió después de que usted abrió la página, y eso queda: %(stands)s. Lo suyo no se "
                "guardó; guarde otra vez si debe valer en su lugar.",
            ),
            stands=", ".join((info.name, info.zone, info.language)),
        )
    row = session.get_one(Shop, 1)
    before = {"name": row.name, "zone": row.zone, "language": row.language}
    if name is not None:
        row.name = checked_text(name, SHOP_NAME, 200)
    if zone is not None:
        row.zone = zone_of(zone).key
    if language is not None:
        row.language = checked_language(language)
    after = {"name": row.name, "zone": row.zone, "language": row.language}
    if before != after:
        history.append(session, now, kind="shop changed", actor_id=actor.id, before=before, after=after)


def complete_standard(values: Mapping[str, Any]) -> dict[str, Any]:
    """`values` with the program's own figure for every field they lack."""
    return {**standard.DEFAULT_SHOP, **{name: values[name] for name in values if name in standard.FIELDS}}
