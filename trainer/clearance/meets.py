"""Each kind of requirement against what is known of a person on one day: met or not, by what, until when, and why."""

from __future__ import annotations

from datetime import date
from operator import itemgetter
from typing import Final

from trainer.clearance.asked import Asked, Met, Stands, last_day
from trainer.clearance.evidence import CertificateEvidence, SignOffEvidence
from trainer.clearance.known import Known, newest
from trainer.clearance.meets_quiz import QuizAsked
from trainer.clearance.requirements import (
    CertificateRequirement,
    ClearanceRequirement,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
)
from trainer.clearance.words import STATES, Saying, saying

NO_LESSON: Final = saying("No lesson has that name.", "Ninguna lección tiene ese nombre.")
NOT_READ: Final = saying("Not read yet.", "Aún no se ha leído.")
CHANGED_SINCE: Final = saying("The lesson changed since it was read.", "La lección cambió desde que se leyó.")
NO_TASK: Final = saying("No task has that name.", "Ninguna tarea tiene ese nombre.")
SIGN_OFF_RAN_OUT: Final = saying("The last one ran out.", "La última ya venció.")
NOT_SIGNED_OFF: Final = saying("Not signed off yet.", "Aún no se ha evaluado.")
NO_KIND: Final = saying("No kind of certificate has that name.", "Ninguna constancia tiene ese nombre.")
DATES_UNREADABLE: Final = saying(
    "Its dates cannot be read, or lie ahead.",
    "Sus fechas no se leen o están por venir.",
)
ENTERED_BY_ONESELF: Final = saying(
    "One entered by oneself does not count.",
    "No cuenta la que registra uno mismo.",
)
WITHDRAWN: Final = saying("It was withdrawn.", "Fue retirada.")
NONE_ON_RECORD: Final = saying("None on record.", "No hay ninguna registrada.")
NOT_LOOKED_UP: Final = saying("It cannot be looked up.", "No se puede consultar.")


