"""What is known of one person toward clearance. Dates are days in the shop's zone.

None stands for what could not be read; it counts against.

What there are tens of thousands of on a board are named tuples, which are made several times as fast.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, NamedTuple

EXACT = 1e-9  # slack for credits added up as floats


class ReadingEvidence(NamedTuple):
    lesson: str
    version: int
    on: date | None


@dataclass(frozen=True, slots=True)
class AcceptanceEvidence:
    """Readings of `version` and newer taken for the version `present` of a lesson, from a day until it was taken back.

    by_id: who accepted it; it counts for everyone else
    """

    lesson: str
    version: int
    present: int
    by_id: int | None
    since: date | None
    ended_on: date | None = None
    ended: bool = False

    def holds(self, person_id: int, on: date) -> bool:
        """Whether it counts for that person on that day; on the day it is taken back it does not."""
        if self.by_id is None or self.by_id == person_id or self.since is None or self.since > on:
            return False
        return not self.ended or (self.ended_on is not None and on < self.ended_on)


@dataclass(frozen=True, slots=True)
class GradeChangeEvidence:
    """A grade changed to `credit` (0 to 1) on a day by someone; left_out: the question counts no more."""

    on: date | None
    credit: float
    by_id: int
    left_out: bool = False


@dataclass(frozen=True, slots=True)
class AnswerEvidence:
    """One question of a closed paper with its first grade; an unanswered one has credit 0.

    changes: in the order they were made
    given: whether it was answered
    asked: whether the paper came to it; one that decides early does not come to all
    chosen: whether it had to be right only because a trainer chose so; it cannot stand for one of the bank's
    """

    skills: tuple[str, ...]
    must_pass: bool
    credit: float
    right: bool
    changes: tuple[GradeChangeEvidence, ...] = ()
    asked: bool = True
    given: bool = True
    chosen: bool = False

    def grade(self, on: date) -> tuple[float, bool]:
        """(credit, right) as it stood at the end of the day `on`."""
        change = self._change(on) if self.changes else None
        if change is not None:
            return change.credit, change.credit >= 1.0 - EXACT
        return self.credit, self.right and self.credit >= 1.0 - EXACT

    def left_out(self, on: date) -> bool:
        """Whether it was left out of the score at the end of the day `on`; a change without a day leaves nothing out."""
        change = self._change(on)
        return change is not None and change.left_out

    def _change(self, on: date) -> GradeChangeEvidence | None:
        for change in reversed(self.changes):
            if change.on is not None and change.on <= on:
                return change
        return None


class Sheet(Sequence[AnswerEvidence]):
    """The answers of a paper with what follows from them alone, each worked out once.

    skills: all that it could ask about, whether it came to them or not
    """

    __slots__ = ("_answers", "_credits", "_first", "skills")

    def __init__(self, answers: Iterable[AnswerEvidence]) -> None:
        self._answers: tuple[AnswerEvidence, ...] = tuple(answers)
        self.skills = frozenset([skill for answer in self._answers for skill in answer.skills])
        changed = any(answer.changes for answer in self._answers)
        self._first = None if changed else Grades(self._answers, date.max)
        self._credits: Mapping[str, tuple[float, ...]] | None = None

    def __len__(self) -> int:
        return len(self._answers)

    def __getitem__(self, place: Any) -> Any:
        return self._answers[place]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))

    def grades(self, on: date) -> Grades:
        """As they stood at the end of the day `on`; one and the same for all that are alike and never changed."""
        return self._first or Grades(self._answers, on)

    @property
    def credits(self) -> Mapping[str, tuple[float, ...]]:
        """By skill, those of the answers that were given and count, after every change."""
        if self._credits is None:
            found: dict[str, tuple[float, ...]] = {}
            for one in self._answers:
                if one.given and not (one.changes and one.left_out(date.max)):
                    for skill in one.skills:
                        found[skill] = (*found.get(skill, ()), one.grade(date.max)[0])
            self._credits = found
        return self._credits


class Grades:
    """The grades of a paper as they stood at the end of a day.

    right: how many of the questions that counted were right; must_pass_right: whether all that had to be right were
    must_pass: the skills on which it asked one of the bank's must-pass questions that counted; changed_by: who ever changed a grade
    readable: whether every credit, first or changed, is a number from 0 to 1 and every change has a day
    """

    __slots__ = ("_credits", "changed_by", "must_pass", "must_pass_right", "readable", "right")

    def __init__(self, answers: tuple[AnswerEvidence, ...], on: date) -> None:
        self.right, self.must_pass_right, self.readable = 0, True, True
        self.must_pass: set[str] = set()
        self.changed_by: set[int] = set()
        self._credits: list[tuple[float, tuple[str, ...]]] = []
        for answer in answers:
            if answer.changes:
                for change in answer.changes:
                    self.changed_by.add(change.by_id)
                    if change.on is None or not 0.0 <= change.credit <= 1.0:
                        self.readable = False
            if not 0.0 <= answer.credit <= 1.0:  # also what is no number
                self.readable = False
            # A paper that decided early did not come to all, and a trainer may leave a question out.
            if not answer.asked or (answer.changes and answer.left_out(on)):
                continue
            credit, right = answer.grade(on)
            self.right += right
            self._credits.append((credit, answer.skills))
            if answer.must_pass:
                self.must_pass_right = self.must_pass_right and right
                if not answer.chosen:
                    self.must_pass.update(answer.skills)

    def score(self, skills: frozenset[str]) -> float:
        """The lower of the score of the whole paper and of its questions on `skills` [percent].

        Strong answers on other skills must not carry weak ones on these.
        """
        whole = [credit for credit, _ in self._credits]
        named = [credit for credit, asked in self._credits if not skills.isdisjoint(asked)]
        if not named:
            return 0.0
        return 100.0 * min(sum(whole) / len(whole), sum(named) / len(named))


class PaperEvidence(NamedTuple):
    """A closed paper: who assigned it, when it was handed in, and every question it asked.

    moment: which of two papers of one day is the newer; None when it is not known
    least_right: of a paper that decides early, how many of the questions asked must be right for the evidence to
        suffice; mark: for which score [percent] it was to decide; None for any other paper
    """

    paper_id: int
    title: str
    assigned_by: int | None
    handed_in: date | None
    answers: Sequence[AnswerEvidence]
    moment: datetime | None = None
    least_right: int | None = None
    mark: int | None = None

    @property
    def sheet(self) -> Sheet:
        return self.answers if isinstance(self.answers, Sheet) else Sheet(self.answers)


class SignOffEvidence(NamedTuple):
    """A practical task watched. sound: nothing in the record contradicts that it was passed."""

    id: int
    task: str
    version: int
    observer_id: int | None
    observer: str
    passed: bool
    sound: bool
    on: date | None


@dataclass(frozen=True, slots=True)
class CertificateEvidence:
    """A certificate from outside. expires: the last good day; None without never_expires is unreadable.

    entered_on, entered_by_id: when and by whom it was put on record; it says nothing of the days before
    withdrawn_on: from that day on it does not count; when withdrawn without a day, it never did
    """

    id: int
    kind: str
    issuer: str
    issued: date | None
    expires: date | None
    never_expires: bool = False
    entered_on: date | None = None
    entered_by_id: int | None = None
    withdrawn: bool = False
    withdrawn_on: date | None = None

    def on_record(self, on: date) -> bool:
        """Whether it had been put on record by the end of that day."""
        return self.entered_on is not None and self.entered_on <= on

    def taken_back(self, on: date) -> bool:
        """Whether it had been withdrawn by the end of that day."""
        return self.withdrawn and (self.withdrawn_on is None or self.withdrawn_on <= on)


class GrantEvidence(NamedTuple):
    """The owner's leave. until: the last good day, None when nothing it rested on runs out.

    moment: whether it came before or after a return of the same day; None when it is not known
    """

    id: int
    clearance: str
    version: int
    by_id: int | None
    by: str
    since: date | None
    until: date | None
    moment: datetime | None = None


@dataclass(frozen=True, slots=True)
class SuspensionEvidence:
    """Leave taken back from a day on, until the day it was lifted by someone."""

    id: int
    clearance: str
    by: str
    since: date | None
    reason: str
    lifted_by_id: int | None = None
    lifted_on: date | None = None


@dataclass(frozen=True, slots=True)
class AbsenceEvidence:
    """A time during which the person was deactivated. back: the day of their return, at `moment`; None while away."""

    left: date | None
    back: date | None = None
    moment: datetime | None = None

    def begun(self, on: date) -> bool:
        return self.left is None or self.left <= on

    def over(self, on: date) -> bool:
        return self.left is not None and self.back is not None and self.left <= self.back <= on

    def ended_before(self, grant: GrantEvidence) -> bool:
        """Whether the grant was surely given after the return."""
        if self.back is None or grant.since is None or grant.since != self.back:
            return self.back is not None and grant.since is not None and grant.since > self.back
        return self.moment is not None and grant.moment is not None and self.moment <= grant.moment


@dataclass(frozen=True, slots=True)
class Evidence:
    """Everything known of one person. acceptances: of older versions of the lessons they read."""

    person_id: int
    readings: tuple[ReadingEvidence, ...] = ()
    papers: tuple[PaperEvidence, ...] = ()
    sign_offs: tuple[SignOffEvidence, ...] = ()
    certificates: tuple[CertificateEvidence, ...] = ()
    grants: tuple[GrantEvidence, ...] = ()
    suspensions: tuple[SuspensionEvidence, ...] = ()
    absences: tuple[AbsenceEvidence, ...] = ()
    acceptances: tuple[AcceptanceEvidence, ...] = ()

    def away(self, on: date) -> bool:
        """Whether the person was deactivated at the end of that day."""
        return any(absence.begun(on) and not absence.over(on) for absence in self.absences)
