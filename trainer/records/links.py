"""Private links: made, opened, withdrawn.

A link carries a key of 160 bits, the store only its hash. The key is worked out from the form's own random token and
the shop's secret, so that the same form sent twice makes one link, and nobody without the secret can work it out.
It ends when it is withdrawn, and for good when the person is deactivated.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from base64 import urlsafe_b64encode
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import ColumnElement, exists, select
from sqlalchemy.orm import Session, joinedload

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, active_person_of, as_actor, need_owner, need_reviewer
from trainer.records.models import Absence, Person, PrivateLink, Shop

CARD: Final = "card"  # a person's clearances, for whoever holds their card
OWN_DAYS: Final = "own days"  # a person's own expiries and due dates, as a calendar
SHOP_DAYS: Final = "shop days"  # everyone's, for a trainer or owner
CALENDARS: Final = (OWN_DAYS, SHOP_DAYS)
KEY_BYTES: Final = 20


@dataclass(frozen=True, slots=True)
class Opened:
    """What a live link says: what it shows, and whose it is, as they are now. at: when it was made."""

    use: str
    person: Actor
    at: datetime


def make(session: Session, actor: Actor, now: datetime, *, use: str, person_id: int, token: str) -> str:
    """The key of a new link. token: random, of the form; the same token gives the same link again.

    A card is made by an owner, for anyone active. A calendar is made by the person, the shop's by a trainer or owner.
    Raises NotAllowed; Refusal when the person is deactivated, or this very link was withdrawn.
    """
    if use == CARD:
        need_owner(actor)
    elif actor.id != person_id:
        raise NotAllowed(
            Text(
                en="Everyone makes the link to their own calendar.",
                es="Cada quien hace el enlace a su propio calendario.",
            )
        )
    if use == SHOP_DAYS:
        need_reviewer(actor)
    person = active_person_of(session, person_id)
    key = _key(session.get_one(Shop, 1).secret, use, person_id, token or secrets.token_urlsafe())
    there = session.scalars(select(PrivateLink).where(PrivateLink.key_hash == hash_of(key))).one_or_none()
    if there is not None:
        if there.withdrawn_at is not None:
            raise Refusal(
                Text(
                    en="The link of this form was withdrawn; open the page again to make a new one.",
                    es="El enlace de este formulario fue retirado; abra la página otra vez para hacer uno nuevo.",
                )
            )
        return key
    row = PrivateLink(use=use, person_id=person.id, key_hash=hash_of(key), by_id=actor.id, at=now)
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="private link made",
        actor_id=actor.id,
        person_id=person.id,
        link=row.id,
        use=use,
        key_hash=row.key_hash,
    )
    return key


def withdraw(session: Session, actor: Actor, now: datetime, link_id: int) -> None:
    """End a link at once: one's own calendar, or any link for an owner. Done twice, it acts once.

    Raises UnknownName, NotAllowed.
    """
    row = session.scalars(
        select(PrivateLink).where(PrivateLink.id == link_id).with_for_update()
    ).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such link.", es="No existe ese enlace."))
    if row.use == CARD or row.person_id != actor.id:
        need_owner(actor)
    if row.withdrawn_at is not None:
        return
    row.withdrawn_by_id, row.withdrawn_at = actor.id, now
    history.append(
        session,
        now,
        kind="private link withdrawn",
        actor_id=actor.id,
        person_id=row.person_id,
        link=row.id,
        use=row.use,
    )


def withdraw_others(
    session: Session, actor: Actor, now: datetime, *, use: str, person_id: int, keep: str
) -> None:
    """Withdraw the person's links of that use but the one whose key is `keep`."""
    live = select(PrivateLink.id).where(
        PrivateLink.use == use,
        PrivateLink.person_id == person_id,
        PrivateLink.withdrawn_at.is_(None),
        PrivateLink.key_hash != hash_of(keep),
    )
    for link_id in session.scalars(live.order_by(PrivateLink.id)).all():
        withdraw(session, actor, now, link_id)


def opened(session: Session, key: str, *uses: str) -> Opened | None:
    """What the link with this key shows; None for one that is unknown, withdrawn, or not for any of `uses`."""
    row = session.scalars(
        select(PrivateLink)
        .join(Person, Person.id == PrivateLink.person_id)
        .where(PrivateLink.key_hash == hash_of(key), PrivateLink.use.in_(uses), *is_live())
        .options(joinedload(PrivateLink.person).selectinload(Person.roles))
    ).one_or_none()
    if row is None:
        return None
    person = as_actor(row.person)
    if row.use == SHOP_DAYS and not person.may_review:
        return None
    return Opened(row.use, person, row.at)


def is_live() -> tuple[ColumnElement[bool], ...]:
    """Conditions on PrivateLink joined with its Person: not withdrawn, and the person never left since."""
    left = exists().where(Absence.person_id == PrivateLink.person_id, Absence.left_at >= PrivateLink.at)
    return PrivateLink.withdrawn_at.is_(None), Person.left_at.is_(None), ~left


def hash_of(key: str) -> str:
    """What is stored of a key; 160 random bits need no salt and no slow hash."""
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


def _key(secret: str, use: str, person_id: int, token: str) -> str:
    said = "\0".join(("private link", use, str(person_id), token))
    made = hmac.new(secret.encode(), said.encode("utf-8", "surrogatepass"), hashlib.sha256).digest()
    return urlsafe_b64encode(made[:KEY_BYTES]).rstrip(b"=").decode()
