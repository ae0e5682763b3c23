"""Quizzes as they stand in the records: see `trainer.records.held`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import select

from trainer.records.fingerprints import fingerprint
from trainer.records.held_rows import Row, Table, parsed, text_of
from trainer.records.models import Quiz


def _quizzes(rows: Any) -> Iterator[Row]:
    names = ("title", "pass_mark", "opens", "due", "hint_cost", "goes", "wait", "by", "at")
    for id, deciding, spec, ended, ended_by, *rest in rows:
        fields = dict(zip(names, rest, strict=True))
        asked = parsed(spec)
        fields["must"] = asked.get("must", []) if isinstance(asked, dict) else asked
        fields["deciding"] = None if deciding is None else fingerprint(parsed(deciding))
        yield Row("quiz", (id,), fields)
        if ended is not None or ended_by is not None:
            yield Row("taking back", (id,), {"by": ended_by, "at": ended})


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
            Quiz.by_id,
            Quiz.at,
        ),
        _quizzes,
    ),
)
