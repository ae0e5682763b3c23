"""What a clearance requires, and the practical tasks it can require.

Versions: a clearance, task or lesson has a present `version`; `accepts` is the oldest version that still
counts. Anything older, or newer than what is known, does not count.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class LessonRequirement:
    """A lesson read. version: the oldest version that counts, None for the present one only."""

    lesson: str
    version: int | None = None
    kind: Literal["lesson"] = "lesson"


@dataclass(frozen=True, slots=True)
class QuizRequirement:
    """The newest paper that covers all `skills`: at least `score` [percent], every must-pass question right.

    It must have asked a must-pass question on each of the skills that has one in the bank.
    within_days: it counts that many days after it was handed in, the last one included; None: it does not run out
    """

    skills: tuple[str, ...]
    score: int
    within_days: int | None = None
    kind: Literal["quiz"] = "quiz"


@dataclass(frozen=True, slots=True)
class SignOffRequirement:
    """A practical task passed `times` times in front of someone else, none failed since."""

    task: str
    times: int = 1
    within_days: int | None = None
    kind: Literal["sign-off"] = "sign-off"


@dataclass(frozen=True, slots=True)
class CertificateRequirement:
    """A certificate from outside, in date."""

    certificate: str
    kind: Literal["certificate"] = "certificate"


@dataclass(frozen=True, slots=True)
class ClearanceRequirement:
    """Another clearance that must stand too."""

    clearance: str
    kind: Literal["clearance"] = "clearance"


Requirement = (
    LessonRequirement | QuizRequirement | SignOffRequirement | CertificateRequirement | ClearanceRequirement
)


@dataclass(frozen=True, slots=True)
class Clearance:
    """Leave to do one kind of work. covers: what it does and does not allow."""

    id: str
    version: int
    accepts: int
    name: Text
    covers: Text
    requires: tuple[Requirement, ...]
    caution: Text | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing measured in a practical task, and what it is held against.

    unit: short unit name; within: how far off is still taken [unit]
    against: a field of the shop standard, with at_least, at_most or within
    calculation, result, inputs: a calculation's result, with within; an input "measured:NAME" is another measure
    input_units: of each input that is another measure, that measure's unit
    within alone: from nothing to that much; none of these: recorded only
    """

    name: str
    unit: str
    meaning: Text
    against: str | None = None
    at_least: bool = False
    at_most: bool = False
    within: float | None = None
    calculation: str | None = None
    result: str | None = None
    inputs: Mapping[str, str] = field(default_factory=dict)
    input_units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Task:
    """A practical task. criteria: each is seen, yes or no; fails: any one ends it as not passed."""

    id: str
    version: int
    accepts: int
    name: Text
    criteria: tuple[Text, ...]
    fails: tuple[Text, ...]
    caution: Text | None
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class CertificateKind:
    """A kind of certificate from outside. about: what it is for and who gives it.

    months: how long one is usually good, None when that varies; endless: whether one may have no last day
    source: id in `trainer.calc.sources`, None when there is none
    """

    id: str
    name: Text
    about: Text
    months: int | None = None
    endless: bool = False
    source: str | None = None


@dataclass(frozen=True, slots=True)
class LessonRef:
    """What a clearance needs to know of a lesson, and what it takes to have read it.

    sections: the ids of its parts, in order; check: the questions to be answered right
    """

    id: str
    version: int
    title: Text
    sections: tuple[str, ...] = ()
    check: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rules:
    """Every clearance and what its requirements refer to, each by id, in the order they are shown.

    must_pass: the skills on which the bank has must-pass questions
    """

    clearances: Mapping[str, Clearance]
    tasks: Mapping[str, Task]
    lessons: Mapping[str, LessonRef]
    skills: Mapping[str, Text]
    must_pass: frozenset[str]
    certificates: Mapping[str, CertificateKind] = field(default_factory=dict)

    def lesson_name(self, lesson: str) -> Text:
        known = self.lessons.get(lesson)
        return known.title if known else Text(en=lesson, es=lesson)

    def task_name(self, task: str) -> Text:
        known = self.tasks.get(task)
        return known.name if known else Text(en=task, es=task)

    def skill_name(self, skill: str) -> Text:
        return self.skills.get(skill) or Text(en=skill, es=skill)

    def clearance_name(self, clearance: str) -> Text:
        known = self.clearances.get(clearance)
        return known.name if known else Text(en=clearance, es=clearance)

    def certificate_name(self, certificate: str) -> Text:
        known = self.certificates.get(certificate)
        return known.name if known else Text(en=certificate, es=certificate)
