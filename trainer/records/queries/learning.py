"""Lessons with their reading state, and what a person practised."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sqlalchemy import case, func, select
from sqlalchemy.orm import Session

from trainer.clearance import LessonRef, Rules
from trainer.records.actors import Actor
from trainer.records.lessons import furthest
from trainer.records.models import CheckAnswer, LessonPlace, LessonReading, PracticeAnswer
from trainer.records.queries.rows import CheckRow, LessonRow, PracticeRow


def lessons(session: Session, actor: Actor, rules: Rules) -> tuple[LessonRow, ...]:
    """Every lesson, in the order of the rules, with the actor's own reading."""
    return lessons_of(session, actor.id, rules)


def lessons_of(session: Session, person_id: int, rules: Rules) -> tuple[LessonRow, ...]:
    """Every lesson with how far one person came in it, and their newest reading: three statements."""
    readings = session.scalars(
        select(LessonReading).where(LessonReading.person_id == person_id).order_by(LessonReading.version)
    )
    newest = {reading.lesson: reading for reading in readings}
    places = session.scalars(select(LessonPlace).where(LessonPlace.person_id == person_id))
    come_to = {(place.lesson, place.version): place for place in places}
    tried = session.execute(
        select(
            CheckAnswer.lesson,
            CheckAnswer.version,
            CheckAnswer.question,
            func.count(CheckAnswer.id),
            func.max(case((CheckAnswer.right, 1), else_=0)),
        )
        .where(CheckAnswer.person_id == person_id)
        .group_by(CheckAnswer.lesson, CheckAnswer.version, CheckAnswer.question)
    )
    tries = {(lesson, version, question): (count, right) for lesson, version, question, count, right in tried}
    return tuple(
        _row(lesson, newest.get(lesson.id), come_to.get((lesson.id, lesson.version)), tries)
        for lesson in rules.lessons.values()
    )


def _row(
    lesson: LessonRef,
    read: LessonReading | None,
    place: LessonPlace | None,
    tries: Mapping[tuple[str, int, str], tuple[int, int]],
) -> LessonRow:
    done = furthest(lesson, place.section) + 1 if place else 0
    checks = []
    for question in lesson.check:
        count, right = tries.get((lesson.id, lesson.version, question), (0, 0))
        checks.append(CheckRow(question, count, bool(right)))
    return LessonRow(
        id=lesson.id,
        title=lesson.title,
        version=lesson.version,
        state="unread" if read is None else "read" if read.version == lesson.version else "changed since",
        read_version=read.version if read else None,
        read_at=read.at if read else None,
        with_check=read is not None and read.checked is not None,
        sections=lesson.sections,
        done=done,
        go_on=lesson.sections[done] if 0 < done < len(lesson.sections) else None,
        come_at=place.at if place else None,
        checks=tuple(checks),
    )


def going_on(rows: Iterable[LessonRow]) -> LessonRow | None:
    """The lesson that is begun and not finished in which the person read last."""
    begun = [row for row in rows if row.come_at is not None and not row.settled]
    return max(begun, key=lambda row: (row.come_at, row.id), default=None)


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
