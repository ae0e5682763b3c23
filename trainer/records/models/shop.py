"""The shop and the revisions of its standard."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class Shop(Base):
    """The one shop of this store. `secret` signs the web sessions and keys what is stored hashed."""

    __tablename__ = "shop"
    __table_args__ = (CheckConstraint("id = 1", name="only_one"),)

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    name: Mapped[str]
    zone: Mapped[str]
    language: Mapped[str]
    secret: Mapped[str]
    created_at: Mapped[datetime]


class StandardRevision(Base):
    """The shop standard's figures from a moment on; the newest row holds. Rows are never changed."""

    __tablename__ = "standard_revision"

    id: Mapped[int] = mapped_column(primary_key=True)
    values: Mapped[dict[str, Any]]
    by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