class LessonAsked(Asked):
    def __init__(self, need: LessonRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.lesson = need.lesson, rules.lessons.get(need.lesson)
        if self.lesson is not None:
            self.present = self.lesson.version
            self.accepts = self.lesson.oldest if need.version is None else need.version

    def meets(self, known: Known, stands: Stands) -> Met | None:
        days = known.readings.get(self.name)
        if self.lesson is None or not days:
            return None
        newest_one = None
        for read, version in days:
            if self.accepts <= version <= self.present and (newest_one is None or newest_one < read):
                newest_one = read
        if newest_one is not None:
            return None, (newest_one,)
        accepted = [
            acceptance.version
            for acceptance in known.acceptances
            if (acceptance.lesson, acceptance.present) == (self.name, self.present)
            and acceptance.holds(known.person_id, self.on)
        ]
        older = [
            (read, version) for read, version in days if accepted and min(accepted) <= version < self.present
        ]
        return (None, max(older)) if older else None

    def said(self, read: date, version: int | None = None) -> Saying:
        """version: of an older one that is accepted."""
        if version is None:
            return saying("Read on {read}", "Leída el {read}", read=read)
        return saying(
            "Version {version}, accepted, read on {read}",
            "Versión {version}, aceptada, leída el {read}",
            version=version,
            read=read,
        )

    def fault(self, known: Known, stands: Stands) -> Saying:
        if self.lesson is None:
            return NO_LESSON
        return CHANGED_SINCE if known.readings.get(self.name) else NOT_READ


class SignOffAsked(Asked):
    def __init__(self, need: SignOffRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.times, self.task = need.task, need.times, rules.tasks.get(need.task)
        if self.task is not None:
            self.accepts, self.present = self.task.accepts, self.task.version

    def meets(self, known: Known, stands: Stands) -> Met | None:
        if self.task is None:
            return None
        in_date = self._in_date(known)
        if not in_date or len(in_date) < self.times:
            return None
        oldest = in_date[-1].on
        assert oldest is not None
        return last_day(oldest, self.span), tuple(in_date)

    def said(self, *seen: SignOffEvidence) -> Saying:
        """seen: newest first."""
        who = ", ".join(dict.fromkeys([one.observer for one in seen]))
        return saying("Signed off by {who} on {day}", "Evaluada por {who} el {day}", who=who, day=seen[0].on)

    def fault(self, known: Known, stands: Stands) -> Saying:
        if self.task is None:
            return NO_TASK
        have = len(self._in_date(known))
        if have:
            return saying(
                "{have} of {times} so far.", "{have} de {times} hasta ahora.", have=have, times=self.times
            )
        for one in known.sign_offs.get(self.name, ()):
            if not one.passed:
                return saying(
                    "Not passed on {day}; it must be passed again.",
                    "No aprobada el {day}; hay que aprobarla de nuevo.",
                    day=one.on,
                )
            if self._counts(one, known):
                return SIGN_OFF_RAN_OUT
        return NOT_SIGNED_OFF

    def _in_date(self, known: Known) -> list[SignOffEvidence]:
        """Those that count on the day, newest first, as many as are asked for; none from before one that was not passed."""
        found: list[SignOffEvidence] = []
        for one in known.sign_offs.get(self.name, ()):
            if not one.passed:
                break
            if not self._counts(one, known) or one.on is None or one.on < self.oldest:
                continue
            if all(one.id != other.id for other in found):
                found.append(one)
            if len(found) == self.times:
                break
        return found

    def _counts(self, one: SignOffEvidence, known: Known) -> bool:
        """Whether one that was passed counts, were it of today."""
        return (
            one.sound
            and one.observer_id is not None
            and one.observer_id != known.person_id
            and self.accepts <= one.version <= self.present
        )


class CertificateAsked(Asked):
    def __init__(self, need: CertificateRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.kind = need.certificate, rules.certificates.get(need.certificate)

    def meets(self, known: Known, stands: Stands) -> Met | None:
        if self.kind is None:
            return None
        issued = self._issued(self._by_others(known))
        for one in issued:
            if self.kind.endless and one.never_expires and one.expires is None:
                return None, (one.issuer,)
        good = [(last, one.issuer) for one in issued if (last := _last_of(one)) and self.on <= last]
        if not good:
            return None
        last, issuer = max(good, key=itemgetter(0))
        return last, (issuer,)

    def said(self, issuer: str) -> Saying:
        return saying("Issued by {issuer}", "Expedida por {issuer}", issuer=issuer)

    def fault(self, known: Known, stands: Stands) -> Saying:
        if self.kind is None:
            return NO_KIND
        on_record = [one for one in known.certificates.get(self.name, ()) if one.on_record(self.on)]
        if not on_record:
            return NONE_ON_RECORD
        others = self._by_others(known)
        if not others:
            return WITHDRAWN if all(one.taken_back(self.on) for one in on_record) else ENTERED_BY_ONESELF
        ran_out = newest(_last_of(one) for one in self._issued(others))
        if ran_out is None:
            return DATES_UNREADABLE
        return saying("Ran out on {last}.", "Venció el {last}.", last=ran_out)

    def _by_others(self, known: Known) -> list[CertificateEvidence]:
        """Those on record and not withdrawn that someone else entered."""
        return [
            one
            for one in known.certificates.get(self.name, ())
            if one.on_record(self.on)
            and not one.taken_back(self.on)
            and one.entered_by_id is not None
            and one.entered_by_id != known.person_id
        ]

    def _issued(self, certificates: list[CertificateEvidence]) -> list[CertificateEvidence]:
        """Those issued by the day; one without a day of issue was not."""
        return [one for one in certificates if one.issued is not None and one.issued <= self.on]


def _last_of(certificate: CertificateEvidence) -> date | None:
    """The last good day of one that runs out; None when it does not say so clearly."""
    issued, expires = certificate.issued, certificate.expires
    if issued is None or expires is None or certificate.never_expires or issued > expires:
        return None
    return expires


class ClearanceAsked(Asked):
    def __init__(self, need: ClearanceRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.exists = need.clearance, need.clearance in rules.clearances

    def meets(self, known: Known, stands: Stands) -> Met | None:
        other = stands(self.name) if self.exists else None
        if other is None:
            return None
        cleared, last, _state = other
        return (last, ()) if cleared else None

    def said(self, *seen: object) -> Saying:
        return saying("{name} stands", "{name} está vigente", name=self.rules.clearance_name(self.name))

    def fault(self, known: Known, stands: Stands) -> Saying:
        other = stands(self.name) if self.exists else None
        if other is None:
            return NOT_LOOKED_UP
        name, state = self.rules.clearance_name(self.name), STATES[other[2]]
        return saying("{name}: {state}.", "{name}: {state}.", name=name, state=state)


def asked(need: Requirement, rules: Rules, on: date) -> Asked:
    """The requirement made ready for that day."""
    match need:
        case LessonRequirement():
            return LessonAsked(need, rules, on)
        case QuizRequirement():
            return QuizAsked(need, rules, on)
        case SignOffRequirement():
            return SignOffAsked(need, rules, on)
        case CertificateRequirement():
            return CertificateAsked(need, rules, on)
        case ClearanceRequirement():
            return ClearanceAsked(need, rules, on)
    return Asked(need, rules, on)
