"""Each kind of requirement against what is known of a person on one day: met or not, by what, until when, and why."""

from __future__ import annotations

from datetime import date
from typing import Final

from trainer.clearance.asked import Asked, Line, Stands, first_day, last_day
from trainer.clearance.evidence import SignOffEvidence
from trainer.clearance.known import Known, newest
from trainer.clearance.meets_quiz import QuizAsked
from trainer.clearance.memo import Memo
from trainer.clearance.requirements import (
    CertificateRequirement,
    ClearanceRequirement,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
)
from trainer.clearance.words import say
from trainer.languages import Text

NO_LESSON: Final = ("No lesson has that name.", "Ninguna lección tiene ese nombre.")
NOT_READ: Final = ("Not read yet.", "Aún no se ha leído.")
CHANGED_SINCE: Final = ("The lesson changed since it was read.", "La lección cambió desde que se leyó.")
NO_TASK: Final = ("No task has that name.", "Ninguna tarea tiene ese nombre.")
SIGN_OFF_RAN_OUT: Final = ("The last one ran out.", "La última ya venció.")
NOT_SIGNED_OFF: Final = ("Not signed off yet.", "Aún no se ha evaluado.")
NO_KIND: Final = ("No kind of certificate has that name.", "Ninguna constancia tiene ese nombre.")
DATES_UNREADABLE: Final = (
    "Its dates cannot be read, or lie ahead.",
    "Sus fechas no se leen o están por venir.",
)
ENTERED_BY_ONESELF: Final = (
    "One entered by oneself does not count.",
    "No cuenta la que registra uno mismo.",
)
WITHDRAWN: Final = ("It was withdrawn.", "Fue retirada.")
NONE_ON_RECORD: Final = ("None on record.", "No hay ninguna registrada.")
NOT_LOOKED_UP: Final = ("It cannot be looked up.", "No se puede consultar.")


