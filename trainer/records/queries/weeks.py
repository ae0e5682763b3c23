"""A person's answers week by week: on papers that are handed in, and in practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import and_, select
from sqlalchemy.orm import Session

from trainer.records.actors import Actor, need_self_or_reviewer
from trainer.records.models import Answer, GradeChange, Paper, PaperQuestion, PracticeAnswer
from trainer.records.queries.paper_rows import CREDIT, last_change
from trainer.records.shop import zone_in_shop

WEEKS = 12


@dataclass(frozen=True, slots=True)
class Week:
    """monday: on the shop's calendar. right: the sum of the credits, as they count now, of the given answers"""

    monday: date
    given: int
    right: float


def weeks(session: Session, actor: Actor, person_id: int, now: datetime) -> tuple[Week, ...]:
    """The last twelve weeks, the oldest first, from the first in which anything was answered. Three statements."""
    need_self_or_reviewer(actor, person_id)
    zone = zone_in_shop(session)
    last = _monday(now.astimezone(zone).date())
    first = last - timedelta(weeks=WEEKS - 1)
    since = datetime(first.year, first.month, first.day, tzinfo=zone)
    on_papers = (
        select(Answer.at, CREDIT)
        .join(PaperQuestion, Answer.paper_question_id == PaperQuestion.id)
        .join(Paper, PaperQuestion.paper_id == Paper.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(Paper.person_id == person_id, Paper.closed_at.is_not(None), Answer.at >= since)
    )
    practice = select(PracticeAnswer.at, PracticeAnswer.credit).where(
        PracticeAnswer.person_id == person_id, PracticeAnswer.at >= since
    )
    given: dict[date, list[float]] = {}
    for query in (on_papers, practice):
        for at, credit in session.execute(query):
            given.setdefault(_monday(at.astimezone(zone).date()), []).append(credit)
    if not given:
        return ()
    begun = min(given)
    mondays = [begun + timedelta(weeks=number) for number in range((last - begun).days // 7 + 1)]
    return tuple(Week(monday, len(given.get(monday, ())), sum(given.get(monday, ()))) for monday in mondays)


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
