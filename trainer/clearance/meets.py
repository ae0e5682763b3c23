"""One requirement against the evidence on one day: met or not, by what, until when, and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from trainer.clearance.evidence import EXACT, Evidence, SignOffEvidence
from trainer.clearance.needs import needed
from trainer.clearance.requirements import (
    CertificateRequirement,
    ClearanceRequirement,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
)
from trainer.clearance.sat import SatPaper
from trainer.clearance.words import joined, say, until
from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Line:
    """One requirement of a standing.

    until: the last good day, None when it does not run out or is not met
    by_what: what meets it, None when nothing does; why_not: None when it is met
    """

    requirement: Requirement
    met: bool
    until: date | None
    by_what: Text | None
    why_not: Text | None
    rules: Rules = field(repr=False, compare=False)

    @property
    def what(self) -> Text:
        """What is needed. Put in words only when asked: a board has thousands of lines that nobody reads."""
        return needed(self.requirement, self.rules)

    @property
    def reason(self) -> Text:
        """Why it is met or not."""
        if self.by_what is None:
            return self.why_not or self.what
        return say("{by_what}{until}.", "{by_what}{until}.", by_what=self.by_what, until=until(self.until))


def last_day(start: date, days: int | None) -> date | None:
    """The last day on which what happened on `start` still counts, None when it does not run out."""
    if days is None:
        return None
    try:
        return start + timedelta(days=days)
    except OverflowError:
        return date.max


def first_day(on: date, days: int | None) -> date:
    """The first day of which what happened still counts on `on`."""
    try:
        return date.min if days is None else on - timedelta(days=days)
    except OverflowError:
        return date.min


def unmet(need: Requirement, rules: Rules, why: Text) -> Line:
    return Line(need, False, None, None, why, rules)


def met(need: Requirement, rules: Rules, by_what: Text, last: date | None) -> Line:
    return Line(need, True, last, by_what, None, rules)


def lesson_line(need: LessonRequirement, evidence: Evidence, on: date, rules: Rules) -> Line:
    lesson = rules.lessons.get(need.lesson)
    if lesson is None:
        return unmet(need, rules, say("No lesson has that name.", "Ninguna lección tiene ese nombre."))
    oldest = lesson.oldest if need.version is None else need.version
    days = [
        (reading.on, reading.version)
        for reading in evidence.readings
        if reading.lesson == need.lesson and reading.on is not None and reading.on <= on
    ]
    counting = [read for read, version in days if oldest <= version <= lesson.version]
    if counting:
        return met(need, rules, say("Read on {read}", "Leída el {read}", read=max(counting)), None)
    accepted = [
        acceptance.version
        for acceptance in evidence.acceptances
        if (acceptance.lesson, acceptance.present) == (need.lesson, lesson.version)
        and acceptance.holds(evidence.person_id, on)
    ]
    older = [
        (read, version) for read, version in days if accepted and min(accepted) <= version < lesson.version
    ]
    if older:
        read, version = max(older)
        by_what = say(
            "Version {version}, accepted, read on {read}",
            "Versión {version}, aceptada, leída el {read}",
            version=version,
            read=read,
        )
        return met(need, rules, by_what, None)
    if days:
        return unmet(
            need, rules, say("The lesson changed since it was read.", "La lección cambió desde que se leyó.")
        )
    return unmet(need, rules, say("Not read yet.", "Aún no se ha leído."))


def quiz_line(need: QuizRequirement, papers: Sequence[SatPaper], person_id: int, rules: Rules) -> Line:
    """papers: everything the person handed in by the day, as it stood on it."""
    skills = frozenset(need.skills)
    newest = _newest([sat for sat in papers if skills and skills <= sat.sheet.skills])
    if not newest:
        return unmet(
            need,
            rules,
            say("No paper on all of these handed in yet.", "Aún no entrega un examen sobre todo esto."),
        )
    for sat in newest:
        fault = _paper_fault(sat, need, person_id, rules)
        if fault is not None:
            return unmet(need, rules, fault)
    handed_in = _handed_in(newest[0])
    by_what = say(
        "{title}: {score} % on {day}",
        "{title}: {score} % el {day}",
        title=newest[0].paper.title,
        score=int(newest[0].score(skills) + EXACT),
        day=handed_in,
    )
    return met(need, rules, by_what, last_day(handed_in, need.within_days))


def _newest(papers: list[SatPaper]) -> list[SatPaper]:
    """Those than which no other is known to be newer: most often one. All of them must count.

    What cannot be put in order may be the newest: a paper without a day, or without its moment on the newest day.
    """
    undated = [sat for sat in papers if sat.paper.handed_in is None]
    if undated or not papers:
        return undated
    day = max(map(_handed_in, papers))
    of_day = [sat for sat in papers if sat.paper.handed_in == day]
    moment = max((sat.paper.moment for sat in of_day if sat.paper.moment is not None), default=None)
    return [sat for sat in of_day if sat.paper.moment is None or sat.paper.moment == moment]


def _handed_in(sat: SatPaper) -> date:
    assert sat.paper.handed_in is not None
    return sat.paper.handed_in


def _paper_fault(sat: SatPaper, need: QuizRequirement, person_id: int, rules: Rules) -> Text | None:
    """Why the newest paper on the right skills does not count, None when it does."""
    paper = sat.paper
    if paper.handed_in is None:
        return say(
            "It cannot be read when a paper was handed in.", "No se puede leer cuándo se entregó un examen."
        )
    last = last_day(paper.handed_in, need.within_days)
    if last is not None and sat.on > last:
        return say("The last paper ran out on {last}.", "El último examen venció el {last}.", last=last)
    if not sat.sheet.readable:
        return say("The paper's grades cannot be read.", "No se pueden leer las calificaciones del examen.")
    if paper.assigned_by is None or paper.assigned_by == person_id:
        return say(
            "A paper assigned by oneself does not count.", "No cuenta un examen asignado por uno mismo."
        )
    if person_id in sat.sheet.changed_by:
        return say(
            "A paper graded by oneself does not count.", "No cuenta un examen calificado por uno mismo."
        )
    if not sat.is_clear:
        return say(
            "The paper of {day} did not show that its mark is reached.",
            "El examen del {day} no mostró que se alcanza la calificación.",
            day=paper.handed_in,
        )
    if paper.least_right is not None and (paper.mark is None or paper.mark < need.score):
        return say(
            "The paper of {day} was to decide for {mark} %; {score} % is needed.",
            "El examen del {day} decidía sobre {mark} %; se necesita {score} %.",
            day=paper.handed_in,
            mark=paper.mark or 0,
            score=need.score,
        )
    unasked = [
        skill
        for skill in need.skills
        if skill in rules.must_pass and skill not in sat.sheet.must_pass(sat.on)
    ]
    if unasked:
        return say(
            "The paper of {day} asked no must-pass question on {skills}.",
            "El examen del {day} no traía preguntas obligatorias sobre {skills}.",
            day=paper.handed_in,
            skills=joined(rules.skill_name(skill) for skill in unasked),
        )
    score = sat.score(frozenset(need.skills))
    if score < need.score - EXACT:
        return say(
            "{score} % on {day}; {mark} % is needed.",
            "{score} % el {day}; se necesita {mark} %.",
            score=int(score + EXACT),
            day=paper.handed_in,
            mark=need.score,
        )
    if not sat.must_pass_right:
        return say(
            "A must-pass question was wrong on {day}.",
            "El {day} contestó mal una pregunta obligatoria.",
            day=paper.handed_in,
        )
    return None


def sign_off_line(
    need: SignOffRequirement, sign_offs: Sequence[SignOffEvidence], person_id: int, on: date, rules: Rules
) -> Line:
    """sign_offs: the person's of that task, up to the day."""
    task = rules.tasks.get(need.task)
    if task is None:
        return unmet(need, rules, say("No task has that name.", "Ninguna tarea tiene ese nombre."))
    failed = max((_order(s) for s in sign_offs if not s.passed), default=None)
    counting = {
        s.id: s
        for s in sign_offs
        if s.passed
        and s.sound
        and s.observer_id is not None
        and s.observer_id != person_id
        and task.accepts <= s.version <= task.version
        and (failed is None or _order(s) > failed)
    }
    passes = sorted(counting.values(), key=_order, reverse=True)
    oldest = first_day(on, need.within_days)
    in_date = [s for s in passes if _on(s) >= oldest]
    if need.times >= 1 and len(in_date) >= need.times:
        by_what = say(
            "Signed off by {who} on {day}",
            "Evaluada por {who} el {day}",
            who=", ".join(dict.fromkeys(s.observer for s in in_date[: need.times])),
            day=_on(in_date[0]),
        )
        return met(need, rules, by_what, last_day(_on(in_date[need.times - 1]), need.within_days))
    return unmet(need, rules, _sign_off_fault(need, passes, in_date, failed))


