"""A quiz that comes again each week: the same choice for the people of that day, with new questions and numbers.

Each week's quiz is made once, whoever looks first: only one process writes at a time, and no two quizzes of a repeat can
be of the same week. Times are moved by whole weeks on the shop's clock, so seven in the morning stays seven in the
morning when the clocks change. A week that went by while nothing ran, or whose quiz would be due already, is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from trainer.errors import Refusal, UnknownName
from trainer.languages import LANGUAGES, Text
from trainer.learning import Deciding
from trainer.questions import Question
from trainer.records import history, quizzes
from trainer.records.actors import APPRENTICE, Actor, as_actor, need_reviewer, person_of
from trainer.records.choosing import Choice, Drawer
from trainer.records.models import CrewMember, Person, PersonRole, Quiz, QuizRepeat
from trainer.records.shop import zone_in_shop
from trainer.records.store import Store
from trainer.records.weekly import moved, over

WeakIn = Callable[[Session, Actor, datetime, list[int]], Mapping[int, Sequence[str]]]

NO_SUCH = Text(en="There is no such weekly quiz.", es="No existe ese examen semanal.")
CANNOT_ASSIGN = Text(
    en="%(name)s, who set it up, can no longer assign quizzes. Stop it, and assign one of your own.",
    es="%(name)s, que lo dispuso, ya no puede asignar exámenes. Deténgalo y asigne uno propio.",
)
NOBODY = Text(en="Nobody it is for is active.", es="Nadie de quienes debían recibirlo está activo.")


@dataclass(frozen=True, slots=True)
class Making:
    """What quizzes are made with. weak_in: by person, their skills, weakest first"""

    bank: Mapping[str, Question]
    draw: Drawer
    skill_names: Mapping[str, Text]
    deciding: Deciding
    weak_in: WeakIn


def waiting(session: Session, now: datetime) -> list[int]:
    """The repeats of which a quiz may be due to be made."""
    return list(
        session.scalars(
            select(QuizRepeat.id)
            .where(QuizRepeat.stopped_at.is_(None), QuizRepeat.next_at <= now)
            .order_by(QuizRepeat.id)
        )
    )


def make_due(store: Store, now: datetime, making: Making) -> list[int]:
    """Make every quiz that is due; returns their ids. Safe to call from many processes at once.

    What cannot be made says why on its page (`QuizRepeat.trouble`) and stops no other; the next week is tried again.
    """
    with store.read() as session:
        due = waiting(session, now)
    made = []
    for number in due:
        try:
            with store.write() as session:
                quiz = make(session, now, number, making)
        except Refusal as refusal:
            with store.write() as session:
                _leave_out(session, now, number, refusal)
        else:
            made += [] if quiz is None else [quiz]
    return made


def make(session: Session, now: datetime, repeat_id: int, making: Making) -> int | None:
    """This week's quiz of one repeat; None when there is none to make. Refusal when it cannot be made."""
    repeat, first, week = _due_week(session, now, repeat_id)
    if repeat is None or first is None:
        return None
    zone = zone_in_shop(session)
    due = None if first.due is None else moved(first.due, week, zone)
    repeat.next_at = _start_after(repeat, first, week, zone)
    if due is not None and due <= now:
        return None
    actor = as_actor(person_of(session, repeat.by_id))
    if not actor.may_review or not person_of(session, repeat.by_id).active:
        raise Refusal(CANNOT_ASSIGN, name=actor.name)
    people = takers(session, repeat.crews, repeat.people)
    if not people:
        raise Refusal(NOBODY)
    choice = Choice.from_kept(first.spec)
    repeat.trouble = None
    return quizzes.assign(
        session,
        actor,
        now,
        title=first.title,
        people=people,
        **choice.terms(),
        pass_mark=first.pass_mark,
        opens=None if first.opens is None else moved(first.opens, week, zone),
        due=due,
        goes=first.goes,
        wait_hours=first.wait_hours,
        hint_cost=first.hint_cost,
        decide=making.deciding if first.deciding is not None else None,
        bank=making.bank,
        draw=making.draw,
        skill_names=making.skill_names,
        weak_in=making.weak_in(session, actor, now, people) if choice.weakest else {},
        token=f"week-{repeat.id}-{week}",
        of_week=(repeat.id, week),
    ).quiz_id


