"""Reading a lesson: section after section to the end, and its check questions answered right.

A lesson counts as read when both are done, whichever comes last. Each try at a check question has numbers of its own,
fixed by who tries, what and for the how-many-th time; nobody can choose them, and none is answered twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any, Final

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.clearance import LessonRef
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor
from trainer.records.fingerprints import fingerprint
from trainer.records.models import CheckAnswer, LessonPlace, LessonReading
from trainer.records.papers import MOST_TYPED, grade_frozen
from trainer.records.submissions import ChangedMeanwhile

LEAST_SEED: Final = 10**9
"""Practice asks with smaller seeds only, so that nobody has seen these numbers with their answer."""

NEW_NUMBERS: Final = Text(
    en="This problem was answered, or its numbers have changed; here it is with new ones.",
    es="Este problema ya se contestó o sus números cambiaron; aquí está con números nuevos.",
)


@dataclass(frozen=True, slots=True)
class Checked:
    """An answer to a check question as it stands in the store. draw: what was asked; read: the lesson counts now."""

    draw: Any
    right: bool
    read: bool


def read_section(
    session: Session, actor: Actor, now: datetime, *, lesson: LessonRef, version: int, section: str
) -> str | None:
    """The actor has read a section to its end; returns the one after it, None after the last.

    Sections are read in order: one further on than the next is refused, an earlier one changes nothing.
    Raises UnknownName; ChangedMeanwhile when the lesson is not at `version` any more.
    """
    _need_version(lesson, version)
    if section not in lesson.sections:
        raise UnknownName(Text(en="There is no such section.", es="No existe esa sección."))
    number = lesson.sections.index(section)
    place = _place(session, actor, lesson)
    if number > furthest(lesson, place.section if place else None) + 1:
        raise Refusal(
            Text(
                en="Sections before this one are not read yet.",
                es="Todavía faltan por leer secciones anteriores a esta.",
            )
        )
    if place is None:
        place = LessonPlace(
            person_id=actor.id, lesson=lesson.id, version=lesson.version, section=section, at=now
        )
        session.add(place)
    elif number > furthest(lesson, place.section):
        place.section, place.at = section, now
    if section == lesson.sections[-1] and place.ended_at is None:
        place.ended_at = now
        facts = {"lesson": lesson.id, "version": lesson.version}
        history.append(
            session, now, kind="lesson gone through", actor_id=actor.id, person_id=actor.id, **facts
        )
        _count_as_read(session, actor, now, lesson)
    return None if section == lesson.sections[-1] else lesson.sections[number + 1]


def furthest(lesson: LessonRef, section: str | None) -> int:
    """The place of a section in the lesson, from 0; -1 when there is none."""
    return lesson.sections.index(section) if section in lesson.sections else -1


def attempt_seed(person_id: int, lesson: LessonRef, question: str, attempt: int) -> int:
    """The seed of a person's how-many-th try (from 1) at a check question of this version of the lesson."""
    stem = f"{person_id}|{lesson.id}|{lesson.version}|{question}|{attempt}"
    return LEAST_SEED + int.from_bytes(sha256(stem.encode()).digest()[:5], "big")


def mark_of(drawn: Any) -> str:
    """A mark of what a draw asks, so that an answer is never held against other numbers than were shown."""
    return fingerprint(drawn.to_json())[:16]


def next_attempt(session: Session, actor: Actor, lesson: LessonRef, question: str) -> int:
    """Which try at the question comes next, from 1."""
    last = session.scalar(select(func.max(CheckAnswer.attempt)).where(*_same(actor, lesson, question)))
    return (last or 0) + 1


