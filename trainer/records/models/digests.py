"""Which daily digests were handed to the mail server."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class DigestSent(Base):
    """One person's digest of one day in the shop. sent_at: None while it is being handed over"""

    __tablename__ = "digest_sent"

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    day: Mapped[date] = mapped_column(primary_key=True)
    begun_at: Mapped[datetime]
    sent_at: Mapped[datetime | None]
