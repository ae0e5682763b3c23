"""Quizzes and papers: what was assigned, what was drawn, what was answered, how it was graded.

A paper's questions are frozen as they were drawn. An answer, its first grade, a grade change and a
comment are each written once and never changed.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base
from trainer.records.models.people import Person
from trainer.records.models.repeats import QuizRepeat


class Quiz(Base):
    """What a trainer assigned. spec: the questions and skills asked for, and the seed they were drawn from.

    opens: from when its papers may be started; None at once
    hint_cost: what opening a hint takes off the question's credit [percent]; None when hints stay shut
    deciding: the terms on which its papers end early; None when every question is asked
    goes: how often each person may sit it; wait_hours: between a closed paper and the next go
    ended_at: when it was taken back; nobody begins a further go after that
    repeat_id, week: of which weekly quiz it is, and of which week, from 0; None of any other
    """

    __tablename__ = "quiz"
    __table_args__ = (
        CheckConstraint("pass_mark BETWEEN 1 AND 100", name="percent"),
        CheckConstraint("goes BETWEEN 1 AND 10", name="goes"),
        CheckConstraint("wait_hours >= 0", name="wait"),
        UniqueConstraint("repeat_id", "week"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    pass_mark: Mapped[int]
    opens: Mapped[datetime | None]
    due: Mapped[datetime | None]
    hint_cost: Mapped[int | None]
    spec: Mapped[dict[str, Any]]
    deciding: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    goes: Mapped[int] = mapped_column(default=1, server_default="1")
    wait_hours: Mapped[int] = mapped_column(default=0, server_default="0")
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)
    ended_at: Mapped[datetime | None]
    ended_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    repeat_id: Mapped[int | None] = mapped_column(ForeignKey("quiz_repeat.id"))
    week: Mapped[int | None]

    by: Mapped[Person] = relationship(lazy="raise", foreign_keys=[by_id])
    repeat: Mapped[QuizRepeat | None] = relationship(lazy="raise")
    papers: Mapped[list[Paper]] = relationship(lazy="raise", back_populates="quiz", order_by="Paper.id")

    @property
    def wanted(self) -> dict[str, Any]:
        """What was asked for (`trainer.records.choosing.Choice.kept`), and whether it decides early."""
        drawn_from = ("seed", "asked")
        asked = {name: value for name, value in self.spec.items() if name not in drawn_from}
        return {"weakest": 0, **asked, "decides": self.deciding is not None}

    @property
    def weekly(self) -> tuple[Any, ...] | None:
        """On which terms it was set up to come again each week (`trainer.records.weekly.Weekly.terms`)."""
        if self.repeat is None or self.week:
            return None
        return self.repeat.crews, self.repeat.people, self.repeat.until

    @property
    def must(self) -> list[str]:
        """The questions that the trainer chose as having to be right, beside the bank's own."""
        return list(self.spec.get("must", ()))

    @property
    def takers(self) -> set[int]:
        """The people it was assigned to."""
        return {paper.person_id for paper in self.papers}


