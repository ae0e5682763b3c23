"""Grants and suspensions. Dates are days in the shop's zone as they were when the act was done."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person


class Grant(Base):
    """The owner's leave, with a frozen copy of the evidence it rested on. until: the last good day, if any."""

    __tablename__ = "clearance_grant"
    __table_args__ = (
        CheckConstraint("person_id <> by_id", name="not_by_oneself"),
        Index(None, "person_id", "clearance"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    clearance: Mapped[str]
    version: Mapped[int]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    since: Mapped[date]
    until: Mapped[date | None]
    evidence: Mapped[dict[str, Any]]
    at: Mapped[datetime]

    by: Mapped[Person] = relationship(lazy="raise", foreign_keys=[by_id])


class Suspension(Base):
    """Leave taken back at once, with the reason; `lifted_*` are filled once, by the owner."""

    __tablename__ = "suspension"
    __table_args__ = (Index(None, "person_id", "clearance"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    clearance: Mapped[str]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    reason: Mapped[str]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    since: Mapped[date]
    at: Mapped[datetime]
    lifted_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    lifted_on: Mapped[date | None]
    lifted_at: Mapped[datetime | None]
    lifted_reason: Mapped[str | None]

    by: Mapped[Person] = relationship(lazy="raise", foreign_keys=[by_id])
    lifted_by: Mapped[Person | None] = relationship(lazy="raise", foreign_keys=[lifted_by_id])
