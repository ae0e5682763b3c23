"""Signed-in browsers: each is a row here, so that a copied cookie is worth nothing once its row is gone.

The browser holds a random key, the store only its hash. A session ends by itself when it was not used for
IDLE or is as old as LONGEST; it ends at once when it is signed out, and when the person's stamp changes:
with a new password, a new code, deactivation, or "sign out everywhere".
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import bindparam, delete, or_, select, update
from sqlalchemy.orm import Session

from trainer.records import history
from trainer.records.actors import Actor, person_of
from trainer.records.models import Person, PersonRole, WebSession

IDLE = timedelta(hours=12)
LONGEST = timedelta(days=7)


# Made once, as every request sends it: making a statement costs more than sending it. Columns, not objects, for the
# same reason; a row for each role.
_CURRENT = (
    select(
        Person.id,
        Person.name,
        Person.sign_in,
        Person.language,
        Person.session_stamp,
        WebSession.seen_at,
        PersonRole.role,
    )
    .join(WebSession, WebSession.person_id == Person.id)
    .outerjoin(PersonRole, PersonRole.person_id == Person.id)
    .where(
        WebSession.key_hash == bindparam("key_hash"),
        WebSession.stamp == Person.session_stamp,
        WebSession.seen_at > bindparam("idle_since"),
        WebSession.started_at > bindparam("too_old"),
        Person.left_at.is_(None),
    )
)


@dataclass(frozen=True, slots=True)
class Signed:
    """Who is signed in, and when the session was last noted as used."""

    actor: Actor
    seen_at: datetime


def start(session: Session, actor: Actor, now: datetime) -> str:
    """A new session; returns the key for the browser. Sessions of anyone that have run out are cleared away."""
    session.execute(
        delete(WebSession).where(
            or_(WebSession.seen_at <= now - IDLE, WebSession.started_at <= now - LONGEST)
        )
    )
    key = secrets.token_urlsafe(32)
    session.add(
        WebSession(key_hash=_hash(key), person_id=actor.id, stamp=actor.stamp, started_at=now, seen_at=now)
    )
    session.flush()
    return key


def current(session: Session, now: datetime, key: str) -> Signed | None:
    """Who is behind the key; None when that session has ended. One statement."""
    limits = {"key_hash": _hash(key), "idle_since": now - IDLE, "too_old": now - LONGEST}
    found = session.connection().execute(_CURRENT, limits).all()
    if not found:
        return None
    person_id, name, sign_in, language, stamp, seen_at, _ = found[0]
    roles = frozenset(row.role for row in found if row.role is not None)
    return Signed(Actor(person_id, name, sign_in, language, roles, stamp), seen_at)


def note_seen(session: Session, now: datetime, key: str) -> None:
    """The session was used now."""
    session.execute(update(WebSession).where(WebSession.key_hash == _hash(key)).values(seen_at=now))


def end(session: Session, key: str) -> None:
    """Sign out this one session."""
    session.execute(delete(WebSession).where(WebSession.key_hash == _hash(key)))


def end_everywhere(session: Session, actor: Actor, now: datetime) -> None:
    """End every session of the actor."""
    person_of(session, actor.id).session_stamp = secrets.token_hex(16)
    history.append(session, now, kind="signed out everywhere", actor_id=actor.id, person_id=actor.id)


def _hash(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()  # 256 random bits need no salt and no slow hash
