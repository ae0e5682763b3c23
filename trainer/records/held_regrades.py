"""Questions graded anew as they stand in the records: see `trainer.records.held`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import select

from trainer.records.held_rows import Row, Table
from trainer.records.models import (
    Answer,
    AnswerEntry,
    GrantDoubt,
    PaperQuestion,
    Regrade,
    RegradedPaper,
    SentBack,
)


def _regrades(rows: Any) -> Iterator[Row]:
    names = ("question", "question_version", "how", "by_version", "by_hash", "reason", "by", "at")
    for id, *rest in rows:
        yield Row("regrade", (id,), dict(zip(names, rest, strict=True)))


def _papers(rows: Any) -> Iterator[Row]:
    for regrade, paper, before, after, passed_before, passed_after in rows:
        fields = {"score": [before, after], "passed": [passed_before, passed_after]}
        yield Row("regraded paper", (regrade, paper), fields)


def _doubts(rows: Any) -> Iterator[Row]:
    for id, grant, regrade, at, *settling in rows:
        yield Row("doubt", (id,), {"grant": grant, "regrade": regrade, "at": at})
        if any(part is not None for part in settling):
            yield Row("settling", (id,), dict(zip(("by", "text", "at"), settling, strict=True)))


def _typed_in(rows: Any) -> Iterator[Row]:
    for paper, position, by in rows:
        yield Row("typing in", (paper, position), {"by": by})


def _sent_back(rows: Any) -> Iterator[Row]:
    for paper, *rest in rows:
        yield Row("sending back", (paper,), dict(zip(("again", "reason", "by", "at"), rest, strict=True)))


REGRADES: Final[tuple[Table, ...]] = (
    (
        select(
            Regrade.id,
            Regrade.question,
            Regrade.version,
            Regrade.how,
            Regrade.by_version,
            Regrade.by_hash,
            Regrade.reason,
            Regrade.by_id,
            Regrade.at,
        ),
        _regrades,
    ),
    (
        select(
            RegradedPaper.regrade_id,
            RegradedPaper.paper_id,
            RegradedPaper.before,
            RegradedPaper.after,
            RegradedPaper.passed_before,
            RegradedPaper.passed_after,
        ),
        _papers,
    ),
    (
        select(
            GrantDoubt.id,
            GrantDoubt.grant_id,
            GrantDoubt.regrade_id,
            GrantDoubt.at,
            GrantDoubt.settled_by_id,
            GrantDoubt.settled_note,
            GrantDoubt.settled_at,
        ),
        _doubts,
    ),
    (
        select(PaperQuestion.paper_id, PaperQuestion.position, AnswerEntry.by_id)
        .join(Answer, Answer.id == AnswerEntry.answer_id)
        .join(PaperQuestion, PaperQuestion.id == Answer.paper_question_id),
        _typed_in,
    ),
    (
        select(SentBack.paper_id, SentBack.again_id, SentBack.reason, SentBack.by_id, SentBack.at),
        _sent_back,
    ),
)
