"""Signing in: by password, or by a one-time code that sets the first or a new password; changing one's own.

A password's hash takes long on purpose, so it is never made while the store is locked: these functions take
the store and run short transactions before and after it. Every try is counted in the store before the password
is looked at, so the limits hold across processes and for tries made at once. The sentence is the same whether
the name is unknown, the password wrong or the person deactivated.
"""

from __future__ import annotations

import math
import secrets
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, delete, func, select, update
from sqlalchemy.orm import Session, joinedload

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import history, second_step
from trainer.records.actors import Actor, as_actor, person_of
from trainer.records.models import EntryCode, Person, Shop, SignInTry
from trainer.records.passwords import (
    check_password,
    hash_password,
    keyed_hash,
    needs_rehash,
    password_fits,
    plain_code,
)
from trainer.records.people import plain_sign_in
from trainer.records.store import Store

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


def check(store: Store, now: datetime, *, sign_in: str, password: str, source: str) -> Actor | Refusal:
    """Sign in by password. source: the client's address."""
    with store.write() as session:
        tried = _count_try(session, now, sign_in, source)
        if isinstance(tried, TooManyTries):
            return tried
        person = _person(session, sign_in)
        stored = person.password_hash if person and person.active else None
    fits = password_fits(store.password_cost, stored, password)  # even for nobody, so that it takes as long
    if stored is None or not fits:
        return Refusal(WRONG)
    dated = needs_rehash(store.password_cost, stored)
    hashed = hash_password(store.password_cost, password) if dated else stored
    with store.write() as session:
        person = _person(session, sign_in)
        if person is None or not person.active or person.password_hash != stored:
            return Refusal(WRONG)  # it was changed meanwhile
        _count_as_worked(session, tried)
        person.password_hash = hashed
        return as_actor(person)


def redeem(
    store: Store, now: datetime, *, sign_in: str, code: str, password: str, source: str
) -> Actor | Refusal:
    """Set a password with a one-time code, and sign in."""
    try:
        check_password(password)
    except Refusal as refusal:
        return refusal  # the code stays good for a better password
    with store.write() as session:
        tried = _count_try(session, now, sign_in, source)
        if isinstance(tried, TooManyTries):
            return tried
        if _open_code(session, now, sign_in, code) is None:
            return Refusal(WRONG_CODE)
    hashed = hash_password(store.password_cost, password)
    with store.write() as session:
        entry = _open_code(session, now, sign_in, code)
        if entry is None:
            return Refusal(WRONG_CODE)  # it was used or ended meanwhile
        entry.used_at = now
        _count_as_worked(session, tried)
        person = person_of(session, entry.person_id)
        return _set_password(session, now, person, hashed, kind="password set")


def second(
    store: Store, now: datetime, *, person_id: int, stamp: str, code: str, source: str
) -> Actor | Refusal:
    """The second step of someone whose password was right a moment ago. stamp: theirs at that moment."""
    with store.write() as session:
        person = person_of(session, person_id)
        if person.session_stamp != stamp or not person.active:
            return Refusal(WRONG)  # reset or deactivated meanwhile
        # Counted apart from passwords, which would otherwise forgive wrong codes.
        tried = _count_try(session, now, f"{person.sign_in} second step", source)
        if isinstance(tried, TooManyTries):
            return tried
        if not second_step.fits(session, now, person.id, code):
            return Refusal(second_step.WRONG)
        _count_as_worked(session, tried)
        return as_actor(person)


def change_password(store: Store, actor: Actor, now: datetime, *, old: str, new: str, source: str) -> Actor:
    """Change one's own password; every session ends. Refusal when the old one is wrong, TooManyTries."""
    check_password(new)
    with store.write() as session:
        tried = _count_try(session, now, actor.sign_in, source)
        stored = person_of(session, actor.id).password_hash
    if isinstance(tried, TooManyTries):
        raise tried
    wrong = Refusal(Text(en="The old password is wrong.", es="La contraseña anterior no es correcta."))
    if not password_fits(store.password_cost, stored, old):
        raise wrong
    hashed = hash_password(store.password_cost, new)
    with store.write() as session:
        person = person_of(session, actor.id)
        if person.password_hash != stored:
            raise wrong  # it was changed meanwhile
        _count_as_worked(session, tried)
        return _set_password(session, now, person, hashed, kind="password changed")


def _set_password(session: Session, now: datetime, person: Person, hashed: str, *, kind: str) -> Actor:
    person.password_hash = hashed
    person.session_stamp = secrets.token_hex(16)
    history.append(session, now, kind=kind, actor_id=person.id, person_id=person.id)
    return as_actor(person)


def _person(session: Session, sign_in: str) -> Person | None:
    return (
        session.scalars(
            select(Person).where(Person.sign_in == plain_sign_in(sign_in)).options(joinedload(Person.roles))
        )
        .unique()
        .one_or_none()
    )


def _open_code(session: Session, now: datetime, sign_in: str, code: str) -> EntryCode | None:
    person = _person(session, sign_in)
    if person is None or not person.active:
        return None
    hashed = keyed_hash(session.get_one(Shop, 1).secret, "entry code", str(person.id), plain_code(code))
    return session.scalars(
        select(EntryCode).where(
            EntryCode.person_id == person.id,
            EntryCode.code_hash == hashed,
            EntryCode.used_at.is_(None),
            EntryCode.expires_at > now,
        )
    ).first()


def _count_try(session: Session, now: datetime, sign_in: str, source: str) -> int | TooManyTries:
    """Count a try as failed until it has worked; returns its number. TooManyTries, and no count, at a limit."""
    shop = session.get(
        Shop, 1, with_for_update=True
    )  # one at a time, so that a burst cannot slip past a limit
    secret = shop.secret if shop else ""
    name_key = keyed_hash(secret, "sign-in name", plain_sign_in(sign_in))
    source_key = keyed_hash(secret, "sign-in source", source)
    by_name, by_source = SignInTry.name_key == name_key, SignInTry.source_key == source_key
    longest = max(
        _wait(session, now, MOST_BY_NAME_AND_SOURCE, by_name, by_source, forgiving=True),
        _wait(session, now, MOST_BY_SOURCE, by_source),
        _wait(session, now, MOST_BY_NAME, by_name),
    )
    if longest > timedelta(0):
        return TooManyTries(math.ceil(longest / timedelta(minutes=1)))
    session.execute(delete(SignInTry).where(SignInTry.at < now - KEPT))
    tried = SignInTry(name_key=name_key, source_key=source_key, at=now, worked=False)
    session.add(tried)
    session.flush()
    return tried.id


def _count_as_worked(session: Session, tried: int) -> None:
    session.execute(update(SignInTry).where(SignInTry.id == tried).values(worked=True))


def _wait(
    session: Session, now: datetime, most: int, *same: ColumnElement[bool], forgiving: bool = False
) -> timedelta:
    """How long until fewer than `most` failures lie in the window.

    forgiving: failures before a success do not count. Not for a whole source: one person's own sign-in would
    then clear the count of their tries at other names.
    """
    failures = select(SignInTry.at).where(*same, SignInTry.worked.is_(False), SignInTry.at > now - WINDOW)
    if forgiving:
        worked = select(func.max(SignInTry.at)).where(*same, SignInTry.worked.is_(True)).scalar_subquery()
        failures = failures.where(worked.is_(None) | (SignInTry.at > worked))
    nth = session.scalars(failures.order_by(SignInTry.at.desc()).offset(most - 1).limit(1)).first()
    return timedelta(0) if nth is None else nth + WINDOW - now