class Paper(Base):
    """One person's copy of a quiz. go: which of theirs, from 1; closed_how: "handed in", "all answered", "decided" or "taken back".

    sheet: once closed, a copy of its answers as they were first graded (`trainer.records.paper_sheets`)
    """

    __tablename__ = "paper"
    __table_args__ = (
        UniqueConstraint("quiz_id", "person_id", "go"),
        CheckConstraint("closed_at IS NULL OR sheet IS NOT NULL", name="sheet"),
        Index(None, "person_id", "closed_at"),
        Index(None, "reviewed_at", "closed_at"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    quiz_id: Mapped[int] = mapped_column(ForeignKey("quiz.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    go: Mapped[int] = mapped_column(default=1, server_default="1")
    opened_at: Mapped[datetime | None]
    closed_at: Mapped[datetime | None]
    closed_how: Mapped[str | None]
    reviewed_at: Mapped[datetime | None]
    reviewed_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    sheet: Mapped[str | None] = mapped_column(deferred=True)

    quiz: Mapped[Quiz] = relationship(lazy="raise", back_populates="papers")
    person: Mapped[Person] = relationship(lazy="raise", foreign_keys=[person_id])
    questions: Mapped[list[PaperQuestion]] = relationship(
        lazy="raise", back_populates="paper", order_by="PaperQuestion.position"
    )
    comments: Mapped[list[Comment]] = relationship(lazy="raise", order_by="Comment.id")


class PaperQuestion(Base):
    """One drawn question of a paper, frozen: its text, numbers, expected answer and the file it came from."""

    __tablename__ = "paper_question"
    __table_args__ = (UniqueConstraint("paper_id", "position"), Index(None, "question", "paper_id"))

    id: Mapped[int] = mapped_column(primary_key=True)
    paper_id: Mapped[int] = mapped_column(ForeignKey("paper.id"))
    position: Mapped[int]
    question: Mapped[str]
    version: Mapped[int]
    hash: Mapped[str]
    seed: Mapped[int] = mapped_column(BigInteger)
    skills: Mapped[list[Any]]
    must_pass: Mapped[bool]
    draw: Mapped[Any] = mapped_column(JSON)

    paper: Mapped[Paper] = relationship(lazy="raise", back_populates="questions")
    answer: Mapped[Answer | None] = relationship(lazy="raise", back_populates="question")
    changes: Mapped[list[GradeChange]] = relationship(lazy="raise", order_by="GradeChange.id")
    hints: Mapped[list[HintOpening]] = relationship(lazy="raise", order_by="HintOpening.number")

    @property
    def credit(self) -> float:
        """The credit that holds now, 0 to 1: the last change, else the first grade, else nothing."""
        if self.changes:
            return self.changes[-1].after
        return self.answer.credit if self.answer is not None else 0.0

    @property
    def right(self) -> bool:
        """Whether it counts as right now."""
        if self.changes:
            return self.changes[-1].after >= 1.0
        return self.answer is not None and self.answer.right

    @property
    def left_out(self) -> bool:
        """Whether the question is left out of the score now."""
        return bool(self.changes) and self.changes[-1].left_out


class Answer(Base):
    """An answer as it was given and as it was first graded. shown: how the text was read."""

    __tablename__ = "answer"
    __table_args__ = (CheckConstraint("credit BETWEEN 0 AND 1", name="credit"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    paper_question_id: Mapped[int] = mapped_column(ForeignKey("paper_question.id"), unique=True)
    typed: Mapped[str]
    shown: Mapped[str]
    right: Mapped[bool]
    credit: Mapped[float]
    slip: Mapped[str | None]
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)

    question: Mapped[PaperQuestion] = relationship(lazy="raise", back_populates="answer")


class HintOpening(Base):
    """A hint that was opened, once. number: from 1; text: as it was shown, in the person's language."""

    __tablename__ = "hint_opening"
    __table_args__ = (UniqueConstraint("paper_question_id", "number"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    paper_question_id: Mapped[int] = mapped_column(ForeignKey("paper_question.id"))
    number: Mapped[int]
    text: Mapped[str]
    at: Mapped[datetime]


class GradeChange(Base):
    """A trainer's change of one grade, with the reason. The first grade stays on the answer.

    left_out: the question no longer counts in the score; a later change takes it in again
    """

    __tablename__ = "grade_change"
    __table_args__ = (CheckConstraint("after BETWEEN 0 AND 1", name="credit"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    paper_question_id: Mapped[int] = mapped_column(ForeignKey("paper_question.id"), index=True)
    before: Mapped[float]
    after: Mapped[float]
    left_out: Mapped[bool] = mapped_column(default=False)
    reason: Mapped[str]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    form_token: Mapped[str | None] = mapped_column(unique=True)

    by: Mapped[Person] = relationship(lazy="raise")


class Comment(Base):
    """A remark on a paper, or on one of its questions when `position` is given."""

    __tablename__ = "comment"

    id: Mapped[int] = mapped_column(primary_key=True)
    paper_id: Mapped[int] = mapped_column(ForeignKey("paper.id"), index=True)
    position: Mapped[int | None]
    text: Mapped[str]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    form_token: Mapped[str] = mapped_column(unique=True)

    by: Mapped[Person] = relationship(lazy="raise")
