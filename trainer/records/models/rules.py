"""The versions of the rules of clearance. Rows are never changed."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class RulesVersion(Base):
    """The rules from a day on, in the shop's zone; of those begun by a day the newest row holds on it.

    since: None for the first, which holds for every day before the second; content: as `clearance.freeze` gives it
    how: "first", "changed", "withdrawn", "adopted" (the program's own) or "kept" (nothing changed, the program's own
    were looked at); shipped: hash of the program's own rules that were last decided on
    """

    __tablename__ = "rules_version"

    id: Mapped[int] = mapped_column(primary_key=True)
    since: Mapped[date | None]
    how: Mapped[str]
    reason: Mapped[str]
    content: Mapped[dict[str, Any]]
    shipped: Mapped[str]
    by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)
