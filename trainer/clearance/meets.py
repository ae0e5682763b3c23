"""Each kind of requirement against what is known of a person on one day: met or not, by what, until when, and why."""

from __future__ import annotations

from datetime import date
from typing import Final

from trainer.clearance.asked import Asked, Line, Stands, last_day
from trainer.clearance.evidence import SignOffEvidence
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
        self.name, self.lesson = need.lesson, rules.lessons.get(need.lesson)
        if self.lesson is not None:
            self.present = self.lesson.version
            self.accepts = self.lesson.oldest if need.version is None else need.version

    def line(self, known: Known, stands: Stands) -> Line:
        if self.lesson is None:
            return self.not_met[NO_LESSON]
        days = known.readings.get(self.name)
        if not days:
            return self.not_met[NOT_READ]
        newest_one = None
        for read, version in days:
            if self.accepts <= version <= self.present and (newest_one is None or newest_one < read):
                newest_one = read
        if newest_one is not None:
            return Line(self, True, None, (newest_one,))
        accepted = [
            acceptance.version
            for acceptance in known.acceptances
            if (acceptance.lesson, acceptance.present) == (self.name, self.present)
            and acceptance.holds(known.person_id, self.on)
        ]
        older = [
            (read, version) for read, version in days if accepted and min(accepted) <= version < self.present
        ]
        return Line(self, True, None, max(older)) if older else self.not_met[CHANGED_SINCE]

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


class SignOffAsked(Asked):
    def __init__(self, need: SignOffRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.times, self.task = need.task, need.times, rules.tasks.get(need.task)
        if self.task is not None:
            self.accepts, self.present = self.task.accepts, self.task.version

    def line(self, known: Known, stands: Stands) -> Line:
        if self.task is None:
            return self.not_met[NO_TASK]
        out_of_date = False
        in_date: list[SignOffEvidence] = []
        for one in known.sign_offs.get(self.name, ()):  # newest first
            if not one.passed:
                return self._fault(out_of_date, in_date, one)
            if (
                one.sound
                and one.observer_id is not None
                and one.observer_id != known.person_id
                and self.accepts <= one.version <= self.present
            ):
                if one.on is None or one.on < self.oldest:
                    out_of_date = True
                elif not in_date or all(one.id != other.id for other in in_date):
                    in_date.append(one)
                    if len(in_date) == self.times:
                        return Line(self, True, last_day(one.on, self.days), tuple(in_date))
        return self._fault(out_of_date, in_date, None)

    def said(self, *seen: SignOffEvidence) -> Saying:
        """seen: newest first."""
        who = ", ".join(dict.fromkeys([one.observer for one in seen]))
        return saying("Signed off by {who} on {day}", "Evaluada por {who} el {day}", who=who, day=seen[0].on)

    def _fault(
        self, out_of_date: bool, in_date: list[SignOffEvidence], failed: SignOffEvidence | None
    ) -> Line:
        if failed is not None and not in_date and not out_of_date:
            return self.unmet(
                saying(
                    "Not passed on {day}; it must be passed again.",
                    "No aprobada el {day}; hay que aprobarla de nuevo.",
                    day=failed.on,
                )
            )
        if out_of_date and not in_date:
            return self.not_met[SIGN_OFF_RAN_OUT]
        if in_date:
            have, times = len(in_date), self.times
            return self.unmet(
                saying("{have} of {times} so far.", "{have} de {times} hasta ahora.", have=have, times=times)
            )
        return self.not_met[NOT_SIGNED_OFF]


class CertificateAsked(Asked):
    def __init__(self, need: CertificateRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.kind = need.certificate, rules.certificates.get(need.certificate)

    def line(self, known: Known, stands: Stands) -> Line:
        if self.kind is None:
            return self.not_met[NO_KIND]
        on = self.on
        on_record = [c for c in known.certificates.get(self.name, ()) if c.on_record(on)]
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
            return Line(self, True, None, (endless[0].issuer,))
        if good:
            last, certificate = max(good, key=lambda pair: pair[0])
            return Line(self, True, last, (certificate.issuer,))
        if dated:
            ran_out = newest(last for last, _ in dated)
            return self.unmet(saying("Ran out on {last}.", "Venció el {last}.", last=ran_out))
        if others:
            return self.not_met[DATES_UNREADABLE]
        return self.not_met[ENTERED_BY_ONESELF if held else WITHDRAWN]

    def said(self, issuer: str) -> Saying:
        return saying("Issued by {issuer}", "Expedida por {issuer}", issuer=issuer)


class ClearanceAsked(Asked):
    def __init__(self, need: ClearanceRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.name, self.exists = need.clearance, need.clearance in rules.clearances

    def line(self, known: Known, stands: Stands) -> Line:
        other = stands(self.name) if self.exists else None
        if other is None:
            return self.not_met[NOT_LOOKED_UP]
        cleared, last, state = other
        return Line(self, cleared, last if cleared else None, (state,))

    def said(self, state: str) -> Saying:
        name = self.rules.clearance_name(self.name)
        if state == "cleared":
            return saying("{name} stands", "{name} está vigente", name=name)
        return saying("{name}: {state}.", "{name}: {state}.", name=name, state=STATES[state])


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
