"""What the records hold toward clearance, for one person or for all, in a constant number of statements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from itertools import groupby
from typing import Any, cast
from zoneinfo import ZoneInfo

from sqlalchemy import ColumnElement, or_, select, true
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from trainer.clearance import (
    AbsenceEvidence,
    AnswerEvidence,
    Evidence,
    GradeChangeEvidence,
    GrantEvidence,
    PaperEvidence,
    ReadingEvidence,
    SignOffEvidence,
    SuspensionEvidence,
)
from trainer.records.models import (
    Absence,
    Answer,
    GradeChange,
    Grant,
    LessonReading,
    Paper,
    PaperQuestion,
    Person,
    Quiz,
    SignOff,
    Suspension,
)
from trainer.records.shop import zone_in_shop


def evidence_of(session: Session, person_id: int) -> Evidence:
    """Everything known of one person toward clearance."""
    return all_evidence(session, person_id).get(person_id, Evidence(person_id))


def all_evidence(session: Session, person_id: int | None = None) -> Mapping[int, Evidence]:
    """Everything known by person: of everyone, or of one. Six statements, and one for the shop's zone."""
    load = _Loader(session, person_id)
    readings, papers, sign_offs = load.readings(), load.papers(), load.sign_offs()
    grants, suspensions = load.grants(), load.suspensions()
    return {
        person: Evidence(
            person,
            tuple(readings[person]),
            tuple(papers[person]),
            tuple(sign_offs[person]),
            (),
            tuple(grants[person]),
            tuple(suspensions[person]),
            tuple(absences),
        )
        for person, absences in load.people().items()
    }