def _on(sign_off: SignOffEvidence) -> date:
    assert sign_off.on is not None
    return sign_off.on


def _order(sign_off: SignOffEvidence) -> tuple[date, int]:
    return _on(sign_off), sign_off.id


def _sign_off_fault(
    need: SignOffRequirement,
    passes: list[SignOffEvidence],
    in_date: list[SignOffEvidence],
    failed: tuple[date, int] | None,
) -> Text:
    if failed is not None and not passes:
        return say(
            "Not passed on {day}; it must be passed again.",
            "No aprobada el {day}; hay que aprobarla de nuevo.",
            day=failed[0],
        )
    if passes and not in_date:
        return say("The last one ran out.", "La última ya venció.")
    if in_date:
        return say(
            "{have} of {times} so far.", "{have} de {times} hasta ahora.", have=len(in_date), times=need.times
        )
    return say("Not signed off yet.", "Aún no se ha evaluado.")


def certificate_line(need: CertificateRequirement, evidence: Evidence, on: date, rules: Rules) -> Line:
    kind = rules.certificates.get(need.certificate)
    if kind is None:
        return unmet(
            need, rules, say("No kind of certificate has that name.", "Ninguna constancia tiene ese nombre.")
        )
    on_record = [c for c in evidence.certificates if c.kind == need.certificate and c.on_record(on)]
    held = [c for c in on_record if not c.taken_back(on)]
    others = [c for c in held if c.entered_by_id is not None and c.entered_by_id != evidence.person_id]
    issued = [c for c in others if c.issued is not None and c.issued <= on]
    endless = [c for c in issued if kind.endless and c.never_expires and c.expires is None]
    dated = [
        (c.expires, c)
        for c in issued
        if c.expires is not None and not c.never_expires and c.issued is not None and c.issued <= c.expires
    ]
    good = [(last, c) for last, c in dated if on <= last]
    if endless:
        return met(need, rules, _certificate_name(endless[0].issuer), None)
    if good:
        last, certificate = max(good, key=lambda pair: pair[0])
        return met(need, rules, _certificate_name(certificate.issuer), last)
    if dated:
        return unmet(
            need, rules, say("Ran out on {last}.", "Venció el {last}.", last=max(d[0] for d in dated))
        )
    if others:
        return unmet(
            need,
            rules,
            say("Its dates cannot be read, or lie ahead.", "Sus fechas no se leen o están por venir."),
        )
    if held:
        return unmet(
            need,
            rules,
            say("One entered by oneself does not count.", "No cuenta la que registra uno mismo."),
        )
    if on_record:
        return unmet(need, rules, say("It was withdrawn.", "Fue retirada."))
    return unmet(need, rules, say("None on record.", "No hay ninguna registrada."))


def _certificate_name(issuer: str) -> Text:
    return say("Issued by {issuer}", "Expedida por {issuer}", issuer=issuer)


def clearance_line(
    need: ClearanceRequirement, rules: Rules, stands: Callable[[str], tuple[bool, date | None, Text] | None]
) -> Line:
    """stands: of another clearance's id, (cleared, last good day, state in words); None when it leads in a circle."""
    name = rules.clearance_name(need.clearance)
    other = stands(need.clearance) if need.clearance in rules.clearances else None
    if other is None:
        return unmet(need, rules, say("It cannot be looked up.", "No se puede consultar."))
    cleared, last, state = other
    if cleared:
        return met(need, rules, say("{name} stands", "{name} está vigente", name=name), last)
    return unmet(need, rules, say("{name}: {state}.", "{name}: {state}.", name=name, state=state))
