"""What the records hold toward clearance, for one person or for all, in a constant number of statements."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from functools import reduce
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
from trainer.clearance.memo import Memo
from trainer.records import paper_sheets
from trainer.records.deciding import DECIDED, least_right
from trainer.records.models import (
    Absence,
    Certificate,
    GradeChange,
    Grant,
    GrantDoubt,
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
    return _Loader(session, person_id).evidence()


def evidence_and_doubts(session: Session) -> tuple[Mapping[int, Evidence], frozenset[tuple[int, str]]]:
    """As `all_evidence` of everyone; and the (person, clearance) of the grants in doubt that no owner has looked at."""
    load = _Loader(session, None)
    return load.evidence(), frozenset(load.doubted)


class _Loader:
    """The rows behind the evidence, grouped by person.

    Everyone's evidence is tens of thousands of rows, so they are read as plain tuples, times and JSON as they lie
    in the store, and each different value is turned into its Python form once.
    """

    def __init__(self, session: Session, person_id: int | None) -> None:
        session.flush()
        self.session, self.connection, self.person_id = session, session.connection(), person_id
        zone = zone_in_shop(session)
        dialect = self.connection.dialect
        processor = Moment().dialect_impl(dialect).result_processor(dialect, None)
        assert processor is not None
        moment: Callable[[Any], Any] = processor
        self.moments: Memo[Any, datetime] = Memo(moment)
        self.zone = zone
        self.days: Memo[Any, date] = Memo(self._day)
        self.hours: Memo[str, date | None] = Memo(self._day_of_hour)
        self.shapes: dict[AnswerEvidence, int] = {}
        self.answers: Memo[str, tuple[AnswerEvidence, int]] = Memo(self._answer)
        self.alike: dict[tuple[int, ...], Sheet] = {}
        self.sheets: Memo[str, Sheet] = Memo(self._sheet)
        self.deciding = Memo(_terms)
        self.sound: Memo[str, bool] = Memo(lambda texts: is_sound(*map(json.loads, texts.split("\n"))))
        self.doubted: set[tuple[int, str]] = set()

    def evidence(self) -> Mapping[int, Evidence]:
        readings, papers, sign_offs = self.readings(), self.papers(), self.sign_offs()
        certificates, grants, suspensions = self.certificates(), self.grants(), self.suspensions()
        accepted = acceptances(self.session)
        return {
            person: Evidence(
                person,
                tuple(readings.get(person, ())),
                tuple(papers.get(person, ())),
                tuple(sign_offs.get(person, ())),
                tuple(certificates.get(person, ())),
                tuple(grants.get(person, ())),
                tuple(suspensions.get(person, ())),
                tuple(absences),
                _of_lessons(accepted, readings.get(person, ())),
            )
            for person, absences in self.people().items()
        }

    def _day(self, raw: Any) -> date:
        """The day in the shop's zone; a time that lies in the store as a text is mostly known by its hour."""
        day = self.hours[raw[:13]] if isinstance(raw, str) else None
        return day or self.moments[raw].astimezone(self.zone).date()

    def _day_of_hour(self, hour: str) -> date | None:
        """The day of all times within an hour such as "2026-11-25 15"; None when the day or the zone changes within it."""
        first = self.moments[f"{hour}:00:00.000000"].astimezone(self.zone)
        last = self.moments[f"{hour}:59:59.999999"].astimezone(self.zone)
        same = first.date() == last.date() and first.utcoffset() == last.utcoffset()
        return first.date() if same else None

    def _sheet(self, text: str) -> Sheet:
        """Most sheets differ from another in no more than which questions they asked."""
        found = [self.answers[line] for line in text.splitlines()]
        answers, shape = [answer for answer, _ in found], tuple([number for _, number in found])
        sheet = Sheet(answers, self.alike.get(shape))
        self.alike.setdefault(shape, sheet)
        return sheet

    def _answer(self, line: str) -> tuple[AnswerEvidence, int]:
        """An answer, and the number of what it says besides which question it is."""
        answer = paper_sheets.answer_in(line)
        return answer, self.shapes.setdefault(replace(answer, question=""), len(self.shapes))

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
        """Closed papers: one statement, a row for each, and one more for each further change of a grade."""
        changes = (
            select(
                PaperQuestion.paper_id,
                PaperQuestion.position,
                GradeChange.id,
                _raw(GradeChange.at).label("at"),
                GradeChange.after,
                GradeChange.by_id,
                GradeChange.left_out,
            )
            .join(PaperQuestion, PaperQuestion.id == GradeChange.paper_question_id)
            .subquery()
        )
        rows = self.connection.execute(
            select(
                Paper.id,
                Paper.person_id,
                Quiz.title,
                Quiz.by_id,
                _raw(Paper.closed_at),
                Paper.sheet,
                Paper.closed_how,
                Quiz.pass_mark,
                cast(Quiz.deciding, Text),
                changes.c.position,
                changes.c.at,
                changes.c.after,
                changes.c.by_id,
                changes.c.left_out,
                changes.c.id,
            )
            .join(Quiz, Quiz.id == Paper.quiz_id)
            .outerjoin(changes, changes.c.paper_id == Paper.id)
            # A paper taken back before it was opened was never sat; it says nothing of the person.
            .where(
                Paper.closed_at.is_not(None),
                or_(Paper.closed_how.is_distinct_from("taken back"), Paper.opened_at.is_not(None)),
                self.only(Paper.person_id),
            )
            .order_by(Paper.id)  # as they lie; the few changes are put in order below
        ).all()
        found: dict[int, list[PaperEvidence]] = defaultdict(list)
        days, moments, sheets = self.days, self.moments, self.sheets
        for paper, of_paper in groupby(rows, key=itemgetter(0)):
            first, *more = of_paper
            _, person, title, by_id, closed, text, how, mark, deciding, position, *_ = first
            sheet = sheets[text]
            if position is not None:
                sheet = self._changed(sheet, (first, *more))
            evidence = PaperEvidence(paper, title, by_id, days[closed], sheet, moments[closed])
            if deciding is not None:
                evidence = _decides(evidence, how, mark, self.deciding[deciding])
            found[person].append(evidence)
        return found

    def _changed(self, sheet: Sheet, rows: Iterable[Any]) -> Sheet:
        """The answers with the changes of their grades, in the order they were made."""
        changes: dict[int, list[GradeChangeEvidence]] = defaultdict(list)
        for position, at, after, by_id, left_out, _ in (row[9:] for row in sorted(rows, key=itemgetter(14))):
            changes[position].append(GradeChangeEvidence(self.days[at], after, by_id, bool(left_out)))
        return Sheet(
            [replace(one, changes=tuple(changes[position])) for position, one in enumerate(sheet, start=1)]
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
                _together(SignOff.criteria, SignOff.fails, SignOff.measures),
            )
            .join(Person, Person.id == SignOff.observer_id)
            .where(self.only(SignOff.person_id))
            .order_by(SignOff.id)
        ).all()
        days, sound = self.days, self.sound
        for person, number, task, version, by_id, by, passed, at, seen in rows:
            found[person].append(
                SignOffEvidence(
                    number,
                    task,
                    version,
                    by_id,
                    by,
                    passed,
                    passed and sound[seen],
                    days[at],
                )
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
                Grant.id.in_(select(GrantDoubt.grant_id).where(GrantDoubt.settled_at.is_(None))),
            )
            .join(Person, Person.id == Grant.by_id)
            .where(self.only(Grant.person_id))
            .order_by(Grant.id)
        )
        moments = self.moments
        for person, number, clearance, version, by_id, by, since, until, at, doubted in rows:
            found[person].append(
                GrantEvidence(number, clearance, version, by_id, by, since, until, moments[at])
            )
            if doubted:
                self.doubted.add((person, clearance))
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
    accepted: list[AcceptanceEvidence], readings: Collection[ReadingEvidence]
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
    return evidence._replace(answers=answers, least_right=least, mark=mark)


def _together(*columns: InstrumentedAttribute[Any]) -> ColumnElement[str]:
    """Values of JSON in one text, a line for each; JSON as it is written holds no line's end."""
    first, *others = [cast(column, Text) for column in columns]
    return reduce(lambda text, column: text + "\n" + column, others, first)


def _raw(column: InstrumentedAttribute[Any]) -> ColumnElement[Any]:
    """A time as it lies in the store."""
    return type_coerce(column, String)


def is_sound(criteria: list[Any], fails: list[Any], measures: dict[str, Any]) -> bool:
    """Whether nothing in a sign-off contradicts that it was passed."""
    criteria_met = bool(criteria) and all(met is True for met in criteria)
    return criteria_met and not fails and all(one.get("ok") is not False for one in measures.values())
