"""Lessons with their reading state, and what a person practised."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import CompoundSelect, case, func, literal, select, union_all
from sqlalchemy.orm import Session

from trainer.clearance import AcceptanceEvidence, LessonRef, Rules
from trainer.records.actors import Actor
from trainer.records.evidence import acceptances
from trainer.records.lessons import furthest
from trainer.records.models import CheckAnswer, LessonPlace, LessonReading, PracticeAnswer
from trainer.records.queries.lesson_rows import CheckRow, LessonRow
from trainer.records.queries.rows import PracticeRow


def lessons(session: Session, actor: Actor, rules: Rules) -> tuple[LessonRow, ...]:
    """Every lesson, in the order of the rules, with the actor's own reading: two statements."""
    return lessons_of(session, actor.id, rules, acceptances(session))


def lessons_of(
    session: Session, person_id: int, rules: Rules, accepted: Collection[AcceptanceEvidence]
) -> tuple[LessonRow, ...]:
    """Every lesson with how far one person came in it, and their newest reading: one statement.

    accepted: what is known of older versions accepted, at least of the lessons that the person read
    """
    way = _Way(session, person_id)
    oldest: dict[tuple[str, int], int] = {}
    for one in accepted:
        if not one.ended and one.by_id != person_id:
            key = one.lesson, one.present
            oldest[key] = min(one.version, oldest.get(key, one.version))
    return tuple(
        way.row(lesson, oldest.get((lesson.id, lesson.version), lesson.version))
        for lesson in rules.lessons.values()
    )


class _Way:
    """One person's readings, places and tries at check questions, read together."""

    def __init__(self, session: Session, person_id: int) -> None:
        self.read: dict[str, tuple[int, datetime, bool]] = {}
        self.places: dict[tuple[str, int], tuple[str, datetime]] = {}
        self.tries: dict[tuple[str, int, str], tuple[int, bool]] = {}
        for kind, lesson, version, name, count, mark, at in session.execute(_way(person_id)):
            if kind == "place":
                self.places[lesson, version] = name, at
            elif kind == "check":
                self.tries[lesson, version, name] = count, bool(mark)
            elif lesson not in self.read or version > self.read[lesson][0]:
                self.read[lesson] = version, at, bool(mark)

    def row(self, lesson: LessonRef, oldest: int) -> LessonRow:
        """oldest: the oldest version that counts for the present one."""
        version, at, with_check = self.read.get(lesson.id, (None, None, False))
        section, come_at = self.places.get((lesson.id, lesson.version), (None, None))
        done = furthest(lesson, section) + 1
        checks = (
            CheckRow(question, *self.tries.get((lesson.id, lesson.version, question), (0, False)))
            for question in lesson.check
        )
        return LessonRow(
            id=lesson.id,
            title=lesson.title,
            version=lesson.version,
            state=_state(version, oldest, lesson.version),
            read_version=version,
            read_at=at,
            with_check=with_check,
            sections=lesson.sections,
            done=done,
            go_on=lesson.sections[done] if 0 < done < len(lesson.sections) else None,
            come_at=come_at,
            checks=tuple(checks),
        )


def _way(person_id: int) -> CompoundSelect[Any]:
    """(kind, lesson, version, section or question, tries, whether with check questions or right, when)."""
    none = literal("")
    read = select(
        literal("read"),
        LessonReading.lesson,
        LessonReading.version,
        none,
        literal(0),
        case((LessonReading.checked.is_not(None), 1), else_=0),
        LessonReading.at,
    ).where(LessonReading.person_id == person_id)
    places = select(
        literal("place"),
        LessonPlace.lesson,
        LessonPlace.version,
        LessonPlace.section,
        literal(0),
        literal(0),
        LessonPlace.at,
    ).where(LessonPlace.person_id == person_id)
    checks = (
        select(
            literal("check"),
            CheckAnswer.lesson,
            CheckAnswer.version,
            CheckAnswer.question,
            func.count(CheckAnswer.id),
            func.max(case((CheckAnswer.right, 1), else_=0)),
            func.max(CheckAnswer.at),
        )
        .where(CheckAnswer.person_id == person_id)
        .group_by(CheckAnswer.lesson, CheckAnswer.version, CheckAnswer.question)
    )
    return union_all(read, places, checks)


def _state(read: int | None, oldest: int, present: int) -> str:
    if read is None:
        return "unread"
    if read == present:
        return "read"
    return "accepted" if oldest <= read < present else "changed since"


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
