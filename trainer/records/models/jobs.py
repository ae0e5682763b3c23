"""Take-offs that the shop kept."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person


class Job(Base):
    """A job as it was entered; the numbers are worked out anew whenever it is opened.

    texts: what was typed, by field; parts: the parts of the work in it
    removed_at: when it was taken off the list; the row stays, so that the history has something to point to
    """

    __tablename__ = "job"

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    texts: Mapped[dict[str, Any]]
    parts: Mapped[list[Any]]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    changed_at: Mapped[datetime | None]
    removed_at: Mapped[datetime | None]
    form_token: Mapped[str] = mapped_column(unique=True)

    by: Mapped[Person] = relationship(lazy="raise")
