"""People: set-up with the first owner, adding, one-time codes, roles, deactivating."""

from __future__ import annotations

import re
import secrets
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, func, select, update
from sqlalchemy.orm import Session, selectinload

from trainer.calc.standard import DEFAULT_SHOP
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history, second_step
from trainer.records.actors import (
    OWNER,
    Actor,
    as_actor,
    checked_language,
    checked_roles,
    checked_text,
    need_owner,
    person_of,
)
from trainer.records.fingerprints import fingerprint
from trainer.records.models import Absence, EntryCode, Person, PersonRole, Shop, StandardRevision
from trainer.records.passwords import keyed_hash, plain_code
from trainer.records.passwords import new_code as made_code
from trainer.records.shop import SHOP_NAME, zone_of

__all__ = [
    "Actor",
    "AlreadyAdded",
    "NewPerson",
    "add_person",
    "as_actor",
    "change_person",
    "change_roles",
    "deactivate",
    "new_code",
    "new_code_at_the_machine",
    "reactivate",
    "set_up_shop",
]

CODE_DAYS = 7
SIGN_IN_NAME = re.compile(r"[a-z0-9][a-z0-9._@+-]{1,63}")
PERSON_NAME = Text(en="The person's name", es="el nombre de la persona")


@dataclass(frozen=True, slots=True)
class NewPerson:
    """A person just added, and the one-time code to hand over; the code is shown once and never stored."""

    person_id: int
    code: str


class AlreadyAdded(Refusal):
    """The same person was added before and has not signed in yet: a form sent twice.

    person_id: theirs; the code of the first time is not stored, so it cannot be shown again
    """

    def __init__(self, person: Person) -> None:
        self.person_id = person.id
        super().__init__(
            Text(en="%(name)s is in the list already.", es="%(name)s ya está en la lista."), name=person.name
        )


def set_up_shop(
    session: Session,
    now: datetime,
    *,
    name: str,
    zone: str,
    language: str,
    owner_name: str,
    owner_sign_in: str,
    owner_language: str | None = None,
) -> NewPerson:
    """Make the shop, its standard and its first owner. Refusal when there is a shop already."""
    if session.get(Shop, 1) is not None:
        raise Refusal(Text(en="This shop is set up already.", es="Este taller ya está configurado."))
    shop = Shop(
        id=1,
        name=checked_text(name, SHOP_NAME, 200),
        zone=zone_of(zone).key,
        language=checked_language(language),
        secret=secrets.token_hex(32),
        created_at=now,
    )
    session.add(shop)
    standard = dict(DEFAULT_SHOP)
    session.add(StandardRevision(values=standard, by_id=None, at=now))
    history.append(
        session,
        now,
        kind="shop set up",
        actor_id=None,
        name=shop.name,
        zone=shop.zone,
        standard_hash=fingerprint(standard),
    )
    return _add(session, now, None, owner_name, owner_sign_in, [OWNER], owner_language or language)


def add_person(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    name: str,
    sign_in: str,
    roles: Collection[str],
    language: str = "en",
) -> NewPerson:
    """Add a person. Refusal on a missing name, a taken or unfit sign-in, an unknown or missing role.

    Raises AlreadyAdded when this very person was added and has not signed in yet.
    """
    need_owner(actor)
    there = session.scalars(
        select(Person).where(Person.sign_in == plain_sign_in(sign_in)).options(selectinload(Person.roles))
    ).one_or_none()
    if there is not None and there.active and there.password_hash is None:
        known = (there.name, {role.role for role in there.roles}, there.language)
        if known == (name.strip(), set(roles), language):
            raise AlreadyAdded(there)
    return _add(session, now, actor.id, name, sign_in, roles, language)


def _add(
    session: Session,
    now: datetime,
    actor_id: int | None,
    name: str,
    sign_in: str,
    roles: Collection[str],
    language: str,
) -> NewPerson:
    kept = checked_roles(roles)
    person = Person(
        name=checked_text(name, PERSON_NAME, 120),
        sign_in=_free_sign_in(session, sign_in),
        language=checked_language(language),
        password_hash=None,
        session_stamp=secrets.token_hex(16),
        created_at=now,
        left_at=None,
        email=None,
        roles=[PersonRole(role=role) for role in kept],
    )
    session.add(person)
    session.flush()
    history.append(
        session,
        now,
        kind="person added",
        actor_id=actor_id,
        person_id=person.id,
        name=person.name,
        roles=kept,
    )
    return NewPerson(person.id, _give_code(session, now, person))


def plain_sign_in(sign_in: str) -> str:
    """A sign-in name as it is kept and compared: trimmed, small letters."""
    return sign_in.strip().casefold()


def _free_sign_in(session: Session, sign_in: str) -> str:
    plain = plain_sign_in(sign_in)
    if not SIGN_IN_NAME.fullmatch(plain):
        raise Refusal(
            Text(
                en="The sign-in %(given)s cannot be used: give 2 to 64 letters a–z, digits and . _ @ + -",
                es="El usuario %(given)s no sirve: use de 2 a 64 letras a–z, cifras y . _ @ + -",
            ),
            given=repr(sign_in),
        )
    if session.scalar(select(Person.id).where(Person.sign_in == plain)) is not None:
        raise Refusal(
            Text(en="The sign-in %(given)s is taken.", es="El usuario %(given)s ya está ocupado."),
            given=repr(plain),
        )
    return plain


