"""Certificates from outside. Dates are days in the shop's zone as they were when the act was done."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person


class Certificate(Base):
    """A certificate as it was put on record; `withdrawn_*` are filled once.

    issued, expires: as the paper says; expires: the last good day, None when the paper names none
    entered_on: the day it was put on record; it counts from then on
    """

    __tablename__ = "certificate"
    __table_args__ = (
        CheckConstraint("person_id <> by_id", name="not_by_oneself"),
        CheckConstraint("expires IS NULL OR issued <= expires", name="dates"),
        Index(None, "person_id", "kind"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    issuer: Mapped[str]
    issued: Mapped[date]
    expires: Mapped[date | None]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    entered_on: Mapped[date]
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)
    withdrawn_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    withdrawn_on: Mapped[date | None]
    withdrawn_at: Mapped[datetime | None]
    withdrawn_reason: Mapped[str | None]

    person: Mapped[Person] = relationship(lazy="raise", foreign_keys=[person_id])
    by: Mapped[Person] = relationship(lazy="raise", foreign_keys=[by_id])
    withdrawn_by: Mapped[Person | None] = relationship(lazy="raise", foreign_keys=[withdrawn_by_id])
