"""What the records hold toward clearance, for one person or for all, in a constant number of statements."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import groupby
from operator import itemgetter
from typing import Any

from sqlalchemy import ColumnElement, String, Text, cast, or_, select, true, type_coerce
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from trainer.clearance import (
    AbsenceEvidence,
    AcceptanceEvidence,
    AnswerEvidence,
    CertificateEvidence,
    Evidence,
    GradeChangeEvidence,
    GrantEvidence,
    PaperEvidence,
    ReadingEvidence,
    Sheet,
    SignOffEvidence,
    SuspensionEvidence,
)
from trainer.records.deciding import DECIDED, least_right
from trainer.records.models import (
    Absence,
    Answer,
    Certificate,
    GradeChange,
    Grant,
    LessonAcceptance,
    LessonReading,
    Paper,
    PaperQuestion,
    Person,
    Quiz,
    SignOff,
    Suspension,
)
from trainer.records.models.base import Moment
from trainer.records.shop import zone_in_shop


def evidence_of(session: Session, person_id: int) -> Evidence:
    """Everything known of one person toward clearance."""
    return all_evidence(session, person_id).get(person_id, Evidence(person_id))


def all_evidence(session: Session, person_id: int | None = None) -> Mapping[int, Evidence]:
    """Everything known by person: of everyone, or of one. Eight statements, and one for the shop's zone."""
    load = _Loader(session, person_id)
    readings, papers, sign_offs = load.readings(), load.papers(), load.sign_offs()
    certificates, grants, suspensions = load.certificates(), load.grants(), load.suspensions()
    accepted = acceptances(session)
    return {
        person: Evidence(
            person,
            tuple(readings[person]),
            tuple(papers[person]),
            tuple(sign_offs[person]),
            tuple(certificates[person]),
            tuple(grants[person]),
            tuple(suspensions[person]),
            tuple(absences),
            _of_lessons(accepted, readings[person]),
        )
        for person, absences in load.people().items()
    }


class _Known(dict[Any, Any]):
    """What was worked out once a value: whole tables hold few different ones."""

    def __init__(self, work_out: Callable[[Any], Any]) -> None:
        self.work_out = work_out

    def __missing__(self, value: Any) -> Any:
        found = self[value] = self.work_out(value)
        return found