def new_code(session: Session, actor: Actor, now: datetime, person_id: int) -> str:
    """A new one-time code; the person's password, second step, sessions and older codes end. Owner only."""
    need_owner(actor)
    return _replace_code(session, now, actor.id, person_of(session, person_id))


def new_code_at_the_machine(session: Session, now: datetime, sign_in: str) -> str:
    """As `new_code`, for whoever has the shop's data in hand: an owner who is locked out. Raises UnknownName."""
    person = session.scalars(select(Person).where(Person.sign_in == plain_sign_in(sign_in))).one_or_none()
    if person is None:
        raise UnknownName(
            Text(en="Nobody signs in as %(given)s.", es="Nadie entra como %(given)s."), given=repr(sign_in)
        )
    return _replace_code(session, now, None, person)


def _replace_code(session: Session, now: datetime, actor_id: int | None, person: Person) -> str:
    if not person.active:
        raise Refusal(
            Text(
                en="%(name)s is deactivated; reactivate them to give a code.",
                es="La cuenta de %(name)s está desactivada; reactívela para dar un código.",
            ),
            name=person.name,
        )
    _reset(person)
    second_step.off(session, person.id)
    history.append(session, now, kind="sign-in reset", actor_id=actor_id, person_id=person.id)
    return _give_code(session, now, person)


def deactivate(session: Session, actor: Actor, now: datetime, person_id: int) -> None:
    """Nobody can sign in as them any more; their records stay. Refusal for the last active owner."""
    need_owner(actor)
    person = person_of(session, person_id)
    if not person.active:
        return
    _keep_an_owner(session, person)
    person.left_at = now
    session.add(Absence(person_id=person.id, left_at=now, back_at=None))
    _reset(person)
    _end_codes(session, now, person)
    history.append(session, now, kind="person deactivated", actor_id=actor.id, person_id=person.id)


def reactivate(session: Session, actor: Actor, now: datetime, person_id: int) -> str:
    """Let a deactivated person back, with a new one-time code. Clearances must be granted again."""
    need_owner(actor)
    person = person_of(session, person_id)
    if person.active:
        raise Refusal(
            Text(en="%(name)s is active.", es="La cuenta de %(name)s está activa."), name=person.name
        )
    person.left_at = None
    session.execute(
        update(Absence).where(Absence.person_id == person.id, Absence.back_at.is_(None)).values(back_at=now)
    )
    history.append(session, now, kind="person reactivated", actor_id=actor.id, person_id=person.id)
    return _give_code(session, now, person)


def change_roles(
    session: Session, actor: Actor, now: datetime, person_id: int, roles: Collection[str]
) -> None:
    """Give the person exactly these roles. Refusal when no active owner would be left."""
    need_owner(actor)
    person = person_of(session, person_id)
    after = checked_roles(roles)
    before = [role.role for role in person.roles]
    if set(before) == set(after):
        return
    if OWNER not in after:
        _keep_an_owner(session, person)
    person.roles = [role for role in person.roles if role.role in after] + [
        PersonRole(role=role) for role in after if role not in before
    ]
    history.append(
        session, now, kind="roles changed", actor_id=actor.id, person_id=person.id, before=before, after=after
    )


def change_person(
    session: Session,
    actor: Actor,
    now: datetime,
    person_id: int,
    *,
    name: str | None = None,
    language: str | None = None,
) -> None:
    """Change a name (owner) or a language (owner, or the person themselves); what is None stays."""
    if name is not None or actor.id != person_id:
        need_owner(actor)
    person = person_of(session, person_id)
    before = {"name": person.name, "language": person.language}
    if name is not None:
        person.name = checked_text(name, PERSON_NAME, 120)
    if language is not None:
        person.language = checked_language(language)
    after = {"name": person.name, "language": person.language}
    if before != after:
        history.append(
            session,
            now,
            kind="person changed",
            actor_id=actor.id,
            person_id=person.id,
            before=before,
            after=after,
        )


def _keep_an_owner(session: Session, leaving: Person) -> None:
    others = session.scalar(
        select(func.count())
        .select_from(PersonRole)
        .join(Person, Person.id == PersonRole.person_id)
        .where(PersonRole.role == OWNER, Person.left_at.is_(None), Person.id != leaving.id)
    )
    if not others and OWNER in {role.role for role in leaving.roles}:
        raise Refusal(
            Text(
                en="%(name)s is the last owner; make someone else an owner first.",
                es="%(name)s es el último dueño; nombre antes a otra persona.",
            ),
            name=leaving.name,
        )


def _reset(person: Person) -> None:
    person.password_hash = None
    person.session_stamp = secrets.token_hex(16)


def _end_codes(session: Session, now: datetime, person: Person) -> None:
    session.execute(
        update(EntryCode)
        .where(EntryCode.person_id == person.id, EntryCode.used_at.is_(None))
        .values(used_at=now)
    )


def _give_code(session: Session, now: datetime, person: Person) -> str:
    _end_codes(session, now, person)
    session.execute(delete(EntryCode).where(EntryCode.expires_at < now - timedelta(days=365)))
    code = made_code()
    secret = session.get_one(Shop, 1).secret
    session.add(
        EntryCode(
            person_id=person.id,
            code_hash=keyed_hash(secret, "entry code", str(person.id), plain_code(code)),
            made_at=now,
            expires_at=now + timedelta(days=CODE_DAYS),
            used_at=None,
        )
    )
    session.flush()
    return code
