"""Skills: how well each is held now, by person and by crew, and which come back today.

Answers on papers still out are left out, as are those on papers taken back that nobody answered; practice counts
less. None of it counts toward a clearance.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from operator import attrgetter
from typing import NamedTuple

from sqlalchemy import Text, cast, func, select, union_all
from sqlalchemy.orm import Session

from trainer.clearance.memo import Memo
from trainer.learning import Estimate, Parameters, Standing, Tally, due_today, standing, weight_of
from trainer.records.actors import APPRENTICE, Actor, need_reviewer, need_self_or_reviewer
from trainer.records.as_stored import Times, only, raw
from trainer.records.evidence_papers import Papers
from trainer.records.models import Answer, Paper, PaperQuestion, PracticeAnswer
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
    """What one paper, or one try at practice, tells. on: the shop's day; credits: of its answers, by skill."""

    at: datetime
    on: date
    credits: Mapping[str, tuple[float, ...]]
    practice: bool


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
    of_person = _given(session, (person_id,))[person_id]
    return PersonSkills(row, _picture(of_person, now, given, skills, _standings(of_person, given)))


def crew_picture(
    session: Session, actor: Actor, now: datetime, given: Parameters, skills: Collection[str]
) -> CrewSkills:
    """Every skill of every new hire who is active, and of all of them together."""
    need_reviewer(actor)
    crew = [row for row in person_rows(session) if row.active and APPRENTICE in row.roles]
    since = now - timedelta(days=REMEMBERED_FOR * given.estimate.half_life)
    answers = _given(session, None, since)
    people = tuple(PersonSkills(row, _picture(answers[row.id], now, given, skills, {})) for row in crew)
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
    met = _last_met(session, actor.id)
    standings = _standings(_given(session, (actor.id,))[actor.id], given)
    asked = {skill: found for skill, found in standings.items() if questions.get(skill)}
    today = now.astimezone(zone_in_shop(session)).date()
    return tuple(
        (skill, min(questions[skill], key=lambda id: (id in met, met.get(id, now), id)))
        for skill in due_today(asked, today, given.review)
    )


def _last_met(session: Session, person_id: int) -> dict[str, datetime]:
    """By question, when the person last answered it."""
    on_papers = (
        select(PaperQuestion.question.label("question"), Paper.closed_at.label("at"))
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .join(Answer, Answer.paper_question_id == PaperQuestion.id)
        .where(Paper.person_id == person_id, Paper.closed_at.is_not(None))
    )
    in_practice = select(PracticeAnswer.question, PracticeAnswer.at).where(
        PracticeAnswer.person_id == person_id
    )
    both = union_all(on_papers, in_practice).subquery()
    last = select(both.c.question, func.max(both.c.at).label("at")).group_by(both.c.question)
    return {row.question: row.at for row in session.execute(last)}


def _given(
    session: Session, people: Collection[int] | None, since: datetime | None = None
) -> dict[int, list[_Given]]:
    """By person, in no order, what was answered: two statements.

    What is on a paper counts from when that was handed in. people: whose, by id; everyone's when it is None
    """
    connection = session.connection()
    times = Times(connection.dialect, zone_in_shop(session))
    found: dict[int, list[_Given]] = defaultdict(list)
    by_person = Papers(connection, times, people).by_person()
    for person, papers in by_person.items():
        for paper in papers:
            if paper.handed_in is None or paper.moment is None or (since and paper.moment < since):
                continue
            found[person].append(_Given(paper.moment, paper.handed_in, paper.sheet.credits, False))
    query = select(
        PracticeAnswer.person_id,
        raw(PracticeAnswer.at),
        PracticeAnswer.credit,
        cast(PracticeAnswer.skills, Text),
    ).where(only(PracticeAnswer.person_id, people))
    if since is not None:
        query = query.where(PracticeAnswer.at >= since)
    skills_in = Memo[str, tuple[str, ...]](lambda text: tuple(json.loads(text)))
    for person, at, credit, skills in connection.execute(query.order_by(PracticeAnswer.id)).all():
        credits = dict.fromkeys(skills_in[skills], (credit,))
        found[person].append(_Given(times.moment(at), times.day(at), credits, True))
    return found


def _picture(
    answers: Iterable[_Given],
    now: datetime,
    given: Parameters,
    skills: Iterable[str],
    standings: Mapping[str, Standing],
) -> tuple[SkillRow, ...]:
    """The skills, the weakest first."""
    tallies: dict[str, Tally] = defaultdict(Tally)
    for at, _, credits, practice in answers:
        age = (now - at) / DAY
        weight = weight_of(age, practice, given.estimate)
        for skill, of_skill in credits.items():
            tallies[skill].add(of_skill, age, weight)
    rows = [SkillRow(skill, tallies[skill].estimate(), standings.get(skill)) for skill in skills]
    return tuple(sorted(rows, key=lambda row: (row.estimate is None, row.share)))


def _standings(answers: Iterable[_Given], given: Parameters) -> dict[str, Standing]:
    """By skill, when it comes back; of one person."""
    in_order: dict[str, list[tuple[date, float]]] = defaultdict(list)
    for one in sorted(answers, key=attrgetter("at")):
        for skill, credits in one.credits.items():
            in_order[skill] += [(one.on, credit) for credit in credits]
    return {
        skill: found
        for skill, days in in_order.items()
        if (found := standing(days, given.review)) is not None
    }


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
