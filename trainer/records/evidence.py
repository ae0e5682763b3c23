"""What the records hold toward clearance, for one person or for all, in a constant number of statements."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Mapping
from typing import Any

from sqlalchemy import ColumnElement, select, true
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from trainer.clearance import (
    AbsenceEvidence,
    AcceptanceEvidence,
    CertificateEvidence,
    Evidence,
    GrantEvidence,
    PaperEvidence,
    ReadingEvidence,
    SignOffEvidence,
    SuspensionEvidence,
)
from trainer.clearance.memo import Memo
from trainer.records.as_stored import Times, raw, together
from trainer.records.evidence_papers import Papers
from trainer.records.models import (
    Absence,
    Certificate,
    Grant,
    GrantDoubt,
    LessonAcceptance,
    LessonReading,
    Person,
    SignOff,
    Suspension,
)
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
        self.times = Times(self.connection.dialect, zone_in_shop(session))
        self.day, self.moment = self.times.day, self.times.moment
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

    def only(self, column: InstrumentedAttribute[int]) -> ColumnElement[bool]:
        return true() if self.person_id is None else column == self.person_id

    def readings(self) -> dict[int, list[ReadingEvidence]]:
        found: dict[int, list[ReadingEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(
                LessonReading.person_id, LessonReading.lesson, LessonReading.version, raw(LessonReading.at)
            )
            .where(self.only(LessonReading.person_id))
            .order_by(LessonReading.id)
        ).all()
        day = self.day
        for person, lesson, version, at in rows:
            found[person].append(ReadingEvidence(lesson, version, day(at)))
        return found

    def papers(self) -> dict[int, list[PaperEvidence]]:
        return Papers(self.connection, self.times, self.person_id).by_person()

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
                raw(SignOff.at),
                together(SignOff.criteria, SignOff.fails, SignOff.measures),
            )
            .join(Person, Person.id == SignOff.observer_id)
            .where(self.only(SignOff.person_id))
            .order_by(SignOff.id)
        ).all()
        day, sound = self.day, self.sound
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
                    day(at),
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
                raw(Grant.at),
                Grant.id.in_(select(GrantDoubt.grant_id).where(GrantDoubt.settled_at.is_(None))),
            )
            .join(Person, Person.id == Grant.by_id)
            .where(self.only(Grant.person_id))
            .order_by(Grant.id)
        )
        moment = self.moment
        for person, number, clearance, version, by_id, by, since, until, at, doubted in rows:
            found[person].append(
                GrantEvidence(number, clearance, version, by_id, by, since, until, moment(at))
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
            select(Person.id, raw(Absence.left_at), raw(Absence.back_at))
            .outerjoin(Absence, Absence.person_id == Person.id)
            .where(self.only(Person.id))
            .order_by(Absence.id)
        )
        for person, left, back in rows:
            absences = found[person]
            if left is not None:
                returned = (self.day(back), self.moment(back)) if back is not None else (None, None)
                absences.append(AbsenceEvidence(self.day(left), *returned))
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


def is_sound(criteria: list[Any], fails: list[Any], measures: dict[str, Any]) -> bool:
    """Whether nothing in a sign-off contradicts that it was passed."""
    criteria_met = bool(criteria) and all(met is True for met in criteria)
    return criteria_met and not fails and all(one.get("ok") is not False for one in measures.values())
