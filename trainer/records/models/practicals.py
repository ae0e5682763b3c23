"""Sign-offs: a practical task watched and measured by a trainer or owner."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, false
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.files import SignOffPhoto
from trainer.records.models.people import Person


class SignOff(Base):
    """criteria: one true or false for each of the task's; fails: numbers of the at-once fails seen;
    measures: by name, what was typed, how it was read and what the calculation core said of it;
    sound: whether none of these contradicts that it was passed (`trainer.records.soundness`)."""

    __tablename__ = "sign_off"
    __table_args__ = (CheckConstraint("person_id <> observer_id", name="not_by_oneself"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    task: Mapped[str]
    version: Mapped[int]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    observer_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    passed: Mapped[bool]
    criteria: Mapped[list[Any]]
    fails: Mapped[list[Any]]
    measures: Mapped[dict[str, Any]]
    sound: Mapped[bool] = mapped_column(server_default=false())
    notes: Mapped[str]
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)

    photos: Mapped[list[SignOffPhoto]] = relationship(lazy="raise", order_by="SignOffPhoto.position")
    person: Mapped[Person] = relationship(lazy="raise", foreign_keys=[person_id])
    observer: Mapped[Person] = relationship(lazy="raise", foreign_keys=[observer_id])

    @property
    def photo_files(self) -> list[int]:
        """Its photographs, by the id of their files."""
        return [photo.file_id for photo in self.photos]

    @property
    def typed(self) -> dict[str, str]:
        """The measures as they were typed, by name."""
        return {name: measure["typed"] for name, measure in self.measures.items()}
