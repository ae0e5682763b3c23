"""Lessons with their reading state, and what a person practised."""

from __future__ import annotations

from sqlalchemy import case, func, select
from sqlalchemy.orm import Session

from trainer.clearance import Rules
from trainer.records.actors import Actor
from trainer.records.models import LessonReading, PracticeAnswer
from trainer.records.queries.rows import LessonRow, PracticeRow


def lessons(session: Session, actor: Actor, rules: Rules) -> tuple[LessonRow, ...]:
    """Every lesson, in the order of the rules, with the actor's own reading."""
    return lessons_of(session, actor.id, rules)


def lessons_of(session: Session, person_id: int, rules: Rules) -> tuple[LessonRow, ...]:
    """Every lesson with one person's latest reading of it."""
    latest: dict[str, LessonReading] = {}
    rows = session.scalars(
        select(LessonReading).where(LessonReading.person_id == person_id).order_by(LessonReading.version)
    )
    for reading in rows:
        latest[reading.lesson] = reading
    found = []
    for lesson in rules.lessons.values():
        read = latest.get(lesson.id)
        state = "unread" if read is None else "read" if read.version == lesson.version else "changed since"
        found.append(
            LessonRow(
                lesson.id,
                lesson.title,
                lesson.version,
                read.version if read else None,
                read.at if read else None,
                state,
            )
        )
    return tuple(found)


def practice(session: Session, actor: Actor) -> tuple[PracticeRow, ...]:
    """The actor's own practice by question, latest first."""
    return practice_of(session, actor.id)


def practice_of(session: Session, person_id: int) -> tuple[PracticeRow, ...]:
    """One person's practice by question, latest first."""
    last_at = func.max(PracticeAnswer.at)
    rows = session.execute(
        select(
            PracticeAnswer.question,
            func.count(PracticeAnswer.id),
            func.sum(case((PracticeAnswer.right, 1), else_=0)),
            last_at,
        )
        .where(PracticeAnswer.person_id == person_id)
        .group_by(PracticeAnswer.question)
        .order_by(last_at.desc(), PracticeAnswer.question)
    )
    return tuple(PracticeRow(question, tries, right, at) for question, tries, right, at in rows)
