"""Skills: how well each is held now, by person and by crew, and which come back today.

Answers on papers still out are left out, as are those on papers taken back that nobody answered; practice counts
less. None of it counts toward a clearance.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from operator import itemgetter
from typing import NamedTuple

from sqlalchemy import Connection, Text, cast, select
from sqlalchemy.orm import Session

from trainer.clearance.memo import Memo
from trainer.learning import Estimate, Parameters, Seen, Standing, due_today, estimate, standing
from trainer.records.actors import APPRENTICE, Actor, need_reviewer, need_self_or_reviewer
from trainer.records.as_stored import Times, raw
from trainer.records.evidence_papers import Papers
from trainer.records.models import PracticeAnswer
from trainer.records.queries.person_rows import person_row, person_rows
from trainer.records.queries.rows import PersonRow
from trainer.records.shop import zone_in_shop

DAY = timedelta(days=1)
REMEMBERED_FOR = 8  # half-lives after which an answer weighs nothing worth reading


@dataclass(frozen=True, slots=True)
class SkillRow:
    """One skill of one person. estimate: None when nothing was answered on it; standing: then too, and in a crew."""

    skill: str
    estimate: Estimate | None
    standing: Standing | None

    @property
    def share(self) -> float:
        """The expected share right; even when nothing is known."""
        return self.estimate.share if self.estimate is not None else 0.5


@dataclass(frozen=True, slots=True)
class PersonSkills:
    """skills: the weakest first, those that nothing is known of last."""

    person: PersonRow
    skills: tuple[SkillRow, ...]

    @property
    def known(self) -> tuple[SkillRow, ...]:
        return tuple(row for row in self.skills if row.estimate is not None)


@dataclass(frozen=True, slots=True)
class CrewSkill:
    """One skill over the crew. share: the mean of those of whom something is known; weakest: that of the weakest."""

    skill: str
    known: int
    share: float | None
    weakest: PersonRow | None
    newest: float | None


@dataclass(frozen=True, slots=True)
class CrewSkills:
    people: tuple[PersonSkills, ...]
    skills: tuple[CrewSkill, ...]


class _Given(NamedTuple):
    """An answer. on: the shop's day. A plain tuple: a crew has given tens of thousands."""

    at: datetime
    on: date
    question: str
    seen: Seen


def skill_picture(
    session: Session,
    actor: Actor,
    person_id: int,
    now: datetime,
    given: Parameters,
    skills: Collection[str],
) -> PersonSkills:
    """Every skill of one person: one's own, or anyone's for a trainer or owner. Raises UnknownName."""
    need_self_or_reviewer(actor, person_id)
    row = person_row(session, person_id)
    answers = _answers(session, person_id, now, None)
    return PersonSkills(row, _picture(answers[person_id], given, skills, reviews=True))


def crew_picture(
    session: Session, actor: Actor, now: datetime, given: Parameters, skills: Collection[str]
) -> CrewSkills:
    """Every skill of every new hire who is active, and of all of them together."""
    need_reviewer(actor)
    crew = [row for row in person_rows(session) if row.active and APPRENTICE in row.roles]
    since = now - timedelta(days=REMEMBERED_FOR * given.estimate.half_life)
    answers = _answers(session, None, now, since)
    people = tuple(PersonSkills(row, _picture(answers[row.id], given, skills)) for row in crew)
    return CrewSkills(people, tuple(_of_crew(skill, people) for skill in skills))


def weakest(crew: CrewSkills, people: Collection[int]) -> dict[int, tuple[str, ...]]:
    """By person, their skills in the order in which they want work: the lowest expected share first."""
    return {
        one.person.id: tuple(row.skill for row in sorted(one.skills, key=lambda row: row.share))
        for one in crew.people
        if one.person.id in people
    }


