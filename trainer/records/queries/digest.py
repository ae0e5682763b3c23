"""What the daily digest tells each person: their own days, and for trainers and owners what waits in the shop."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final, TypeVar

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.clearance import Rules
from trainer.languages import Text
from trainer.records.models import Paper, Person, Quiz
from trainer.records.queries.days import Days, Due, Opening, RunsOut, days
from trainer.records.queries.next_go import may_follow, next_go
from trainer.records.queries.paper_rows import paper_query, paper_rows
from trainer.records.queries.person_rows import person_rows
from trainer.records.queries.quiz_rows import NextGo
from trainer.records.shop import zone_in_shop

AHEAD: Final = 90  # days
SOON: Final = 14  # days before a quiz opens or is due; and how long a go that is open is told of

One = TypeVar("One", Due, Opening)


@dataclass(frozen=True, slots=True)
class Waiting:
    """A paper handed in and not reviewed. on: the day in the shop"""

    person_id: int
    person: str
    title: str
    quiz_id: int
    on: date


@dataclass(frozen=True, slots=True)
class Digest:
    """One person's digest of a day. own_*: theirs; the others: of everyone else, for trainers and owners.

    own_goes: goes that follow a paper they have not passed; own_undated: titles of quizzes to sit that have no due time,
    which those sent back have not, told of as long as a go is; overdue: quizzes past their due time; ready: for owners, (name, clearance) of what could be granted
    """

    person_id: int
    name: str
    language: str
    email: str | None
    on: date
    own_run_out: tuple[RunsOut, ...]
    own_due: tuple[Due, ...]
    own_opening: tuple[Opening, ...]
    own_goes: tuple[NextGo, ...]
    own_undated: tuple[str, ...]
    run_out: tuple[RunsOut, ...]
    overdue: tuple[Due, ...]
    waiting: tuple[Waiting, ...]
    ready: tuple[tuple[str, Text], ...]

    @property
    def says_nothing(self) -> bool:
        mine = self.own_run_out or self.own_due or self.own_opening or self.own_goes or self.own_undated
        return not (mine or self.run_out or self.overdue or self.waiting or self.ready)


def digests(session: Session, now: datetime, rules: Rules) -> tuple[Digest, ...]:
    """The digest of everyone active, by name; a constant number of statements."""
    all_days = days(session, now, rules)
    last = all_days.on + timedelta(days=AHEAD)
    coming = tuple(one for one in all_days.run_out if one.on <= last)
    waiting, goes = _waiting(session), _goes(session, now)
    sitting: dict[int, set[int]] = defaultdict(set)
    undated: dict[int, list[str]] = defaultdict(list)
    for person_id, quiz_id, title, due, begins in session.execute(
        select(
            Paper.person_id,
            Paper.quiz_id,
            Quiz.title,
            Quiz.due,
            func.coalesce(Quiz.opens, Quiz.at, type_=Quiz.at.type),
        )
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .where(Paper.closed_at.is_(None))
        .order_by(Paper.id)
    ):
        sitting[person_id].add(quiz_id)
        if due is None and timedelta(0) <= now - begins <= timedelta(days=SOON):
            undated[person_id].append(title)
    found = []
    for row in person_rows(session, Person.left_at.is_(None), by_name=True):
        staff = bool(row.roles & {"trainer", "owner"})
        others = [one for one in coming if one.person_id != row.id] if staff else []
        found.append(
            Digest(
                row.id,
                row.name,
                row.language,
                row.email,
                all_days.on,
                tuple(one for one in coming if one.person_id == row.id),
                _soon(all_days, all_days.due, row.id),
                _soon(all_days, all_days.opening, row.id),
                tuple(sorted(goes[row.id], key=lambda one: one.opens)),
                tuple(undated[row.id]),
                tuple(others),
                tuple(one for one in all_days.due if staff and one.person_id != row.id and one.overdue(now)),
                tuple(
                    one
                    for one in waiting
                    # Nobody reviews their own paper, nor one of a quiz that they have still to sit.
                    if staff and one.person_id != row.id and one.quiz_id not in sitting[row.id]
                ),
                tuple(
                    (name, clearance)
                    for id, name, clearance in all_days.ready
                    if "owner" in row.roles and id != row.id
                ),
            )
        )
    return tuple(found)


def _soon(all_days: Days, those: tuple[One, ...], person_id: int) -> tuple[One, ...]:
    last = all_days.on + timedelta(days=SOON)
    return tuple(one for one in those if one.person_id == person_id and one.on <= last)


def _waiting(session: Session) -> tuple[Waiting, ...]:
    rows = session.execute(
        select(Paper.person_id, Person.name, Quiz.title, Paper.quiz_id, Paper.closed_at)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(Person, Person.id == Paper.person_id)
        .where(Paper.closed_at.is_not(None), Paper.reviewed_at.is_(None))
        .order_by(Paper.closed_at, Paper.id)
    )
    zone = zone_in_shop(session)
    return tuple(Waiting(*row[:4], row.closed_at.astimezone(zone).date()) for row in rows)


def _goes(session: Session, now: datetime) -> dict[int, list[NextGo]]:
    """By person, the goes that opened or open within `SOON` days; `opens` in the shop's zone."""
    zone = zone_in_shop(session)
    rows = session.execute(
        paper_query().add_columns(may_follow()).where(may_follow()).order_by(Paper.id)
    ).all()
    found: dict[int, list[NextGo]] = defaultdict(list)
    papers = paper_rows(session, [of_paper for *of_paper, _may in rows])
    for paper, (_, quiz, _, may) in zip(papers, rows, strict=True):
        go = next_go(paper, quiz, may)
        if go is not None and abs(go.opens - now) <= timedelta(days=SOON):
            found[paper.person_id].append(replace(go, opens=go.opens.astimezone(zone)))
    return found
