"""The append-only history: each row carries a hash over itself and the row before."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class Event(Base):
    """One act: what kind, when, by whom, about whom, and the facts that matter."""

    __tablename__ = "event"

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    at: Mapped[datetime]
    kind: Mapped[str] = mapped_column(index=True)
    actor_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    facts: Mapped[dict[str, Any]]
    previous: Mapped[str]
    hash: Mapped[str]


class HistoryHead(Base):
    """The number and hash of the newest event, so that a row cut off the end is missed too."""

    __tablename__ = "history_head"
    __table_args__ = (CheckConstraint("id = 1", name="only_one"),)

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    number: Mapped[int]
    hash: Mapped[str]
