"""Lessons read and practice answers. Practice never counts toward clearance."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class LessonReading(Base):
    __tablename__ = "lesson_reading"
    __table_args__ = (UniqueConstraint("person_id", "lesson", "version"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    lesson: Mapped[str]
    version: Mapped[int]
    at: Mapped[datetime]


class PracticeAnswer(Base):
    __tablename__ = "practice_answer"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    question: Mapped[str]
    version: Mapped[int]
    seed: Mapped[int] = mapped_column(BigInteger)
    skills: Mapped[list[Any]]
    typed: Mapped[str]
    shown: Mapped[str]
    right: Mapped[bool]
    credit: Mapped[float]
    slip: Mapped[str | None]
    form_token: Mapped[str] = mapped_column(unique=True)
    at: Mapped[datetime]
