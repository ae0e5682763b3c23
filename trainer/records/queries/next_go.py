"""Whether another go may follow a paper, and from when."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import ColumnElement, and_, exists
from sqlalchemy.orm import aliased

from trainer.records.models import Paper, Quiz, SentBack
from trainer.records.queries.quiz_rows import NextGo, PaperRow

TAKEN_BACK = "taken back"


def followed() -> ColumnElement[bool]:
    """That a later go of the same person at the same quiz was begun."""
    later = aliased(Paper)
    return exists().where(
        later.quiz_id == Paper.quiz_id, later.person_id == Paper.person_id, later.go > Paper.go
    )


def may_follow() -> ColumnElement[bool]:
    """That another go may follow a Paper of a joined Quiz, when it is not passed: `next_go` looks at that."""
    return and_(
        Paper.closed_at.is_not(None),
        Paper.closed_how != TAKEN_BACK,
        Paper.go < Quiz.goes,
        Quiz.ended_at.is_(None),
        ~followed(),
        # What was sent back has its own paper to be done in its place, and the goes that are left are that one's.
        ~exists().where(SentBack.paper_id == Paper.id),
    )


def next_go(row: PaperRow, quiz: Quiz, may: bool) -> NextGo | None:
    """The go that follows this paper; None when there is none. may: what `may_follow` says of it"""
    if not may or row.closed_at is None or row.passed is not False:
        return None
    opens = row.closed_at + timedelta(hours=quiz.wait_hours)
    return NextGo(row.id, row.title, row.go + 1, row.goes, opens, row.percent or 0)
