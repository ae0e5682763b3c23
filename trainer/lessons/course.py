"""The whole check of a course: each lesson rendered, the languages compared, and what each lesson must be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError
from trainer.lessons.check import check_lessons, orphans
from trainer.lessons.figures import figure_problems
from trainer.lessons.library import Lesson, Library, work_all
from trainer.lessons.reading import MINUTES, MOST_GRADE, Measure, measure, minutes, running_text
from trainer.lessons.rendering import filled
from trainer.lessons.whole import whole_problems
from trainer.questions import Bank


@dataclass(frozen=True, slots=True)
class Reading:
    """How hard an English lesson is to read and how long it takes, as measured."""

    lesson: Lesson
    counts: Measure
    minutes: int


def check_course(
    library: Library, bank: Bank | None = None, folder: Path | None = None
) -> tuple[ContentError, ...]:
    """Everything wrong with the lessons of `folder` (the shipped ones by default), read as `library`."""
    found = [*check_lessons(library, bank), *whole_problems(library), *figure_problems(library, folder)]
    if bank is not None and folder is None:
        found += orphans(library, bank)
    for reading in readings(library):
        found += _reading_problems(reading)
    return tuple(sorted(found, key=lambda problem: (problem.path, problem.line, problem.sentence)))


def readings(library: Library, shop: Mapping[str, Any] = DEFAULT_SHOP) -> list[Reading]:
    """Every English lesson measured, in the order of the course."""
    found = []
    for lesson in library.lessons("en"):
        body = filled(lesson, work_all(lesson.examples, shop), shop)
        found.append(Reading(lesson, measure(running_text(body)), round(minutes(body))))
    return found


def _reading_problems(reading: Reading) -> list[ContentError]:
    lesson, grade, low, high = reading.lesson, reading.counts.grade, *MINUTES
    said = []
    if grade > MOST_GRADE:
        said.append(f"it reads at grade {grade:.1f}; {MOST_GRADE:g} is the most. Shorten its sentences.")
    if not low <= reading.minutes <= high:
        said.append(f"it takes {reading.minutes} minutes; a lesson takes {low} to {high}.")
    if lesson.minutes != reading.minutes:
        said.append(f"minutes is {lesson.minutes}; by its words it takes {reading.minutes}.")
    return [ContentError(lesson.path, 0, sentence) for sentence in said]
