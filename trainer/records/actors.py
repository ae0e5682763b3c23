"""Who acts, and what their roles let them do. Every use case asks here first."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.languages import LANGUAGES, Text
from trainer.records.models import Person

APPRENTICE: Final = "apprentice"
TRAINER: Final = "trainer"
OWNER: Final = "owner"
ROLES: Final = (APPRENTICE, TRAINER, OWNER)


@dataclass(frozen=True, slots=True)
class Actor:
    """The person on whose behalf something is done. stamp: that of the session it came through."""

    id: int
    name: str
    sign_in: str
    language: str
    roles: frozenset[str]
    stamp: str

    @property
    def is_owner(self) -> bool:
        return OWNER in self.roles

    @property
    def is_trainer(self) -> bool:
        return TRAINER in self.roles

    @property
    def is_apprentice(self) -> bool:
        return APPRENTICE in self.roles

    @property
    def may_review(self) -> bool:
        return self.is_owner or self.is_trainer


def as_actor(person: Person) -> Actor:
    """The actor of a person whose roles are loaded."""
    roles = frozenset(role.role for role in person.roles)
    return Actor(person.id, person.name, person.sign_in, person.language, roles, person.session_stamp)


def need_owner(actor: Actor) -> None:
    if not actor.is_owner:
        raise NotAllowed(Text(en="Only an owner may do this.", es="Solo un dueño puede hacer esto."))


def need_reviewer(actor: Actor) -> None:
    if not actor.may_review:
        raise NotAllowed(
            Text(
                en="Only a trainer or an owner may do this.",
                es="Solo un instructor o un dueño puede hacer esto.",
            )
        )


def need_other(actor: Actor, person_id: int, message: Text) -> None:
    """Refuse an act on oneself; `message` says which."""
    if actor.id == person_id:
        raise NotAllowed(message)


def need_self_or_reviewer(actor: Actor, person_id: int) -> None:
    if actor.id != person_id and not actor.may_review:
        raise NotAllowed(
            Text(
                en="Only the person, a trainer or an owner may see this.",
                es="Solo la persona, un instructor o un dueño puede ver esto.",
            )
        )


def person_of(session: Session, person_id: int) -> Person:
    """The person with roles loaded. Raises UnknownName."""
    person = session.scalars(
        select(Person).where(Person.id == person_id).options(selectinload(Person.roles))
    ).one_or_none()
    if person is None:
        raise UnknownName(Text(en="There is no such person.", es="No existe esa persona."))
    return person


def active_person_of(session: Session, person_id: int) -> Person:
    """As `person_of`, refused when the person is deactivated."""
    person = person_of(session, person_id)
    if not person.active:
        raise Refusal(
            Text(en="%(name)s is deactivated.", es="La cuenta de %(name)s está desactivada."),
            name=person.name,
        )
    return person


def checked_text(text: str, what: Text, most: int = 2000) -> str:
    """`text` trimmed. Refusal, naming `what`, when nothing is left or it is too long."""
    text = text.strip()
    if not text:
        raise Refusal(Text(en="%(what)s is missing.", es="Falta %(what)s."), what=what)
    if len(text) > most:
        raise Refusal(
            Text(
                en="%(what)s has %(given)s characters; at most %(most)s are taken.",
                es="%(what)s: %(given)s caracteres; se aceptan como máximo %(most)s.",
            ),
            what=what,
            given=len(text),
            most=most,
        )
    return text


def checked_language(language: str) -> str:
    if language not in LANGUAGES:
        raise Refusal(
            Text(
                en="%(given)s is no language of this shop; choose one of %(known)s.",
                es="%(given)s no es un idioma del taller; elija uno de %(known)s.",
            ),
            given=repr(language),
            known=", ".join(LANGUAGES),
        )
    return language


def checked_roles(roles: Collection[str]) -> list[str]:
    """The roles in order. Refusal when there is none, or one is unknown."""
    unknown = sorted(set(roles) - set(ROLES))
    if unknown:
        raise Refusal(
            Text(
                en="%(given)s is no role; the roles are %(known)s.",
                es="%(given)s no es una función; las funciones son %(known)s.",
            ),
            given=repr(unknown[0]),
            known=", ".join(ROLES),
        )
    if not roles:
        raise Refusal(Text(en="Choose at least one role.", es="Elija al menos una función."))
    return [role for role in ROLES if role in roles]
