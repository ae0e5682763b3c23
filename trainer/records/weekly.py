"""What a weekly quiz is set up with, and its times on the shop's clock; `trainer.records.repeating` makes the quizzes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor
from trainer.records.models import QuizRepeat
from trainer.records.shop import zone_in_shop

TOO_SOON = Text(
    en="Until that day no second quiz would come; give a later day, or none.",
    es="Hasta ese día no habría un segundo examen; ponga un día posterior, o ninguno.",
)


@dataclass(frozen=True, slots=True)
class Weekly:
    """For whom a quiz comes again each week. crews, people: ids; until: the last day on which one may begin"""

    crews: tuple[int, ...]
    people: tuple[int, ...]
    until: date | None

    @property
    def terms(self) -> tuple[list[int], list[int], date | None]:
        """As the store keeps them."""
        return sorted(set(self.crews)), sorted(set(self.people)), self.until


def begin(
    session: Session, actor: Actor, now: datetime, weekly: Weekly, start: datetime, title: str
) -> QuizRepeat:
    """Set up a repeat. start: when its first quiz begins. Refusal when no second one would ever come."""
    zone, weeks = zone_in_shop(session), max(1, (now - start) // timedelta(weeks=1))
    while (
        following := moved(start, weeks, zone)
    ) <= now:  # of a quiz that opened long ago none is made up for
        weeks += 1
    if over(weekly.until, following):
        raise Refusal(TOO_SOON)
    crews, people, until = weekly.terms
    repeat = QuizRepeat(
        crews=crews, people=people, until=until, by_id=actor.id, at=now, next_at=following, trouble=None
    )
    session.add(repeat)
    session.flush()
    history.append(
        session,
        now,
        kind="weekly quiz set up",
        actor_id=actor.id,
        repeat=repeat.id,
        title=title,
        crews=crews,
        people=people,
        until=until,
    )
    return repeat


def moved(moment: datetime, weeks: int, zone: ZoneInfo) -> datetime:
    """The same weekday and clock time in the shop, so many weeks later; a time that the clocks skip comes an hour late."""
    there = moment.astimezone(zone)
    later = (there.replace(tzinfo=None) + timedelta(weeks=weeks)).replace(tzinfo=zone, fold=there.fold)
    return later.astimezone(UTC).astimezone(zone)


def over(until: date | None, start: datetime) -> bool:
    """Whether a quiz that would start then, on the shop's clock, is one too many."""
    return until is not None and start.date() > until
