"""What pages are made of: frozen dataclasses, plain values, times aware in UTC."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Generic, NamedTuple, TypeVar

from trainer.clearance import Clearance, JobCheck, Rules, Standing
from trainer.learning import Interval, wilson
from trainer.records.files import FileRow
from trainer.records.measures import Measured
from trainer.records.queries.lesson_rows import LessonRow
from trainer.records.queries.regrade_rows import RegradedRow, SentBackRow

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Page(Generic[T]):
    """One page of a longer list. page: this one's number, from 1; total: of all items."""

    items: tuple[T, ...]
    page: int
    pages: int
    total: int


@dataclass(frozen=True, slots=True)
class PracticeRow:
    question: str
    tries: int
    right: int
    last_at: datetime

    @property
    def sure(self) -> Interval:
        return wilson(self.right, self.tries)


class CrewName(NamedTuple):
    id: int
    name: str


@dataclass(frozen=True, slots=True)
class PersonRow:
    """code_until: until when an unused one-time code is good, None when there is none; email: None when not given.

    crews: those the person is in
    """

    id: int
    name: str
    sign_in: str
    language: str
    roles: frozenset[str]
    active: bool
    has_password: bool
    code_until: datetime | None
    created_at: datetime
    email: str | None
    crews: frozenset[CrewName] = frozenset()


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
class PaperView:
    """One paper. next_open: first question not answered; next_waiting: the next paper to review after it, for a
    reviewer; again: of this paper, or of the one that it is to be done in place of.
    """

    row: PaperRow
    questions: tuple[PaperQuestionView, ...]
    comments: tuple[CommentRow, ...]
    own: bool
    next_open: int | None
    next_waiting: int | None
    again: tuple[SentBackRow, ...]


@dataclass(frozen=True, slots=True)
class SignOffRow:
    """photos: how many photographs it has."""

    id: int
    task: str
    version: int
    person_id: int
    person: str
    observer: str
    passed: bool
    criteria: tuple[bool, ...]
    fails: tuple[int, ...]
    measures: Mapping[str, Measured]
    notes: str
    at: datetime
    photos: int


@dataclass(frozen=True, slots=True)
class CertificateRow:
    """A certificate. expires: the last good day, None when there is none; withdrawn_*: None while it stands.

    file: the paper itself, None when none was sent
    """

    id: int
    kind: str
    person_id: int
    person: str
    issuer: str
    issued: date
    expires: date | None
    by: str
    entered_on: date
    file: FileRow | None
    withdrawn_on: date | None
    withdrawn_by: str | None
    withdrawn_reason: str | None

    def state(self, on: date) -> str:
        """As it stands on a day after it was entered: "good", "run out" or "withdrawn"."""
        if self.withdrawn_on is not None and self.withdrawn_on <= on:
            return "withdrawn"
        return "good" if self.expires is None or on <= self.expires else "run out"


@dataclass(frozen=True, slots=True)
class PersonCertificates:
    person: PersonRow
    certificates: tuple[CertificateRow, ...]


@dataclass(frozen=True, slots=True)
class GrantRow:
    id: int
    clearance: str
    version: int
    by: str
    since: date
    until: date | None
    evidence: Mapping[str, Any]
    at: datetime


@dataclass(frozen=True, slots=True)
class SuspensionRow:
    id: int
    clearance: str
    by: str
    since: date
    reason: str
    lifted_by: str | None
    lifted_on: date | None
    lifted_reason: str | None


@dataclass(frozen=True, slots=True)
class BoardRow:
    person: PersonRow
    standings: tuple[Standing, ...]


@dataclass(frozen=True, slots=True)
class Board:
    """Everyone who was active on a day by every clearance; standings stand in the order of `clearances`.

    waiting: whether an owner has yet to decide on the rules that come with the program
    doubted: (person, clearance) of the grants, of whatever day, that an owner has yet to look at again
    """

    on: date
    clearances: tuple[Clearance, ...]
    rows: tuple[BoardRow, ...]
    waiting: bool = False
    doubted: frozenset[tuple[int, str]] = frozenset()


@dataclass(frozen=True, slots=True)
class JobView:
    """A job check with the names of everyone in it. rules: those in force on its day."""

    check: JobCheck
    names: Mapping[int, str]
    rules: Rules


@dataclass(frozen=True, slots=True)
class PersonClearances:
    """rules: those in force on the day."""

    rules: Rules
    person: PersonRow
    on: date
    standings: tuple[Standing, ...]
    grants: tuple[GrantRow, ...]
    suspensions: tuple[SuspensionRow, ...]


@dataclass(frozen=True, slots=True)
class PersonRecord:
    person: PersonRow
    lessons: tuple[LessonRow, ...]
    papers: tuple[PaperRow, ...]
    sign_offs: tuple[SignOffRow, ...]
    certificates: tuple[CertificateRow, ...]
    practice: tuple[PracticeRow, ...]
    standings: tuple[Standing, ...]
    grants: tuple[GrantRow, ...]
    suspensions: tuple[SuspensionRow, ...]
    regraded: tuple[RegradedRow, ...]


@dataclass(frozen=True, slots=True)
class Home:
    """What is next. going_on: the lesson last read in, when it is not finished; unread: every lesson still to read.

    due: papers to answer, soonest first, those that open later last; waiting: handed in, not reviewed; done: latest reviewed.
    regraded: own papers that were lately graded anew; again: by paper still out, what it is to be done in place of."""

    due: tuple[PaperRow, ...]
    waiting: tuple[PaperRow, ...]
    done: tuple[PaperRow, ...]
    going_on: LessonRow | None
    unread: tuple[LessonRow, ...]
    standings: tuple[Standing, ...]
    regraded: tuple[RegradedRow, ...]
    again: Mapping[int, SentBackRow]


@dataclass(frozen=True, slots=True)
class Counts:
    """For the navigation. for_review: papers waiting for this reviewer; due: own papers still out."""

    for_review: int
    due: int


@dataclass(frozen=True, slots=True)
class EventRow:
    number: int
    at: datetime
    kind: str
    by: str | None
    about: str | None
    facts: Mapping[str, Any]
    hash: str


@dataclass(frozen=True, slots=True)
class JobRow:
    """A kept take-off. texts, parts: what was entered; may_change: whether the reader may change or remove it."""

    id: int
    title: str
    texts: Mapping[str, str]
    parts: tuple[str, ...]
    by: str
    at: datetime
    changed_at: datetime | None
    may_change: bool
