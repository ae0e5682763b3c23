"""How far people came in the lessons, their answers to check questions, lessons read, and practice answers.

Practice never counts toward clearance.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person


class LessonPlace(Base):
    """How far a person came in one version of a lesson.

    section: the last one read to its end; ended_at: when that was the lesson's last, None before
    """

    __tablename__ = "lesson_place"
    __table_args__ = (UniqueConstraint("person_id", "lesson", "version"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    lesson: Mapped[str]
    version: Mapped[int]
    section: Mapped[str]
    at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class CheckAnswer(Base):
    """One answer to a check question of a lesson. attempt: from 1, for each question of each version."""

    __tablename__ = "check_answer"
    __table_args__ = (UniqueConstraint("person_id", "lesson", "version", "question", "attempt"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    lesson: Mapped[str]
    version: Mapped[int]
    question: Mapped[str]
    attempt: Mapped[int]
    question_version: Mapped[int]
    seed: Mapped[int] = mapped_column(BigInteger)
    typed: Mapped[str]
    shown: Mapped[str]
    right: Mapped[bool]
    slip: Mapped[str | None]
    form_token: Mapped[str] = mapped_column(unique=True)
    at: Mapped[datetime]


class LessonReading(Base):
    """A lesson read. checked: the questions answered right for it, each with the attempt; None when it was noted before there were any."""

    __tablename__ = "lesson_reading"
    __table_args__ = (UniqueConstraint("person_id", "lesson", "version"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    lesson: Mapped[str]
    version: Mapped[int]
    at: Mapped[datetime]
    checked: Mapped[list[Any] | None]


class LessonAcceptance(Base):
    """An older version of a lesson taken for the present one. version: the oldest that counts; present: in whose place.

    It belongs to that present version only: when the lesson changes again, it counts no more.
    """

    __tablename__ = "lesson_acceptance"

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson: Mapped[str]
    version: Mapped[int]
    present: Mapped[int]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    since: Mapped[date]
    reason: Mapped[str]
    form_token: Mapped[str] = mapped_column(unique=True)
    at: Mapped[datetime]
    ended_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    ended_on: Mapped[date | None]
    ended_reason: Mapped[str | None]
    ended_at: Mapped[datetime | None]

    by: Mapped[Person] = relationship(foreign_keys=by_id, lazy="raise")
    ended_by: Mapped[Person | None] = relationship(foreign_keys=ended_by_id, lazy="raise")


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
