"""Photographs and papers, and which of them belong to a sign-off."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, LargeBinary, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class StoredFile(Base):
    """A cleaned file about a person. data, small: its bytes and its small picture's, loaded only when asked for.

    form_token: of the form it was sent with; it belongs to no record until a row points to it
    """

    __tablename__ = "stored_file"
    __table_args__ = (
        UniqueConstraint("by_id", "person_id", "form_token", "sha256"),
        CheckConstraint("media IN ('image/jpeg', 'application/pdf')", name="media"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    form_token: Mapped[str]
    media: Mapped[str]
    sha256: Mapped[str]
    size: Mapped[int]
    width: Mapped[int | None]
    height: Mapped[int | None]
    data: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    small: Mapped[bytes | None] = mapped_column(LargeBinary, deferred=True)


class SignOffPhoto(Base):
    """A photograph of a sign-off. position: from 1."""

    __tablename__ = "sign_off_photo"

    sign_off_id: Mapped[int] = mapped_column(ForeignKey("sign_off.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    file_id: Mapped[int] = mapped_column(ForeignKey("stored_file.id"), index=True)
