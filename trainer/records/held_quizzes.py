"""Quizzes as they stand in the records: see `trainer.records.held`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import select

from trainer.records.fingerprints import fingerprint
from trainer.records.held_rows import Row, Table, iso, parsed, text_of
from trainer.records.models import Quiz, QuizRepeat


def _quizzes(rows: Any) -> Iterator[Row]:
    names = ("title", "pass_mark", "opens", "due", "hint_cost", "goes", "wait", "repeat", "week", "by", "at")
    for id, deciding, spec, ended, ended_by, *rest in rows:
        fields = dict(zip(names, rest, strict=True))
        asked = parsed(spec)
        fields["must"] = asked.get("must", []) if isinstance(asked, dict) else asked
        fields["deciding"] = None if deciding is None else fingerprint(parsed(deciding))
        yield Row("quiz", (id,), fields)
        if ended is not None or ended_by is not None:
            yield Row("taking back", (id,), {"by": ended_by, "at": ended})


def _repeats(rows: Any) -> Iterator[Row]:
    for id, crews, people, until, by, at, *stopping in rows:
        fields = {"crews": parsed(crews), "people": parsed(people), "until": iso(until)}
        yield Row("weekly quiz", (id,), {**fields, "by": by, "at": at})
        if any(part is not None for part in stopping):
            yield Row("stop", (id,), dict(zip(("by", "at"), stopping, strict=True)))


QUIZZES: Final[tuple[Table, ...]] = (
    (
        select(
            Quiz.id,
            text_of(Quiz.deciding),
            text_of(Quiz.spec),
            Quiz.ended_at,
            Quiz.ended_by_id,
            Quiz.title,
            Quiz.pass_mark,
            Quiz.opens,
            Quiz.due,
            Quiz.hint_cost,
            Quiz.goes,
            Quiz.wait_hours,
            Quiz.repeat_id,
            Quiz.week,
            Quiz.by_id,
            Quiz.at,
        ),
        _quizzes,
    ),
    (
        select(
            QuizRepeat.id,
            text_of(QuizRepeat.crews),
            text_of(QuizRepeat.people),
            QuizRepeat.until,
            QuizRepeat.by_id,
            QuizRepeat.at,
            QuizRepeat.stopped_by_id,
            QuizRepeat.stopped_at,
        ),
        _repeats,
    ),
)
