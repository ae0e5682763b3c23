"""Quizzes that come again each week."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person


class QuizRepeat(Base):
    """A quiz made anew each week, for the people named and whoever is in the crews on that day.

    crews, people: ids; until: the last day on which one may begin, None until it is stopped
    next_at: when the next one is to be made, None when none will be; trouble: why the last was not made, by language
    """

    __tablename__ = "quiz_repeat"

    id: Mapped[int] = mapped_column(primary_key=True)
    crews: Mapped[list[Any]]
    people: Mapped[list[Any]]
    until: Mapped[date | None]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    next_at: Mapped[datetime | None] = mapped_column(index=True)
    trouble: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    stopped_at: Mapped[datetime | None]
    stopped_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))

    by: Mapped[Person] = relationship(lazy="raise", foreign_keys=[by_id])