def for_today(
    session: Session, actor: Actor, now: datetime, given: Parameters, questions: Mapping[str, Sequence[str]]
) -> tuple[tuple[str, str], ...]:
    """(skill, question) of what the actor should recall today: the question of the skill they met longest ago.

    questions: by skill, the ids that can be practised
    """
    answers = _answers(session, actor.id, now, None)[actor.id]
    met: dict[str, datetime] = {}
    for of_skill in answers.values():
        for one in of_skill:
            met[one.question] = max(one.at, met.get(one.question, one.at))
    standings = {
        skill: found
        for skill, of_skill in answers.items()
        if questions.get(skill) and (found := _standing(of_skill, given)) is not None
    }
    today = now.astimezone(zone_in_shop(session)).date()
    return tuple(
        (skill, min(questions[skill], key=lambda id: (id in met, met.get(id, now), id)))
        for skill in due_today(standings, today, given.review)
    )


def _answers(
    session: Session, person_id: int | None, now: datetime, since: datetime | None
) -> dict[int, dict[str, list[_Given]]]:
    """By person and skill, every answer in the order it was given: two statements.

    What is on a paper counts from when that was handed in. person_id: whose; everyone's when it is None
    """
    connection = session.connection()
    times = Times(connection.dialect, zone_in_shop(session))
    given: list[tuple[datetime, int, tuple[str, ...], _Given]] = []
    for person, papers in Papers(connection, times, person_id).by_person().items():
        for paper in papers:
            if paper.handed_in is None or (at := paper.moment) is None or (since is not None and at < since):
                continue
            age = (now - at) / DAY
            for one in paper.answers:
                if one.given and not (one.changes and one.left_out(date.max)):
                    seen = Seen(one.grade(date.max)[0], age)
                    given.append((at, person, one.skills, _Given(at, paper.handed_in, one.question, seen)))
    given += _practice(connection, times, person_id, now, since)
    given.sort(key=itemgetter(0))  # answers of one moment stay in their order
    found: dict[int, dict[str, list[_Given]]] = defaultdict(lambda: defaultdict(list))
    for _, person, skills, answer in given:
        of_person = found[person]
        for skill in skills:
            of_person[skill].append(answer)
    return found


def _practice(
    connection: Connection, times: Times, person_id: int | None, now: datetime, since: datetime | None
) -> Iterator[tuple[datetime, int, tuple[str, ...], _Given]]:
    query = select(
        PracticeAnswer.person_id,
        raw(PracticeAnswer.at),
        PracticeAnswer.credit,
        cast(PracticeAnswer.skills, Text),
        PracticeAnswer.question,
    ).order_by(PracticeAnswer.id)
    if person_id is not None:
        query = query.where(PracticeAnswer.person_id == person_id)
    if since is not None:
        query = query.where(PracticeAnswer.at >= since)
    parsed = Memo[str, tuple[str, ...]](lambda text: tuple(json.loads(text)))
    for person, text, credit, skills, question in connection.execute(query).all():
        at = times.moment(text)
        seen = Seen(credit, (now - at) / DAY, practice=True)
        yield at, person, parsed[skills], _Given(at, times.day(text), question, seen)


def _picture(
    answers: Mapping[str, Sequence[_Given]],
    given: Parameters,
    skills: Iterable[str],
    *,
    reviews: bool = False,
) -> tuple[SkillRow, ...]:
    """The skills, the weakest first. reviews: whether it is worked out when each comes back"""
    rows = []
    for skill in skills:
        of_skill = answers.get(skill, ())
        estimated = estimate([one.seen for one in of_skill], given.estimate)
        rows.append(SkillRow(skill, estimated, _standing(of_skill, given) if reviews else None))
    return tuple(sorted(rows, key=lambda row: (row.estimate is None, row.share)))


def _standing(answers: Iterable[_Given], given: Parameters) -> Standing | None:
    return standing([(one.on, one.seen.credit) for one in answers], given.review)


def _of_crew(skill: str, people: Sequence[PersonSkills]) -> CrewSkill:
    known = [(one.person, row) for one in people for row in one.skills if row.skill == skill and row.estimate]
    if not known:
        return CrewSkill(skill, 0, None, None, None)
    weakest_one, _ = min(known, key=lambda pair: pair[1].share)
    return CrewSkill(
        skill,
        len(known),
        sum(row.share for _, row in known) / len(known),
        weakest_one,
        min(row.estimate.newest for _, row in known if row.estimate),
    )
