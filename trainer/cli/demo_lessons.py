"""How the lessons are read in the demo's shop: section by section, check questions, an older version accepted."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from trainer.calc import DEFAULT_SHOP
from trainer.clearance import LessonRef
from trainer.questions import draw
from trainer.records import acceptances, lessons

if TYPE_CHECKING:
    from trainer.cli.demo_shop import Demo


def read(
    demo: Demo,
    who: str,
    ids: Sequence[str],
    first_day: float,
    stumbles: bool = False,
    older: Collection[str] = (),
) -> None:
    """Read lessons to their ends, two a day, and answer their check questions.

    stumbles: the first question of each is answered wrong at first; older: lessons read before their last change
    """
    for place, id in enumerate(ids):
        when, lesson = demo.at(first_day - place / 2, 16), demo.rules.lessons[id]
        if id in older:
            lesson = replace(lesson, version=lesson.version - 1)
        read_sections(demo, who, lesson, len(lesson.sections), when)
        for number, question in enumerate(lesson.check):
            for right in (False, True) if stumbles and number == 0 else (True,):
                _check(demo, who, lesson, question, when, right)


def read_sections(demo: Demo, who: str, lesson: LessonRef, number: int, when: datetime) -> None:
    """Read the first so many sections of a lesson."""
    with demo.store.write() as session:
        for section in lesson.sections[:number]:
            lessons.read_section(
                session, demo.actors[who], when, lesson=lesson, version=lesson.version, section=section
            )


def accept(demo: Demo, id: str, days_ago: float, reason: str) -> None:
    """The trainer accepts the version before the present one."""
    lesson = demo.rules.lessons[id]
    with demo.store.write() as session:
        acceptances.accept(
            session,
            demo.actors["abel"],
            demo.at(days_ago),
            lesson=lesson,
            present=lesson.version,
            version=lesson.version - 1,
            reason=reason,
            token=demo.token(),
        )


def _check(demo: Demo, who: str, lesson: LessonRef, id: str, when: datetime, right: bool) -> None:
    actor, question = demo.actors[who], demo.bank.questions[id]
    with demo.store.write() as session:
        attempt = lessons.next_attempt(session, actor, lesson, id)
        drawn = draw(question, lessons.attempt_seed(actor.id, lesson, id, attempt), DEFAULT_SHOP)
        lessons.answer_check(
            session,
            actor,
            when,
            lesson=lesson,
            version=lesson.version,
            question=question,
            attempt=attempt,
            mark=lessons.mark_of(drawn),
            typed=drawn.answer() if right else drawn.body.mistaken(),
            token=demo.token(),
            shop=DEFAULT_SHOP,
            draw=draw,
        )
