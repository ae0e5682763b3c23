"""What a trainer does to papers beyond grading one: a question graded anew on all, a paper sent back, answers typed in.

Rows are written once; of a doubt, only its settling is added.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.models.base import Base


class Regrade(Base):
    """One question in one version, graded anew on every paper that was handed in.

    how: "corrected", "full credit" or "left out"; by_version, by_hash: of the file that corrected it, else None
    """

    __tablename__ = "regrade"

    id: Mapped[int] = mapped_column(primary_key=True)
    question: Mapped[str]
    version: Mapped[int]
    how: Mapped[str]
    by_version: Mapped[int | None]
    by_hash: Mapped[str | None]
    reason: Mapped[str]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)


class RegradedPaper(Base):
    """What a regrade did to one paper. before, after: its score [percent]."""

    __tablename__ = "regraded_paper"
    __table_args__ = (
        UniqueConstraint("regrade_id", "paper_id"),
        CheckConstraint("before BETWEEN 0 AND 100 AND after BETWEEN 0 AND 100", name="percent"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    regrade_id: Mapped[int] = mapped_column(ForeignKey("regrade.id"))
    paper_id: Mapped[int] = mapped_column(ForeignKey("paper.id"), index=True)
    change_id: Mapped[int] = mapped_column(ForeignKey("grade_change.id"), unique=True)
    before: Mapped[float]
    after: Mapped[float]
    passed_before: Mapped[bool]
    passed_after: Mapped[bool]


class GrantDoubt(Base):
    """A grant that rested on a paper which was graded anew, until an owner has looked at it and said what they did."""

    __tablename__ = "grant_doubt"
    __table_args__ = (UniqueConstraint("grant_id", "regrade_id"), Index(None, "settled_at"))

    id: Mapped[int] = mapped_column(primary_key=True)
    grant_id: Mapped[int] = mapped_column(ForeignKey("clearance_grant.id"))
    regrade_id: Mapped[int] = mapped_column(ForeignKey("regrade.id"))
    at: Mapped[datetime]
    settled_at: Mapped[datetime | None]
    settled_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    settled_note: Mapped[str | None]


class SentBack(Base):
    """A paper that is to be done again: `again_id` is the person's new paper, with other numbers."""

    __tablename__ = "sent_back"

    id: Mapped[int] = mapped_column(primary_key=True)
    paper_id: Mapped[int] = mapped_column(ForeignKey("paper.id"), unique=True)
    again_id: Mapped[int] = mapped_column(ForeignKey("paper.id"), unique=True)
    reason: Mapped[str]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class AnswerEntry(Base):
    """An answer that was given on a printed sheet and typed in by someone else."""

    __tablename__ = "answer_entry"

    id: Mapped[int] = mapped_column(primary_key=True)
    answer_id: Mapped[int] = mapped_column(ForeignKey("answer.id"), unique=True)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
