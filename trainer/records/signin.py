"""Signing in: by password, or by a one-time code that sets the first or a new password.

Every try is counted in the store, so the limits hold across processes. A refused try is returned, not
raised: raising would undo the count with the rest of the transaction. The sentence is the same whether
the name is unknown, the password wrong or the person deactivated.
"""

from __future__ import annotations

import math
import secrets
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, delete, func, select
from sqlalchemy.orm import Session, joinedload

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, as_actor, person_of
from trainer.records.models import EntryCode, Person, Shop, SignInTry
from trainer.records.passwords import hash_password, keyed_hash, needs_rehash, password_fits, plain_code
from trainer.records.people import plain_sign_in

WINDOW = timedelta(minutes=15)
MOST_BY_NAME_AND_SOURCE = 5
MOST_BY_SOURCE = 30
MOST_BY_NAME = 50
KEPT = timedelta(days=1)

WRONG = Text(
    en="That sign-in and password do not go together.",
    es="Ese usuario y esa contraseña no corresponden.",
)
WRONG_CODE = Text(
    en="That sign-in and code do not go together, or the code was used or has run out; ask the owner for a new one.",
    es="Ese usuario y ese código no corresponden, o el código ya se usó o venció; pida otro al dueño.",
)


class TooManyTries(Refusal):
    """Too many tries at signing in; wait_minutes: until the next may be made."""

    def __init__(self, wait_minutes: int) -> None:
        self.wait_minutes = wait_minutes
        super().__init__(
            Text(
                en="Too many tries. Wait %(minutes)s min and try again.",
                es="Demasiados intentos. Espere %(minutes)s min e intente de nuevo.",
            ),
            minutes=wait_minutes,
        )


def check(session: Session, now: datetime, *, sign_in: str, password: str, source: str) -> Actor | Refusal:
    """Sign in by password. source: the client's address. Returns the refusal instead of raising it."""
    tried = _Try(session, now, sign_in, source)
    if refusal := tried.too_many():
        return refusal
    person = _person(session, sign_in)
    stored = person.password_hash if person and person.active else None
    fits = password_fits(session, stored, password)  # even for nobody, so that it takes as long
    if person is None or not fits:
        tried.count(worked=False)
        return Refusal(WRONG)
    tried.count(worked=True)
    if stored and needs_rehash(session, stored):
        person.password_hash = hash_password(session, password)
    return as_actor(person)


def redeem(
    session: Session, now: datetime, *, sign_in: str, code: str, password: str, source: str
) -> Actor | Refusal:
    """Set a password with a one-time code, and sign in. Returns the refusal instead of raising it."""
    tried = _Try(session, now, sign_in, source)
    if refusal := tried.too_many():
        return refusal
    person = _person(session, sign_in)
    entry = _open_code(session, now, person, code) if person and person.active else None
    if person is None or entry is None:
        tried.count(worked=False)
        return Refusal(WRONG_CODE)
    try:
        person.password_hash = hash_password(session, password)
    except Refusal as refusal:
        return refusal  # the code stays good for a better password
    entry.used_at = now
    person.session_stamp = secrets.token_hex(16)
    tried.count(worked=True)
    history.append(session, now, kind="password set", actor_id=person.id, person_id=person.id)
    return as_actor(person)


def current(session: Session, person_id: int, stamp: str) -> Actor | None:
    """The signed-in person of a web session, None when the session has ended."""
    person = (
        session.scalars(
            select(Person)
            .where(Person.id == person_id, Person.session_stamp == stamp, Person.left_at.is_(None))
            .options(joinedload(Person.roles))
        )
        .unique()
        .one_or_none()
    )
    return None if person is None else as_actor(person)


def change_password(session: Session, actor: Actor, now: datetime, *, old: str, new: str) -> Actor:
    """Change one's own password; every other session ends. Refusal when the old one is wrong."""
    person = person_of(session, actor.id)
    if not password_fits(session, person.password_hash, old):
        raise Refusal(Text(en="The old password is wrong.", es="La contraseña anterior no es correcta."))
    person.password_hash = hash_password(session, new)
    person.session_stamp = secrets.token_hex(16)
    history.append(session, now, kind="password changed", actor_id=actor.id, person_id=actor.id)
    return as_actor(person)


def sign_out_everywhere(session: Session, actor: Actor, now: datetime) -> None:
    """End every session of the actor."""
    person_of(session, actor.id).session_stamp = secrets.token_hex(16)
    history.append(session, now, kind="signed out everywhere", actor_id=actor.id, person_id=actor.id)


def _person(session: Session, sign_in: str) -> Person | None:
    return (
        session.scalars(
            select(Person).where(Person.sign_in == plain_sign_in(sign_in)).options(joinedload(Person.roles))
        )
        .unique()
        .one_or_none()
    )


def _open_code(session: Session, now: datetime, person: Person, code: str) -> EntryCode | None:
    hashed = keyed_hash(session.get_one(Shop, 1).secret, "entry code", str(person.id), plain_code(code))
    return session.scalars(
        select(EntryCode).where(
            EntryCode.person_id == person.id,
            EntryCode.code_hash == hashed,
            EntryCode.used_at.is_(None),
            EntryCode.expires_at > now,
        )
    ).first()


class _Try:
    """One try: how many failed before it, and counting it."""

    def __init__(self, session: Session, now: datetime, sign_in: str, source: str) -> None:
        shop = session.get(Shop, 1)
        secret = shop.secret if shop else ""
        self.session, self.now = session, now
        self.name_key = keyed_hash(secret, "sign-in name", plain_sign_in(sign_in))
        self.source_key = keyed_hash(secret, "sign-in source", source)

    def too_many(self) -> TooManyTries | None:
        by_name = SignInTry.name_key == self.name_key
        by_source = SignInTry.source_key == self.source_key
        waits = [
            self._wait(MOST_BY_NAME_AND_SOURCE, by_name, by_source, forgiving=True),
            self._wait(MOST_BY_SOURCE, by_source),
            self._wait(MOST_BY_NAME, by_name),
        ]
        longest = max(waits)
        return TooManyTries(math.ceil(longest / timedelta(minutes=1))) if longest > timedelta(0) else None

    def _wait(self, most: int, *same: ColumnElement[bool], forgiving: bool = False) -> timedelta:
        """How long until fewer than `most` failures lie in the window.

        forgiving: failures before a success do not count. Not for a whole source: one person's own
        sign-in would then clear the count of their tries at other names.
        """
        failures = select(SignInTry.at).where(
            *same, SignInTry.worked.is_(False), SignInTry.at > self.now - WINDOW
        )
        if forgiving:
            worked = select(func.max(SignInTry.at)).where(*same, SignInTry.worked.is_(True)).scalar_subquery()
            failures = failures.where(worked.is_(None) | (SignInTry.at > worked))
        nth = self.session.scalars(failures.order_by(SignInTry.at.desc()).offset(most - 1).limit(1)).first()
        return timedelta(0) if nth is None else nth + WINDOW - self.now

    def count(self, *, worked: bool) -> None:
        self.session.execute(delete(SignInTry).where(SignInTry.at < self.now - KEPT))
        self.session.add(
            SignInTry(name_key=self.name_key, source_key=self.source_key, at=self.now, worked=worked)
        )
        self.session.flush()
