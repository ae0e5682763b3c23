"""What is known of one person toward clearance. Dates are days in the shop's zone.

None stands for what could not be read; it counts against.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime

EXACT = 1e-9  # slack for credits added up as floats


@dataclass(frozen=True, slots=True)
class ReadingEvidence:
    lesson: str
    version: int
    on: date | None


@dataclass(frozen=True, slots=True)
class GradeChangeEvidence:
    """A grade changed to `credit` (0 to 1) on a day by someone."""

    on: date | None
    credit: float
    by_id: int


@dataclass(frozen=True, slots=True)
class AnswerEvidence:
    """One question of a closed paper with its first grade; an unanswered one has credit 0.

    changes: in the order they were made
    given: whether it was answered
    asked: whether the paper came to it; one that decides early does not come to all
    """

    question: str
    skills: tuple[str, ...]
    must_pass: bool
    credit: float
    right: bool
    changes: tuple[GradeChangeEvidence, ...] = ()
    asked: bool = True
    given: bool = True

    def grade(self, on: date) -> tuple[float, bool]:
        """(credit, right) as it stood at the end of the day `on`."""
        held = [change for change in self.changes if change.on is not None and change.on <= on]
        if held:
            return held[-1].credit, held[-1].credit >= 1.0 - EXACT
        return self.credit, self.right and self.credit >= 1.0 - EXACT


@dataclass(frozen=True, slots=True)
class PaperEvidence:
    """A closed paper: who assigned it, when it was handed in, and every question it asked.

    moment: which of two papers of one day is the newer; None when it is not known
    least_right: of a paper that decides early, how many of the questions asked must be right for the evidence to
        suffice; mark: for which score [percent] it was to decide; None for any other paper
    """

    paper_id: int
    title: str
    assigned_by: int | None
    handed_in: date | None
    answers: tuple[AnswerEvidence, ...]
    moment: datetime | None = None
    least_right: int | None = None
    mark: int | None = None

    @property
    def readable(self) -> bool:
        """Whether every credit, first or changed, is a number from 0 to 1 and every change has a day."""
        credits = [answer.credit for answer in self.answers]
        credits += [change.credit for answer in self.answers for change in answer.changes]
        dated = all(change.on is not None for answer in self.answers for change in answer.changes)
        return dated and all(math.isfinite(credit) and 0.0 <= credit <= 1.0 for credit in credits)


@dataclass(frozen=True, slots=True)
class SignOffEvidence:
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


@dataclass(frozen=True, slots=True)
class GrantEvidence:
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
    """Everything known of one person."""

    person_id: int
    readings: tuple[ReadingEvidence, ...] = ()
    papers: tuple[PaperEvidence, ...] = ()
    sign_offs: tuple[SignOffEvidence, ...] = ()
    certificates: tuple[CertificateEvidence, ...] = ()
    grants: tuple[GrantEvidence, ...] = ()
    suspensions: tuple[SuspensionEvidence, ...] = ()
    absences: tuple[AbsenceEvidence, ...] = ()

    def away(self, on: date) -> bool:
        """Whether the person was deactivated at the end of that day."""
        return any(absence.begun(on) and not absence.over(on) for absence in self.absences)