class _Loader:
    """The rows behind the evidence, grouped by person."""

    def __init__(self, session: Session, person_id: int | None) -> None:
        self.session, self.person_id = session, person_id
        self.zone: ZoneInfo = zone_in_shop(session)

    def only(self, column: InstrumentedAttribute[int]) -> ColumnElement[bool]:
        return true() if self.person_id is None else column == self.person_id

    def day(self, moment: datetime) -> date:
        return moment.astimezone(self.zone).date()

    def readings(self) -> dict[int, list[ReadingEvidence]]:
        found: dict[int, list[ReadingEvidence]] = defaultdict(list)
        rows = self.session.execute(
            select(LessonReading.person_id, LessonReading.lesson, LessonReading.version, LessonReading.at)
            .where(self.only(LessonReading.person_id))
            .order_by(LessonReading.id)
        )
        for person, lesson, version, at in rows:
            found[person].append(ReadingEvidence(lesson, version, self.day(at)))
        return found

    def papers(self) -> dict[int, list[PaperEvidence]]:
        """Closed papers: one statement, a row for each question and, where it was changed, each change."""
        rows = self.session.execute(
            select(
                Paper.person_id,
                Paper.id,
                Quiz.title,
                Quiz.by_id,
                Paper.closed_at,
                PaperQuestion.id,
                PaperQuestion.question,
                PaperQuestion.skills,
                PaperQuestion.must_pass,
                Answer.credit,
                Answer.right,
                GradeChange.after,
                GradeChange.by_id,
                GradeChange.at,
            )
            .join(Quiz, Quiz.id == Paper.quiz_id)
            .join(PaperQuestion, PaperQuestion.paper_id == Paper.id)
            .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
            .outerjoin(GradeChange, GradeChange.paper_question_id == PaperQuestion.id)
            # A paper taken back before it was opened was never sat; it says nothing of the person.
            .where(
                Paper.closed_at.is_not(None),
                or_(Paper.closed_how.is_distinct_from("taken back"), Paper.opened_at.is_not(None)),
                self.only(Paper.person_id),
            )
            .order_by(Paper.id, PaperQuestion.id, GradeChange.id)
        )
        found: dict[int, list[PaperEvidence]] = defaultdict(list)
        for (person, paper, title, by_id, closed_at), on_paper in groupby(rows, key=_of_paper):
            day = self.day(closed_at)
            found[person].append(PaperEvidence(paper, title, by_id, day, self._answers(on_paper), closed_at))
        return found

    def _answers(self, rows: Iterable[Any]) -> tuple[AnswerEvidence, ...]:
        answers = []
        for _, same in groupby(rows, key=lambda row: row[5]):
            of_question = list(same)
            question, skills, must_pass, credit, right = tuple(of_question[0])[6:11]
            changes = tuple(
                GradeChangeEvidence(self.day(at), after, by_id)
                for *_, after, by_id, at in of_question
                if after is not None
            )
            answers.append(
                AnswerEvidence(question, tuple(skills), must_pass, credit or 0.0, bool(right), changes)
            )
        return tuple(answers)

    def sign_offs(self) -> dict[int, list[SignOffEvidence]]:
        found: dict[int, list[SignOffEvidence]] = defaultdict(list)
        rows = self.session.execute(
            select(
                SignOff.person_id,
                SignOff.id,
                SignOff.task,
                SignOff.version,
                SignOff.observer_id,
                Person.name,
                SignOff.passed,
                SignOff.criteria,
                SignOff.fails,
                SignOff.measures,
                SignOff.at,
            )
            .join(Person, Person.id == SignOff.observer_id)
            .where(self.only(SignOff.person_id))
            .order_by(SignOff.id)
        )
        for person, number, task, version, by_id, by, passed, criteria, fails, measures, at in rows:
            sound = passed and is_sound(criteria, fails, measures)
            found[person].append(
                SignOffEvidence(number, task, version, by_id, by, passed, sound, self.day(at))
            )
        return found

    def grants(self) -> dict[int, list[GrantEvidence]]:
        found: dict[int, list[GrantEvidence]] = defaultdict(list)
        rows = self.session.execute(
            select(
                Grant.person_id,
                Grant.id,
                Grant.clearance,
                Grant.version,
                Grant.by_id,
                Person.name,
                Grant.since,
                Grant.until,
                Grant.at,
            )
            .join(Person, Person.id == Grant.by_id)
            .where(self.only(Grant.person_id))
            .order_by(Grant.id)
        )
        for person, *rest in rows:
            found[person].append(GrantEvidence(*cast(tuple[Any, ...], rest)))
        return found

    def suspensions(self) -> dict[int, list[SuspensionEvidence]]:
        by = aliased(Person)
        found: dict[int, list[SuspensionEvidence]] = defaultdict(list)
        rows = self.session.execute(
            select(
                Suspension.person_id,
                Suspension.id,
                Suspension.clearance,
                by.name,
                Suspension.since,
                Suspension.reason,
                Suspension.lifted_by_id,
                Suspension.lifted_on,
            )
            .join(by, by.id == Suspension.by_id)
            .where(self.only(Suspension.person_id))
            .order_by(Suspension.id)
        )
        for person, *rest in rows:
            found[person].append(SuspensionEvidence(*cast(tuple[Any, ...], rest)))
        return found

    def people(self) -> dict[int, list[AbsenceEvidence]]:
        """Everyone there is, with their absences."""
        found: dict[int, list[AbsenceEvidence]] = defaultdict(list)
        rows = self.session.execute(
            select(Person.id, Absence.left_at, Absence.back_at)
            .outerjoin(Absence, Absence.person_id == Person.id)
            .where(self.only(Person.id))
            .order_by(Absence.id)
        )
        for person, left, back in rows:
            absences = found[person]
            if left is not None:
                absences.append(AbsenceEvidence(self.day(left), self.day(back) if back else None, back))
        return found


def _of_paper(row: Any) -> tuple[int, int, str, int, datetime]:
    """The part of a row of `papers` that is the same for every question of one paper."""
    person, paper, title, by_id, closed_at = row[:5]
    return person, paper, title, by_id, closed_at


def is_sound(criteria: list[Any], fails: list[Any], measures: dict[str, Any]) -> bool:
    """Whether nothing in a sign-off contradicts that it was passed."""
    criteria_met = bool(criteria) and all(met is True for met in criteria)
    return criteria_met and not fails and all(one.get("ok") is not False for one in measures.values())
