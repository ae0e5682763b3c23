"""Days that matter: when clearances and certificates run out, and when quizzes are due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.clearance import Rules, Standing, standings
from trainer.languages import Text
from trainer.records.evidence import all_evidence
from trainer.records.models import Paper, Person, Quiz
from trainer.records.shop import today_in_shop, zone_in_shop


@dataclass(frozen=True, slots=True)
class RunsOut:
    """A clearance in force. on: its last good day; grant_id, since: of the grant; at: when it was granted"""

    person_id: int
    person: str
    clearance: str
    name: Text
    on: date
    grant_id: int
    at: datetime | None


@dataclass(frozen=True, slots=True)
class Due:
    """A paper that is still out. due: the moment; on: its day in the shop; at: when it was assigned"""

    person_id: int
    person: str
    paper_id: int
    title: str
    due: datetime
    on: date
    at: datetime

    def overdue(self, now: datetime) -> bool:
        return self.due < now


@dataclass(frozen=True, slots=True)
class Days:
    """Of one person, or of everyone active; each list by day. ready: (id, name, clearance) not granted yet where everything it needs is met"""

    on: date
    run_out: tuple[RunsOut, ...]
    due: tuple[Due, ...]
    ready: tuple[tuple[int, str, Text], ...]


def days(session: Session, now: datetime, rules: Rules, person_id: int | None = None) -> Days:
    """The days to come, of everyone active or of one person; quizzes that are overdue are among them."""
    on, zone = today_in_shop(session, now), zone_in_shop(session)
    only = () if person_id is None else (Person.id == person_id,)
    names = {
        row.id: row.name
        for row in session.execute(
            select(Person.id, Person.name)
            .where(Person.left_at.is_(None), *only)
            .order_by(Person.name, Person.id)
        )
    }
    evidence = all_evidence(session, person_id)
    stands = [one for id in names for one in standings(id, evidence[id], on, rules)]
    papers = session.execute(
        select(Paper.id, Paper.person_id, Quiz.title, Quiz.due, Quiz.at)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(Person, Person.id == Paper.person_id)
        .where(Paper.closed_at.is_(None), Quiz.due.is_not(None), Person.left_at.is_(None), *only)
        .order_by(Quiz.due, Paper.id)
    )
    return Days(
        on,
        tuple(sorted((_runs_out(one, names) for one in stands if _ends(one)), key=lambda one: one.on)),
        tuple(
            Due(
                row.person_id,
                names[row.person_id],
                row.id,
                row.title,
                row.due,
                row.due.astimezone(zone).date(),
                row.at,
            )
            for row in papers
        ),
        tuple(
            (one.person_id, names[one.person_id], one.name) for one in stands if one.state == "ready to grant"
        ),
    )


def _ends(one: Standing) -> bool:
    return one.cleared and one.until is not None and one.until != date.max


def _runs_out(one: Standing, names: dict[int, str]) -> RunsOut:
    assert one.until is not None and one.grant is not None
    return RunsOut(
        one.person_id,
        names[one.person_id],
        one.clearance,
        one.name,
        one.until,
        one.grant.id,
        one.grant.moment,
    )