class LessonAsked(Asked):
    def __init__(self, need: LessonRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.need, self.lesson = need, rules.lessons.get(need.lesson)
        if self.lesson is not None:
            self.present = self.lesson.version
            self.oldest = self.lesson.oldest if need.version is None else need.version
        self.read_on: Memo[date, Line] = Memo(
            lambda read: self.met(say("Read on {read}", "Leída el {read}", read=read))
        )

    def line(self, known: Known, stands: Stands) -> Line:
        if self.lesson is None:
            return self.not_met[NO_LESSON]
        days = known.readings.get(self.need.lesson)
        if not days:
            return self.not_met[NOT_READ]
        counting = [read for read, version in days if self.oldest <= version <= self.present]
        if counting:
            return self.read_on[max(counting)]
        accepted = [
            acceptance.version
            for acceptance in known.acceptances
            if (acceptance.lesson, acceptance.present) == (self.need.lesson, self.present)
            and acceptance.holds(known.person_id, self.on)
        ]
        older = [
            (read, version) for read, version in days if accepted and min(accepted) <= version < self.present
        ]
        if not older:
            return self.not_met[CHANGED_SINCE]
        read, version = max(older)
        return self.met(
            say(
                "Version {version}, accepted, read on {read}",
                "Versión {version}, aceptada, leída el {read}",
                version=version,
                read=read,
            )
        )


class SignOffAsked(Asked):
    def __init__(self, need: SignOffRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.need, self.task = need, rules.tasks.get(need.task)
        if self.task is not None:
            self.accepts, self.present = self.task.accepts, self.task.version
        self.oldest = first_day(on, need.within_days)
        self.signed: Memo[tuple[str, date, date], Line] = Memo(self._signed)

    def line(self, known: Known, stands: Stands) -> Line:
        if self.task is None:
            return self.not_met[NO_TASK]
        passes: list[SignOffEvidence] = []
        failed = None
        for one in known.sign_offs.get(self.need.task, ()):  # newest first
            if not one.passed:
                failed = one
                break
            if (
                one.sound
                and one.observer_id is not None
                and one.observer_id != known.person_id
                and self.accepts <= one.version <= self.present
                and all(one.id != other.id for other in passes)
            ):
                passes.append(one)
        in_date = [one for one in passes if one.on is not None and one.on >= self.oldest]
        times = self.need.times
        if 1 <= times <= len(in_date):
            who = [one.observer for one in in_date[:times]]
            newest_one, oldest_one = in_date[0].on, in_date[times - 1].on
            assert newest_one is not None and oldest_one is not None
            return self.signed[", ".join(dict.fromkeys(who)), newest_one, oldest_one]
        return self._fault(passes, in_date, failed)

    def _signed(self, seen: tuple[str, date, date]) -> Line:
        who, newest_one, oldest_one = seen
        by_what = say("Signed off by {who} on {day}", "Evaluada por {who} el {day}", who=who, day=newest_one)
        return self.met(by_what, last_day(oldest_one, self.need.within_days))

    def _fault(
        self, passes: list[SignOffEvidence], in_date: list[SignOffEvidence], failed: SignOffEvidence | None
    ) -> Line:
        if failed is not None and not passes:
            return self.unmet(
                say(
                    "Not passed on {day}; it must be passed again.",
                    "No aprobada el {day}; hay que aprobarla de nuevo.",
                    day=failed.on,
                )
            )
        if passes and not in_date:
            return self.not_met[SIGN_OFF_RAN_OUT]
        if in_date:
            have, times = len(in_date), self.need.times
            return self.unmet(
                say("{have} of {times} so far.", "{have} de {times} hasta ahora.", have=have, times=times)
            )
        return self.not_met[NOT_SIGNED_OFF]


class CertificateAsked(Asked):
    def __init__(self, need: CertificateRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.need, self.kind = need, rules.certificates.get(need.certificate)

    def line(self, known: Known, stands: Stands) -> Line:
        if self.kind is None:
            return self.not_met[NO_KIND]
        on = self.on
        on_record = [c for c in known.certificates.get(self.need.certificate, ()) if c.on_record(on)]
        if not on_record:
            return self.not_met[NONE_ON_RECORD]
        held = [c for c in on_record if not c.taken_back(on)]
        others = [c for c in held if c.entered_by_id is not None and c.entered_by_id != known.person_id]
        issued = [c for c in others if c.issued is not None and c.issued <= on]
        endless = [c for c in issued if self.kind.endless and c.never_expires and c.expires is None]
        dated = [
            (c.expires, c)
            for c in issued
            if c.expires is not None
            and not c.never_expires
            and c.issued is not None
            and c.issued <= c.expires
        ]
        good = [(last, c) for last, c in dated if on <= last]
        if endless:
            return self.met(_issued_by(endless[0].issuer))
        if good:
            last, certificate = max(good, key=lambda pair: pair[0])
            return self.met(_issued_by(certificate.issuer), last)
        if dated:
            ran_out = newest(last for last, _ in dated)
            return self.unmet(say("Ran out on {last}.", "Venció el {last}.", last=ran_out))
        if others:
            return self.not_met[DATES_UNREADABLE]
        return self.not_met[ENTERED_BY_ONESELF if held else WITHDRAWN]


def _issued_by(issuer: str) -> Text:
    return say("Issued by {issuer}", "Expedida por {issuer}", issuer=issuer)


class ClearanceAsked(Asked):
    def __init__(self, need: ClearanceRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.need, self.exists = need, need.clearance in rules.clearances
        self.stood: Memo[tuple[bool, date | None, Text], Line] = Memo(self._stood)

    def line(self, known: Known, stands: Stands) -> Line:
        other = stands(self.need.clearance) if self.exists else None
        return self.not_met[NOT_LOOKED_UP] if other is None else self.stood[other]

    def _stood(self, other: tuple[bool, date | None, Text]) -> Line:
        cleared, last, state = other
        name = self.rules.clearance_name(self.need.clearance)
        if cleared:
            return self.met(say("{name} stands", "{name} está vigente", name=name), last)
        return self.unmet(say("{name}: {state}.", "{name}: {state}.", name=name, state=state))


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