def answer_check(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    lesson: LessonRef,
    version: int,
    question: Any,
    attempt: int,
    mark: str,
    typed: str,
    token: str,
    shop: Mapping[str, Any],
    draw: Callable[[Any, int, Mapping[str, Any]], Any],
    grade: Callable[[Any, str], Any] = grade_frozen,
) -> Checked:
    """Store one try at a check question, right or wrong; the last one right may make the lesson count as read.

    question: of the bank; attempt, mark: which try was shown, and `mark_of` its draw; draw, grade: as for papers
    The same form sent again is confirmed as it is stored.
    Raises UnknownName, Unreadable, Refusal when the question has its right answer already, ChangedMeanwhile when what
    was shown is not what the next try asks.
    """
    if question.id not in lesson.check:
        raise UnknownName(Text(en="There is no such check question.", es="No existe esa pregunta de repaso."))
    before = session.scalars(select(CheckAnswer).where(CheckAnswer.form_token == token)).one_or_none()
    if before is not None:
        return _repeated(session, actor, before, lesson, question, attempt, typed, draw, shop)
    _need_version(lesson, version)
    right_before = select(CheckAnswer.id).where(*_same(actor, lesson, question.id), CheckAnswer.right)
    if session.scalar(right_before) is not None:
        raise Refusal(
            Text(
                en="You have answered this question right already.",
                es="Esta pregunta ya la contestó bien.",
            )
        )
    seed = attempt_seed(actor.id, lesson, question.id, attempt)
    drawn = draw(question, seed, shop)
    if attempt != next_attempt(session, actor, lesson, question.id) or mark != mark_of(drawn):
        raise ChangedMeanwhile(NEW_NUMBERS)
    if len(typed) > MOST_TYPED:
        raise Refusal(
            Text(
                en="The answer has %(given)s characters; at most %(most)s are taken.",
                es="La respuesta tiene %(given)s caracteres; se aceptan como máximo %(most)s.",
            ),
            given=len(typed),
            most=MOST_TYPED,
        )
    graded = grade(drawn.to_json(), typed)
    said = {"typed": typed, "shown": graded.shown, "right": graded.right, "slip": graded.slip or None}
    asked = {"version": lesson.version, "question_version": drawn.version, "seed": seed}
    session.add(
        CheckAnswer(
            person_id=actor.id,
            lesson=lesson.id,
            question=question.id,
            attempt=attempt,
            form_token=token,
            at=now,
            **asked,
            **said,
        )
    )
    history.append(
        session,
        now,
        kind="check question answered",
        actor_id=actor.id,
        person_id=actor.id,
        lesson=lesson.id,
        question=question.id,
        attempt=attempt,
        **asked,
        **said,
    )
    read = graded.right and _count_as_read(session, actor, now, lesson)
    return Checked(drawn, graded.right, read)


def _repeated(
    session: Session,
    actor: Actor,
    before: CheckAnswer,
    lesson: LessonRef,
    question: Any,
    attempt: int,
    typed: str,
    draw: Callable[[Any, int, Mapping[str, Any]], Any],
    shop: Mapping[str, Any],
) -> Checked:
    """What this very form stored; ChangedMeanwhile when it holds anything else now."""
    stored = before.person_id, before.lesson, before.version, before.question, before.attempt, before.typed
    if stored != (actor.id, lesson.id, lesson.version, question.id, attempt, typed):
        raise ChangedMeanwhile(NEW_NUMBERS)
    return Checked(draw(question, before.seed, shop), before.right, is_read(session, actor, lesson))


def is_read(session: Session, actor: Actor, lesson: LessonRef) -> bool:
    """Whether the actor has read the present version."""
    known = select(LessonReading.id).where(
        LessonReading.person_id == actor.id,
        LessonReading.lesson == lesson.id,
        LessonReading.version == lesson.version,
    )
    return session.scalar(known) is not None


def _count_as_read(session: Session, actor: Actor, now: datetime, lesson: LessonRef) -> bool:
    """Note the reading when everything it takes is done; whether the lesson counts as read now."""
    if is_read(session, actor, lesson):
        return True
    session.flush()
    place = _place(session, actor, lesson)
    answered = select(CheckAnswer.question, CheckAnswer.attempt).where(
        *_same(actor, lesson), CheckAnswer.right
    )
    right: dict[str, int] = {row.question: row.attempt for row in session.execute(answered)}
    if place is None or place.ended_at is None or not set(lesson.check) <= set(right):
        return False
    checked = [[question, right[question]] for question in lesson.check]
    session.add(
        LessonReading(person_id=actor.id, lesson=lesson.id, version=lesson.version, at=now, checked=checked)
    )
    history.append(
        session,
        now,
        kind="lesson read",
        actor_id=actor.id,
        person_id=actor.id,
        lesson=lesson.id,
        version=lesson.version,
        checked=checked,
    )
    return True


def _place(session: Session, actor: Actor, lesson: LessonRef) -> LessonPlace | None:
    return session.scalars(
        select(LessonPlace)
        .where(
            LessonPlace.person_id == actor.id,
            LessonPlace.lesson == lesson.id,
            LessonPlace.version == lesson.version,
        )
        .with_for_update()
    ).one_or_none()


def _same(actor: Actor, lesson: LessonRef, question: str | None = None) -> tuple[Any, ...]:
    """The actor's tries at this version of the lesson, at one question or at all."""
    one = () if question is None else (CheckAnswer.question == question,)
    return (
        CheckAnswer.person_id == actor.id,
        CheckAnswer.lesson == lesson.id,
        CheckAnswer.version == lesson.version,
        *one,
    )


def _need_version(lesson: LessonRef, version: int) -> None:
    if version != lesson.version:
        raise ChangedMeanwhile(
            Text(
                en="This lesson has changed since you opened it: version %(version)s stands now. Nothing was noted "
                "yet; read it here.",
                es="Esta lección cambió desde que usted la abrió: ahora vale la versión %(version)s. Todavía no se "
                "anotó nada; léala aquí.",
            ),
            version=lesson.version,
        )
