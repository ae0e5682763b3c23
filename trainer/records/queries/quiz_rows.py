"""What pages about quizzes and papers are made of: see `trainer.records.queries.rows`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from trainer.learning import Interval, wilson
from trainer.records.queries.regrade_rows import SentBackRow


@dataclass(frozen=True, slots=True)
class RepeatRow:
    """The weekly quiz that a quiz belongs to. week: which of its quizzes, from 1; next_at: when the next is made, or None

    trouble: why the last one was not made, by language
    """

    id: int
    week: int
    until: date | None
    next_at: datetime | None
    stopped_at: datetime | None
    trouble: Mapping[str, str] | None


@dataclass(frozen=True, slots=True)
class QuizRow:
    id: int
    title: str
    pass_mark: int
    opens: datetime | None
    due: datetime | None
    hint_cost: int | None
    assigned_by: str
    assigned_at: datetime
    papers: int
    handed_in: int
    reviewed: int
    goes: int
    wait_hours: int
    ended_at: datetime | None
    repeat: RepeatRow | None


@dataclass(frozen=True, slots=True)
class PaperRow:
    """percent, passed: with the grades that hold now, None until closed; percent is rounded down.

    hint_cost: what a hint takes off its question's credit [percent], None when the quiz gives none; hints: opened
    credit: the credits added up, None until closed
    questions: of a paper that was decided early, those it came to; left_out: those that a trainer left out of the
        score, which are in no other figure of the row
    verdict: of a closed paper that decides early, "above", "below" or "undecided"; decides: whether it is one
    state: "waiting to start", "started", "handed in" or "reviewed"; late: handed in, or still out, after it was due
    shut: not started, and its quiz does not open yet
    go: which of the person's papers of this quiz, from 1; goes: how many it gives
    """

    id: int
    quiz_id: int
    title: str
    person_id: int
    person: str
    pass_mark: int
    opens: datetime | None
    due: datetime | None
    assigned_at: datetime
    opened_at: datetime | None
    closed_at: datetime | None
    reviewed_at: datetime | None
    questions: int
    answered: int
    hint_cost: int | None
    hints: int
    credit: float | None
    percent: int | None
    passed: bool | None
    state: str
    late: bool
    shut: bool
    decides: bool
    verdict: str | None
    left_out: int
    go: int
    goes: int

    @property
    def sure(self) -> Interval | None:
        """How sure the score is; None until closed."""
        return None if self.credit is None or not self.questions else wilson(self.credit, self.questions)


@dataclass(frozen=True, slots=True)
class QuizView:
    """must: the questions that the trainer chose as having to be right, beside the bank's own."""

    row: QuizRow
    spec: Mapping[str, Any]
    deciding: Mapping[str, Any] | None
    must: tuple[str, ...]
    papers: tuple[PaperRow, ...]


@dataclass(frozen=True, slots=True)
class AnswerView:
    """An answer with its first grade; the grade is None while the paper is still out."""

    typed: str
    shown: str
    right: bool | None
    credit: float | None
    slip: str | None
    at: datetime


@dataclass(frozen=True, slots=True)
class GradeChangeRow:
    before: float
    after: float
    left_out: bool
    reason: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class CommentRow:
    by_id: int
    by: str
    text: str
    at: datetime


@dataclass(frozen=True, slots=True)
class HintRow:
    """A hint that was opened; text: as it was shown."""

    number: int
    text: str
    at: datetime


@dataclass(frozen=True, slots=True)
class PaperQuestionView:
    """One drawn question of a paper. credit, right: as they hold now; None while the paper is still out.

    hints: those that were opened; left_out: whether it is left out of the score now
    seconds: how long the answer took, from the one before it or from the opening
    """

    position: int
    question: str
    version: int
    hash: str
    seed: int
    draw: Any
    skills: tuple[str, ...]
    must_pass: bool
    answer: AnswerView | None
    hints: tuple[HintRow, ...]
    credit: float | None
    right: bool | None
    changes: tuple[GradeChangeRow, ...]
    comments: tuple[CommentRow, ...]
    left_out: bool
    seconds: float | None


@dataclass(frozen=True, slots=True)
class NextGo:
    """The go that may follow a paper. number: which, of `of`; opens: from when; percent: what the paper came to"""

    paper_id: int
    title: str
    number: int
    of: int
    opens: datetime
    percent: int


@dataclass(frozen=True, slots=True)
class PaperView:
    """One paper. next_open: first question not answered; next_waiting: the next paper to review after it, for a
    reviewer; again: of this paper, or of the one that it is to be done in place of;
    next_go: the go that may follow it.
    """

    row: PaperRow
    questions: tuple[PaperQuestionView, ...]
    comments: tuple[CommentRow, ...]
    own: bool
    next_open: int | None
    next_waiting: int | None
    again: tuple[SentBackRow, ...]
    next_go: NextGo | None
