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
from trainer.records.queries.quiz_rows import (
    AnswerView,
    CommentRow,
    GradeChangeRow,
    HintRow,
    NextGo,
    PaperQuestionView,
    PaperRow,
    PaperView,
    QuizRow,
    QuizView,
    RepeatRow,
)
from trainer.records.queries.regrade_rows import RegradedRow, SentBackRow

__all__ = [
    "AnswerView",
    "Board",
    "BoardRow",
    "CertificateRow",
    "CommentRow",
    "Counts",
    "CrewName",
    "EventRow",
    "GradeChangeRow",
    "GrantRow",
    "HintRow",
    "Home",
    "JobRow",
    "JobView",
    "NextGo",
    "Page",
    "PaperQuestionView",
    "PaperRow",
    "PaperView",
    "PersonCertificates",
    "PersonClearances",
    "PersonRecord",
    "PersonRow",
    "PracticeRow",
    "QuizRow",
    "QuizView",
    "RepeatRow",
    "SignOffRow",
    "SuspensionRow",
]

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

    @property
    def holds_nothing(self) -> bool:
        """Whether the person is cleared for nothing, was for nothing, and nothing waits to be granted."""
        return all(one.state == "not cleared" for one in self.standings)


@dataclass(frozen=True, slots=True)
class Board:
    """People who were active on a day by every clearance; standings stand in the order of `clearances`.

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
    regraded: own papers that were lately graded anew; again: by paper still out, what it is to be done in place of;
    goes: quizzes that may be sat again, soonest first."""

    due: tuple[PaperRow, ...]
    waiting: tuple[PaperRow, ...]
    done: tuple[PaperRow, ...]
    going_on: LessonRow | None
    unread: tuple[LessonRow, ...]
    standings: tuple[Standing, ...]
    regraded: tuple[RegradedRow, ...]
    again: Mapping[int, SentBackRow]
    goes: tuple[NextGo, ...]


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
