"""People, their absences, the roles they hold, one-time codes, tries at signing in, second steps and sessions."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base


class Person(Base):
    """Someone who signs in. `left_at` is set while the person is deactivated; records stay.

    session_stamp: every signed-in session carries the stamp it began with; a new stamp ends them all
    """

    __tablename__ = "person"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    sign_in: Mapped[str] = mapped_column(unique=True)
    language: Mapped[str]
    password_hash: Mapped[str | None]
    session_stamp: Mapped[str]
    created_at: Mapped[datetime]
    left_at: Mapped[datetime | None]
    email: Mapped[str | None]

    roles: Mapped[list[PersonRole]] = relationship(
        lazy="raise", cascade="all, delete-orphan", order_by="PersonRole.role"
    )

    @property
    def active(self) -> bool:
        return self.left_at is None


class Absence(Base):
    """From when to when a person was deactivated; `back_at` is None while they are."""

    __tablename__ = "absence"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    left_at: Mapped[datetime]
    back_at: Mapped[datetime | None]


class PersonRole(Base):
    __tablename__ = "person_role"
    __table_args__ = (CheckConstraint("role IN ('apprentice', 'trainer', 'owner')", name="known"),)

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    role: Mapped[str] = mapped_column(primary_key=True)


class EntryCode(Base):
    """A one-time code to set a password with; only a keyed hash of it is stored."""

    __tablename__ = "entry_code"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    code_hash: Mapped[str]
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    used_at: Mapped[datetime | None]


class SignInTry(Base):
    """One try at signing in. The name and the address are stored as keyed hashes."""

    __tablename__ = "sign_in_try"
    __table_args__ = (Index(None, "name_key", "at"), Index(None, "source_key", "at"))

    id: Mapped[int] = mapped_column(primary_key=True)
    name_key: Mapped[str]
    source_key: Mapped[str]
    at: Mapped[datetime]
    worked: Mapped[bool]


class SecondStep(Base):
    """A person's second step at sign-in. last_step: number of the 30-second step whose code was used last."""

    __tablename__ = "second_step"

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    secret: Mapped[str]
    since: Mapped[datetime]
    last_step: Mapped[int] = mapped_column(BigInteger)


class WebSession(Base):
    """One signed-in browser. stamp: the person's when it began; only a hash of the browser's key is stored."""

    __tablename__ = "web_session"

    id: Mapped[int] = mapped_column(primary_key=True)
    key_hash: Mapped[str] = mapped_column(unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    stamp: Mapped[str]
    started_at: Mapped[datetime]
    seen_at: Mapped[datetime]
