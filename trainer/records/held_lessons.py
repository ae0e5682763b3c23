"""Lessons read, their check questions, and older versions accepted, as they stand in the records."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import select

from trainer.records.held_rows import Row, Table, parsed, text_of
from trainer.records.models import CheckAnswer, LessonAcceptance, LessonPlace, LessonReading


def _readings(rows: Any) -> Iterator[Row]:
    for person, lesson, version, at, checked in rows:
        yield Row("reading", (person, lesson, version), {"at": at, "checked": parsed(checked)})


def _lesson_ends(rows: Any) -> Iterator[Row]:
    for person, lesson, version, at in rows:
        yield Row("lesson end", (person, lesson, version), {"at": at})


def _checks(rows: Any) -> Iterator[Row]:
    for *key, question_version, seed, typed, shown, right, slip, at in rows:
        said = {"typed": typed, "shown": shown, "right": right, "slip": slip, "at": at}
        yield Row("check", tuple(key), {"question_version": question_version, "seed": seed, **said})


def _acceptances(rows: Any) -> Iterator[Row]:
    for id, lesson, version, present, since, reason, by, at, *end in rows:
        fields = {"lesson": lesson, "version": version, "present": present, "since": since.isoformat()}
        yield Row("acceptance", (id,), {**fields, "reason": reason, "by": by, "at": at})
        if any(part is not None for part in end):
            ended_by, ended_reason, on, ended_at = end
            fields = {"by": ended_by, "reason": ended_reason, "on": on.isoformat() if on else None}
            yield Row("asking again", (id,), {**fields, "at": ended_at})


LESSONS: Final[tuple[Table, ...]] = (
    (
        select(
            LessonReading.person_id,
            LessonReading.lesson,
            LessonReading.version,
            LessonReading.at,
            text_of(LessonReading.checked),
        ),
        _readings,
    ),
    (
        select(LessonPlace.person_id, LessonPlace.lesson, LessonPlace.version, LessonPlace.ended_at).where(
            LessonPlace.ended_at.is_not(None)
        ),
        _lesson_ends,
    ),
    (
        select(
            CheckAnswer.person_id,
            CheckAnswer.lesson,
            CheckAnswer.version,
            CheckAnswer.question,
            CheckAnswer.attempt,
            CheckAnswer.question_version,
            CheckAnswer.seed,
            CheckAnswer.typed,
            CheckAnswer.shown,
            CheckAnswer.right,
            CheckAnswer.slip,
            CheckAnswer.at,
        ),
        _checks,
    ),
    (
        select(
            LessonAcceptance.id,
            LessonAcceptance.lesson,
            LessonAcceptance.version,
            LessonAcceptance.present,
            LessonAcceptance.since,
            LessonAcceptance.reason,
            LessonAcceptance.by_id,
            LessonAcceptance.at,
            LessonAcceptance.ended_by_id,
            LessonAcceptance.ended_reason,
            LessonAcceptance.ended_on,
            LessonAcceptance.ended_at,
        ),
        _acceptances,
    ),
)
