"""Days that matter: when clearances and certificates run out, and when quizzes open and are due."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from trainer.clearance import Evidence, Rules, Standing, standings
from trainer.languages import Text
from trainer.records.as_stored import only
from trainer.records.evidence import all_evidence
from trainer.records.models import Paper, Person, Quiz
from trainer.records.rules import in_force
from trainer.records.shop import today_in_shop, zone_in_shop


@dataclass(frozen=True, slots=True)
class RunsOut:
    """A clearance in force, or a certificate that counts. on: its last good day

    what: "clearance" or "certificate"; key: its id in the rules; number: of the grant, or of the certificate
    at: when it was granted, None when that is not known
    """

    person_id: int
    person: str
    what: str
    key: str
    name: Text
    on: date
    number: int
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
class Opening:
    """A paper whose quiz opens later. opens: the moment; on: its day in the shop; at: when it was assigned"""

    person_id: int
    person: str
    paper_id: int
    title: str
    opens: datetime
    on: date
    at: datetime


@dataclass(frozen=True, slots=True)
class Days:
    """Of one person, or of everyone active; each list by day. ready: (id, name, clearance) not granted yet where everything it needs is met"""

    on: date
    run_out: tuple[RunsOut, ...]
    due: tuple[Due, ...]
    ready: tuple[tuple[int, str, Text], ...]
    opening: tuple[Opening, ...] = ()


def days(session: Session, now: datetime, rules: Rules, people: Collection[int] | None = None) -> Days:
    """The days to come, of everyone active or of some, by id; quizzes that are overdue are among them."""
    on, zone = today_in_shop(session, now), zone_in_shop(session)
    rules = in_force(session, on, rules)
    names = {
        row.id: row.name
        for row in session.execute(
            select(Person.id, Person.name)
            .where(Person.left_at.is_(None), only(Person.id, people))
            .order_by(Person.name, Person.id)
        )
    }
    evidence = all_evidence(session, people)
    stands = [one for id in names for one in standings(id, evidence[id], on, rules)]
    papers = session.execute(
        select(Paper.id, Paper.person_id, Quiz.title, Quiz.opens, Quiz.due, Quiz.at)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(Person, Person.id == Paper.person_id)
        .where(
            Paper.closed_at.is_(None),
            or_(Quiz.due.is_not(None), Quiz.opens > now),
            Person.left_at.is_(None),
            only(Person.id, people),
        )
        .order_by(Quiz.due, Paper.id)
    ).all()
    return Days(
        on,
        tuple(
            sorted(
                [
                    *(_runs_out(one, names) for one in stands if _ends(one)),
                    *(
                        one
                        for id, name in names.items()
                        for one in _certificates(evidence[id], name, on, rules)
                    ),
                ],
                key=lambda one: one.on,
            )
        ),
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
            if row.due is not None
        ),
        tuple(
            (one.person_id, names[one.person_id], one.name) for one in stands if one.state == "ready to grant"
        ),
        tuple(
            Opening(
                row.person_id,
                names[row.person_id],
                row.id,
                row.title,
                row.opens,
                row.opens.astimezone(zone).date(),
                row.at,
            )
            for row in sorted(papers, key=lambda row: row.opens or now)
            if row.opens is not None and row.opens > now
        ),
    )


def _ends(one: Standing) -> bool:
    return one.cleared and one.until is not None and one.until != date.max


def _runs_out(one: Standing, names: dict[int, str]) -> RunsOut:
    assert one.until is not None and one.grant is not None
    return RunsOut(
        one.person_id,
        names[one.person_id],
        "clearance",
        one.clearance,
        one.name,
        one.until,
        one.grant.id,
        one.grant.moment,
    )


def _certificates(evidence: Evidence, name: str, on: date, rules: Rules) -> Iterator[RunsOut]:
    """Of each kind the certificate that is good longest, when it is in date."""
    longest: dict[str, tuple[date, int]] = {}
    for one in evidence.certificates:
        counts = one.on_record(on) and not one.taken_back(on) and not one.never_expires
        if counts and one.expires is not None and one.expires >= on:
            longest[one.kind] = max(longest.get(one.kind, (date.min, 0)), (one.expires, one.id))
    for kind, (last, number) in longest.items():
        title = rules.certificate_name(kind)
        yield RunsOut(evidence.person_id, name, "certificate", kind, title, last, number, None)
