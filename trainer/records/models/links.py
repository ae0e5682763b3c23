"""Private links: an address that nobody can guess shows a little, without signing in."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person


class PrivateLink(Base):
    """One link. Only a hash of its key is stored. use: what it shows; `withdrawn_*` are filled once."""

    __tablename__ = "private_link"
    __table_args__ = (CheckConstraint("use IN ('card', 'own days', 'shop days')", name="known_use"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    use: Mapped[str]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    key_hash: Mapped[str] = mapped_column(unique=True)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    withdrawn_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    withdrawn_at: Mapped[datetime | None]

    person: Mapped[Person] = relationship(lazy="raise", foreign_keys=[person_id])
    by: Mapped[Person] = relationship(lazy="raise", foreign_keys=[by_id])
