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
from typing import NamedTuple

from sqlalchemy import Text, and_, cast, literal, select, union_all
from sqlalchemy.orm import Session

from trainer.learning import Estimate, Parameters, Seen, Standing, due_today, estimate, standing
from trainer.records.actors import APPRENTICE, Actor, need_reviewer, need_self_or_reviewer
from trainer.records.as_stored import Times, raw
from trainer.records.models import Answer, GradeChange, Paper, PaperQuestion, PracticeAnswer
from trainer.records.queries.paper_rows import COUNTS, CREDIT, last_change
from trainer.records.queries.person_rows import person_row, person_rows
from trainer.records.queries.rows import PersonRow
from trainer.records.shop import zone_in_shop

DAY = timedelta(days=1)
REMEMBERED_FOR = 8  # half-lives after which an answer weighs nothing worth reading


@dataclass(frozen=True, slots=True)
class SkillRow:
    """One skill of one person. estimate, standing: None when nothing was answered on it."""

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
    credit: float
    practice: bool
    question: str


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
    answers = _answers(session, [person_id], None)
    return _picture(row, answers[person_id], now, given, skills)


def crew_picture(
    session: Session, actor: Actor, now: datetime, given: Parameters, skills: Collection[str]
) -> CrewSkills:
    """Every skill of every new hire who is active, and of all of them together."""
    need_reviewer(actor)
    crew = [row for row in person_rows(session) if row.active and APPRENTICE in row.roles]
    since = now - timedelta(days=REMEMBERED_FOR * given.estimate.half_life)
    answers = _answers(session, [row.id for row in crew], since)
    people = tuple(_picture(row, answers[row.id], now, given, skills) for row in crew)
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
    answers = _answers(session, [actor.id], None)[actor.id]
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
    session: Session, people: Collection[int], since: datetime | None
) -> dict[int, dict[str, list[_Given]]]:
    """By person and skill, every answer in the order it was given: one statement."""
    papers = (
        select(
            Paper.person_id.label("person"),
            raw(Answer.at).label("at"),
            CREDIT.label("credit"),
            cast(PaperQuestion.skills, Text).label("skills"),
            PaperQuestion.question.label("question"),
            literal(False).label("practice"),
            Answer.id.label("id"),
        )
        .join(PaperQuestion, PaperQuestion.paper_id == Paper.id)
        .join(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(Paper.person_id.in_(people), Paper.closed_at.is_not(None), COUNTS)
    )
    practice = select(
        PracticeAnswer.person_id,
        raw(PracticeAnswer.at),
        PracticeAnswer.credit,
        cast(PracticeAnswer.skills, Text),
        PracticeAnswer.question,
        literal(True),
        PracticeAnswer.id,
    ).where(PracticeAnswer.person_id.in_(people))
    if since is not None:
        papers, practice = papers.where(Answer.at >= since), practice.where(PracticeAnswer.at >= since)
    found: dict[int, dict[str, list[_Given]]] = defaultdict(lambda: defaultdict(list))
    parsed: dict[str, list[str]] = {}
    times = Times(session.get_bind().dialect, zone_in_shop(session))
    both = union_all(papers, practice).order_by("at", "practice", "id")
    for person, at, credit, skills, question, practised, _ in session.connection().execute(both).all():
        if skills not in parsed:
            parsed[skills] = json.loads(skills)
        one = _Given(times.moment(at), times.day(at), credit, practised, question)
        of_person = found[person]
        for skill in parsed[skills]:
            of_person[skill].append(one)
    return found


def _picture(
    person: PersonRow,
    answers: Mapping[str, Sequence[_Given]],
    now: datetime,
    given: Parameters,
    skills: Iterable[str],
) -> PersonSkills:
    rows = []
    for skill in skills:
        of_skill = answers.get(skill, ())
        seen = [Seen(one.credit, (now - one.at) / DAY, one.practice) for one in of_skill]
        rows.append(SkillRow(skill, estimate(seen, given.estimate), _standing(of_skill, given)))
    rows.sort(key=lambda row: (row.estimate is None, row.share))
    return PersonSkills(person, tuple(rows))


def _standing(answers: Iterable[_Given], given: Parameters) -> Standing | None:
    return standing(((one.on, one.credit) for one in answers), given.review)


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