def takers(session: Session, crews: Collection[int], people: Collection[int]) -> list[int]:
    """Who gets the quiz now: of the people named and the crews' people of today, the new hires who are active."""
    of_crews = select(CrewMember.person_id).where(CrewMember.crew_id.in_(list(crews)))
    return list(
        session.scalars(
            select(Person.id)
            .join(PersonRole, PersonRole.person_id == Person.id)
            .where(
                PersonRole.role == APPRENTICE,
                Person.left_at.is_(None),
                or_(Person.id.in_(list(people)), Person.id.in_(of_crews)),
            )
            .order_by(Person.id)
        )
    )


def stop(session: Session, actor: Actor, now: datetime, quiz_id: int) -> None:
    """Stop the weekly quiz that this quiz belongs to: no further one is made, those made stay.

    Doing it again changes nothing. Raises NotAllowed, UnknownName.
    """
    need_reviewer(actor)
    quiz = session.get(Quiz, quiz_id)
    repeat = None if quiz is None or quiz.repeat_id is None else _held(session, quiz.repeat_id)
    if quiz is None or repeat is None:
        raise UnknownName(NO_SUCH)
    if repeat.stopped_at is None:
        repeat.stopped_at, repeat.stopped_by_id, repeat.next_at = now, actor.id, None
        history.append(
            session,
            now,
            kind="weekly quiz stopped",
            actor_id=actor.id,
            repeat=repeat.id,
            title=quiz.title,
        )


def _due_week(session: Session, now: datetime, repeat_id: int) -> tuple[QuizRepeat | None, Quiz | None, int]:
    """(the repeat, its first quiz, the week it is in) where a quiz of that week is still to be made."""
    repeat = _held(session, repeat_id)
    if repeat is None or repeat.stopped_at is not None or repeat.next_at is None or repeat.next_at > now:
        return None, None, 0
    first, zone = _first(session, repeat_id), zone_in_shop(session)
    week = max((now - _start(first, 0, zone)) // timedelta(weeks=1) - 1, 0)
    while _start(first, week + 1, zone) <= now:
        week += 1
    made = session.scalar(select(Quiz.id).where(Quiz.repeat_id == repeat_id, Quiz.week >= week))
    if made is not None or over(repeat.until, _start(first, week, zone)):
        repeat.next_at = _start_after(repeat, first, week, zone)
        return None, None, week
    return repeat, first, week


def _start(first: Quiz, week: int, zone: ZoneInfo) -> datetime:
    return moved(first.opens or first.at, week, zone)


def _start_after(repeat: QuizRepeat, first: Quiz, week: int, zone: ZoneInfo) -> datetime | None:
    following = _start(first, week + 1, zone)
    return None if over(repeat.until, following) else following


def _leave_out(session: Session, now: datetime, repeat_id: int, refusal: Refusal) -> None:
    """This week's quiz is not made: its page says why."""
    repeat, first, week = _due_week(session, now, repeat_id)
    if repeat is not None and first is not None:
        repeat.next_at = _start_after(repeat, first, week, zone_in_shop(session))
        said: dict[str, Any] = {language: refusal.in_language(language) for language in LANGUAGES}
        repeat.trouble = {**said, "at": now.isoformat()}


def _held(session: Session, repeat_id: int) -> QuizRepeat | None:
    return session.scalars(
        select(QuizRepeat).where(QuizRepeat.id == repeat_id).with_for_update()
    ).one_or_none()


def _first(session: Session, repeat_id: int) -> Quiz:
    return session.scalars(select(Quiz).where(Quiz.repeat_id == repeat_id, Quiz.week == 0)).one()