class _Loader:
    """The rows behind the evidence, grouped by person.

    Everyone's evidence is tens of thousands of rows, so they are read as plain tuples, times and JSON as they lie
    in the store, and each different value is turned into its Python form once.
    """

    def __init__(self, session: Session, person_id: int | None) -> None:
        session.flush()
        self.connection, self.person_id = session.connection(), person_id
        zone = zone_in_shop(session)
        dialect = self.connection.dialect
        moment = Moment().dialect_impl(dialect).result_processor(dialect, None)
        assert moment is not None
        self.moments = _Known(moment)
        self.days = _Known(lambda raw: self.moments[raw].astimezone(zone).date())
        self.skills = _Known(lambda text: tuple(json.loads(text)))
        self.answers = _Known(self._answer)
        self.sheets = _Known(lambda rows: Sheet([self.answers[row] for row in rows]))
        self.deciding = _Known(_terms)
        self.sound = _Known(lambda texts: is_sound(*map(json.loads, texts)))

    def only(self, column: InstrumentedAttribute[int]) -> ColumnElement[bool]:
        return true() if self.person_id is None else column == self.person_id

    def readings(self) -> dict[int, list[ReadingEvidence]]:
        found: dict[int, list[ReadingEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(
                LessonReading.person_id, LessonReading.lesson, LessonReading.version, _raw(LessonReading.at)
            )
            .where(self.only(LessonReading.person_id))
            .order_by(LessonReading.id)
        ).all()
        for person, lesson, version, at in rows:
            found[person].append(ReadingEvidence(lesson, version, self.days[at]))
        return found

    def papers(self) -> dict[int, list[PaperEvidence]]:
        """Closed papers: one statement, a row for each question and, where it was changed, each change."""
        rows = self.connection.execute(
            select(
                Paper.id,
                Paper.person_id,
                Quiz.title,
                Quiz.by_id,
                _raw(Paper.closed_at),
                PaperQuestion.id,
                PaperQuestion.question,
                cast(PaperQuestion.skills, Text),
                PaperQuestion.must_pass,
                Answer.credit,
                Answer.right,
                _raw(GradeChange.at),
                GradeChange.after,
                GradeChange.by_id,
                GradeChange.left_out,
                Paper.closed_how,
                Quiz.pass_mark,
                cast(Quiz.deciding, Text),
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
        ).all()
        found: dict[int, list[PaperEvidence]] = defaultdict(list)
        for paper, on_paper in groupby(rows, key=itemgetter(0)):
            questions = list(on_paper)
            _, person, title, by_id, closed = questions[0][:5]
            evidence = PaperEvidence(
                paper, title, by_id, self.days[closed], self._answers(questions), self.moments[closed]
            )
            how, mark, deciding = questions[0][15:]
            if deciding is not None:
                evidence = _decides(evidence, how, mark, self.deciding[deciding])
            found[person].append(evidence)
        return found

    def _answers(self, rows: list[Any]) -> Sheet:
        if all(row[11] is None for row in rows):
            shared: Sheet = self.sheets[tuple([row[6:11] for row in rows])]
            return shared
        answers = []
        for _, same in groupby(rows, key=itemgetter(5)):
            of_question = list(same)
            changes = tuple(
                GradeChangeEvidence(self.days[at], after, by_id, bool(left_out))
                for at, after, by_id, left_out in (row[11:15] for row in of_question)
                if at is not None
            )
            answers.append(replace(self.answers[of_question[0][6:11]], changes=changes))
        return Sheet(answers)

    def _answer(self, row: tuple[str, str, bool, float | None, bool | None]) -> AnswerEvidence:
        question, skills, must_pass, credit, right = row
        return AnswerEvidence(
            question, self.skills[skills], must_pass, credit or 0.0, bool(right), given=credit is not None
        )

    def sign_offs(self) -> dict[int, list[SignOffEvidence]]:
        found: dict[int, list[SignOffEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(
                SignOff.person_id,
                SignOff.id,
                SignOff.task,
                SignOff.version,
                SignOff.observer_id,
                Person.name,
                SignOff.passed,
                _raw(SignOff.at),
                cast(SignOff.criteria, Text),
                cast(SignOff.fails, Text),
                cast(SignOff.measures, Text),
            )
            .join(Person, Person.id == SignOff.observer_id)
            .where(self.only(SignOff.person_id))
            .order_by(SignOff.id)
        ).all()
        for person, number, task, version, by_id, by, passed, at, *seen in rows:
            sound = passed and self.sound[tuple(seen)]
            found[person].append(
                SignOffEvidence(number, task, version, by_id, by, passed, sound, self.days[at])
            )
        return found

    def certificates(self) -> dict[int, list[CertificateEvidence]]:
        found: dict[int, list[CertificateEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(
                Certificate.person_id,
                Certificate.id,
                Certificate.kind,
                Certificate.issuer,
                Certificate.issued,
                Certificate.expires,
                Certificate.entered_on,
                Certificate.by_id,
                Certificate.withdrawn_at,
                Certificate.withdrawn_on,
            )
            .where(self.only(Certificate.person_id))
            .order_by(Certificate.id)
        )
        for (
            person,
            number,
            kind,
            issuer,
            issued,
            expires,
            entered_on,
            by_id,
            withdrawn_at,
            withdrawn_on,
        ) in rows:
            withdrawn = withdrawn_at is not None or withdrawn_on is not None
            found[person].append(
                CertificateEvidence(
                    number,
                    kind,
                    issuer,
                    issued,
                    expires,
                    expires is None,
                    entered_on,
                    by_id,
                    withdrawn,
                    withdrawn_on,
                )
            )
        return found

    def grants(self) -> dict[int, list[GrantEvidence]]:
        found: dict[int, list[GrantEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(
                Grant.person_id,
                Grant.id,
                Grant.clearance,
                Grant.version,
                Grant.by_id,
                Person.name,
                Grant.since,
                Grant.until,
                _raw(Grant.at),
            )
            .join(Person, Person.id == Grant.by_id)
            .where(self.only(Grant.person_id))
            .order_by(Grant.id)
        )
        for person, number, clearance, version, by_id, by, since, until, at in rows:
            found[person].append(
                GrantEvidence(number, clearance, version, by_id, by, since, until, self.moments[at])
            )
        return found

    def suspensions(self) -> dict[int, list[SuspensionEvidence]]:
        by = aliased(Person)
        found: dict[int, list[SuspensionEvidence]] = defaultdict(list)
        rows = self.connection.execute(
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
        for person, number, clearance, by_whom, since, reason, lifted_by, lifted_on in rows:
            found[person].append(
                SuspensionEvidence(number, clearance, by_whom, since, reason, lifted_by, lifted_on)
            )
        return found

    def people(self) -> dict[int, list[AbsenceEvidence]]:
        """Everyone there is, with their absences."""
        found: dict[int, list[AbsenceEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(Person.id, _raw(Absence.left_at), _raw(Absence.back_at))
            .outerjoin(Absence, Absence.person_id == Person.id)
            .where(self.only(Person.id))
            .order_by(Absence.id)
        )
        for person, left, back in rows:
            absences = found[person]
            if left is not None:
                returned = (self.days[back], self.moments[back]) if back is not None else (None, None)
                absences.append(AbsenceEvidence(self.days[left], *returned))
        return found


def acceptances(session: Session) -> list[AcceptanceEvidence]:
    """Every acceptance of an older version of a lesson, whoever it is about: one statement."""
    rows = session.execute(
        select(
            LessonAcceptance.lesson,
            LessonAcceptance.version,
            LessonAcceptance.present,
            LessonAcceptance.by_id,
            LessonAcceptance.since,
            LessonAcceptance.ended_on,
            LessonAcceptance.ended_at.is_not(None),
        ).order_by(LessonAcceptance.id)
    )
    return [AcceptanceEvidence(*row[:6], bool(row[6])) for row in rows]


def _of_lessons(
    accepted: list[AcceptanceEvidence], readings: list[ReadingEvidence]
) -> tuple[AcceptanceEvidence, ...]:
    """The acceptances of lessons that the person read."""
    if not accepted:
        return ()
    read = {reading.lesson for reading in readings}
    return tuple(one for one in accepted if one.lesson in read)


def _terms(text: str) -> Mapping[str, Any]:
    """The terms of a quiz that decides early; what cannot be read is no terms, and decides nothing."""
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _decides(
    evidence: PaperEvidence, how: str | None, mark: int, deciding: Mapping[str, Any]
) -> PaperEvidence:
    """The same paper with what it takes to be clear. Only one that ended as decided leaves out what it did not ask."""
    answers = evidence.answers
    if how == DECIDED:
        answers = Sheet([replace(one, asked=one.given) for one in answers])
    least = least_right(deciding, sum(one.asked for one in answers))
    return replace(evidence, answers=answers, least_right=least, mark=mark)


def _raw(column: InstrumentedAttribute[Any]) -> ColumnElement[Any]:
    """A time as it lies in the store."""
    return type_coerce(column, String)


def is_sound(criteria: list[Any], fails: list[Any], measures: dict[str, Any]) -> bool:
    """Whether nothing in a sign-off contradicts that it was passed."""
    criteria_met = bool(criteria) and all(met is True for met in criteria)
    return criteria_met and not fails and all(one.get("ok") is not False for one in measures.values())
