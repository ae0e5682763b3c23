"""What the records hold toward clearance, for some people or for all, in a constant number of statements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from datetime import date

from sqlalchemy import or_, select
from sqlalchemy.orm import Session, aliased

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
from trainer.records.as_stored import Times, only, raw, rows_of
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
    return all_evidence(session, (person_id,)).get(person_id, Evidence(person_id))


def all_evidence(session: Session, people: Collection[int] | None = None) -> Mapping[int, Evidence]:
    """Everything known by person: of everyone, or of those. Eight statements, and one for the shop's zone."""
    return _Loader(session, people).evidence()


def away_on(session: Session, on: date) -> frozenset[int]:
    """Who was deactivated at the end of that day."""
    absences = _Loader(session, None).people()
    return frozenset(id for id, those in absences.items() if Evidence(id, absences=tuple(those)).away(on))


def doubted(session: Session) -> frozenset[tuple[int, str]]:
    """The (person, clearance) of the grants in doubt that no owner has looked at."""
    query = select(Grant.person_id, Grant.clearance).join(GrantDoubt, GrantDoubt.grant_id == Grant.id)
    rows = session.execute(query.where(GrantDoubt.settled_at.is_(None)))
    return frozenset((person, clearance) for person, clearance in rows)


class _Loader:
    """The rows behind the evidence, grouped by person.

    Everyone's evidence is tens of thousands of rows, so they are read as plain tuples, times and JSON as they lie
    in the store, and each different value is turned into its Python form once.
    """

    def __init__(self, session: Session, people: Collection[int] | None) -> None:
        session.flush()
        self.session, self.connection, self.only_of = session, session.connection(), people
        self.times = Times(self.connection.dialect, zone_in_shop(session))
        self.day, self.moment = self.times.day, self.times.moment

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

    def readings(self) -> dict[int, list[ReadingEvidence]]:
        found: dict[int, list[ReadingEvidence]] = defaultdict(list)
        rows = rows_of(
            self.connection,
            select(
                LessonReading.person_id, LessonReading.lesson, LessonReading.version, raw(LessonReading.at)
            )
            .where(only(LessonReading.person_id, self.only_of))
            .order_by(LessonReading.id),
        )
        day = self.day
        for person, lesson, version, at in rows:
            found[person].append(ReadingEvidence(lesson, version, day(at)))
        return found

    def papers(self) -> dict[int, list[PaperEvidence]]:
        return Papers(self.connection, self.times, self.only_of).by_person()

    def sign_offs(self) -> dict[int, list[SignOffEvidence]]:
        found: dict[int, list[SignOffEvidence]] = defaultdict(list)
        rows = rows_of(
            self.connection,
            select(
                SignOff.person_id,
                SignOff.id,
                SignOff.task,
                SignOff.version,
                SignOff.observer_id,
                Person.name,
                SignOff.passed,
                SignOff.passed & SignOff.sound,
                raw(SignOff.at),
            )
            .join(Person, Person.id == SignOff.observer_id)
            .where(only(SignOff.person_id, self.only_of))
            .order_by(SignOff.id),
        )
        day = self.day
        for person, number, task, version, by_id, by, passed, sound, at in rows:
            found[person].append(
                SignOffEvidence(number, task, version, by_id, by, bool(passed), bool(sound), day(at))
            )
        return found

    def certificates(self) -> dict[int, list[CertificateEvidence]]:
        found: dict[int, list[CertificateEvidence]] = defaultdict(list)
        rows = rows_of(
            self.connection,
            select(
                Certificate.person_id,
                Certificate.id,
                Certificate.kind,
                Certificate.issuer,
                raw(Certificate.issued),
                raw(Certificate.expires),
                raw(Certificate.entered_on),
                Certificate.by_id,
                or_(Certificate.withdrawn_at.is_not(None), Certificate.withdrawn_on.is_not(None)),
                raw(Certificate.withdrawn_on),
            )
            .where(only(Certificate.person_id, self.only_of))
            .order_by(Certificate.id),
        )
        dated = self.times.date
        for person, number, kind, issuer, issued, expires, entered, by_id, withdrawn, withdrawn_on in rows:
            found[person].append(
                CertificateEvidence(
                    number,
                    kind,
                    issuer,
                    dated(issued),
                    dated(expires),
                    expires is None,
                    dated(entered),
                    by_id,
                    bool(withdrawn),
                    dated(withdrawn_on),
                )
            )
        return found

    def grants(self) -> dict[int, list[GrantEvidence]]:
        found: dict[int, list[GrantEvidence]] = defaultdict(list)
        rows = rows_of(
            self.connection,
            select(
                Grant.person_id,
                Grant.id,
                Grant.clearance,
                Grant.version,
                Grant.by_id,
                Person.name,
                raw(Grant.since),
                raw(Grant.until),
                raw(Grant.at),
            )
            .join(Person, Person.id == Grant.by_id)
            .where(only(Grant.person_id, self.only_of))
            .order_by(Grant.id),
        )
        dated, moment = self.times.date, self.moment
        for person, number, clearance, version, by_id, by, since, until, at in rows:
            found[person].append(
                GrantEvidence(number, clearance, version, by_id, by, dated(since), dated(until), moment(at))
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
            .where(only(Suspension.person_id, self.only_of))
            .order_by(Suspension.id)
        )
        for person, number, clearance, by_whom, since, reason, lifted_by, lifted_on in rows:
            found[person].append(
                SuspensionEvidence(number, clearance, by_whom, since, reason, lifted_by, lifted_on)
            )
        return found

    def people(self) -> dict[int, list[AbsenceEvidence]]:
        """Each of them, with their absences."""
        found: dict[int, list[AbsenceEvidence]] = defaultdict(list)
        rows = self.connection.execute(
            select(Person.id, raw(Absence.left_at), raw(Absence.back_at))
            .outerjoin(Absence, Absence.person_id == Person.id)
            .where(only(Person.id, self.only_of))
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
