"""standing(): one person's state on one clearance on one date, with a reason for each requirement.

It fails closed: what is unknown, unreadable, in the future, contradictory or made by the person themselves
counts against. Requirements met is not yet cleared: an owner's grant must be in force too.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.clearance.evidence import Evidence, GrantEvidence, SignOffEvidence, SuspensionEvidence
from trainer.clearance.meets import (
    Line,
    certificate_line,
    clearance_line,
    lesson_line,
    quiz_line,
    sign_off_line,
    unmet,
)
from trainer.clearance.requirements import (
    CertificateRequirement,
    Clearance,
    ClearanceRequirement,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
)
from trainer.clearance.sat import SatPaper
from trainer.clearance.words import STATES, say
from trainer.languages import Text

__all__ = ["Line", "Standing", "standing", "standings"]


@dataclass(frozen=True, slots=True)
class Standing:
    """One person's state on one clearance on one date.

    state: a key of `trainer.clearance.STATES`
    until: the last good day when cleared, or when it would be granted now; None when nothing runs out
    left: whether the person was deactivated on that date
    """

    person_id: int
    clearance: str
    name: Text
    on: date
    cleared: bool
    state: str
    lines: tuple[Line, ...]
    until: date | None
    requirements_met: bool
    grant: GrantEvidence | None
    suspension: SuspensionEvidence | None
    left: bool

    @property
    def ends(self) -> date | None:
        """The first day on which it will not be cleared, as far as is known; None when there is none."""
        if not self.cleared or self.until is None or self.until == date.max:
            return None
        return self.until + timedelta(days=1)

    @property
    def requirements_until(self) -> date | None:
        """The last day on which every line that is met stays so; None when nothing runs out."""
        return min((line.until for line in self.lines if line.until is not None), default=None)

    @property
    def grantable(self) -> bool:
        """Whether a grant on this day would stand, and last longer than the one in force."""
        if not self.requirements_met or self.suspension is not None or self.left:
            return False
        if self.grant is None:
            return True
        ends = self.requirements_until
        return self.grant.until is not None and (ends is None or ends > self.grant.until)

    @property
    def state_text(self) -> Text:
        return STATES[self.state]

    @property
    def reasons(self) -> tuple[Text, ...]:
        """Everything that stands between the person and being cleared; empty when cleared."""
        if self.cleared:
            return ()
        reasons = []
        if self.left:
            reasons.append(say("The person is deactivated.", "La persona está desactivada."))
        if self.suspension is not None:
            reasons.append(_suspended(self.suspension))
        reasons += [
            say("{what}: {reason}", "{what}: {reason}", what=line.what, reason=line.reason)
            for line in self.lines
            if not line.met
        ]
        if not self.lines:
            reasons.append(say("Its requirements are not known.", "No se conocen sus requisitos."))
        if self.grant is None:
            reasons.append(say("No owner's grant is in force.", "No hay autorización vigente de un dueño."))
        return tuple(reasons)


def standing(person_id: int, clearance: str, evidence: Evidence, on: date, rules: Rules) -> Standing:
    """The person's standing on the clearance on that day in the shop's zone.

    An unknown clearance, or another person's evidence, gives a standing that is not cleared.
    """
    return _Day(_own(person_id, evidence), on, rules).standing(clearance)


def standings(person_id: int, evidence: Evidence, on: date, rules: Rules) -> tuple[Standing, ...]:
    """The person's standing on every clearance, in the order of the rules; each is worked out once."""
    day = _Day(_own(person_id, evidence), on, rules)
    return tuple(day.standing(clearance) for clearance in rules.clearances)


def _own(person_id: int, evidence: Evidence) -> Evidence:
    return evidence if evidence.person_id == person_id else Evidence(person_id)


class _Day:
    """One person on one day. Each clearance is worked out once, however many others require it."""

    def __init__(self, evidence: Evidence, on: date, rules: Rules) -> None:
        if isinstance(on, datetime):
            raise TypeError("a standing is asked for a day, not for a moment")
        self.evidence, self.on, self.rules = evidence, on, rules
        self.done: dict[str, Standing] = {}
        self.begun: set[str] = set()
        self.papers = [
            SatPaper(paper, paper.sheet, on)
            for paper in evidence.papers
            if paper.handed_in is None or paper.handed_in <= on
        ]
        self.away = evidence.away(on)
        self.grants: dict[str, list[GrantEvidence]] = defaultdict(list)
        for grant in evidence.grants:
            if grant.since is not None and grant.since <= on:
                self.grants[grant.clearance].append(grant)
        self.sign_offs: dict[str, list[SignOffEvidence]] = defaultdict(list)
        for sign_off in evidence.sign_offs:
            if sign_off.on is not None and sign_off.on <= on:
                self.sign_offs[sign_off.task].append(sign_off)

    def standing(self, clearance: str) -> Standing:
        if clearance not in self.done:
            self.begun.add(clearance)
            self.done[clearance] = _standing(clearance, self)
        return self.done[clearance]

    def stands(self, other: str) -> tuple[bool, date | None, Text] | None:
        """As `clearance_line` asks; requirements that lead in a circle are never met."""
        if other in self.begun and other not in self.done:
            return None
        found = self.standing(other)
        return found.cleared, found.until, found.state_text


def _standing(clearance: str, day: _Day) -> Standing:
    evidence, on, rules = day.evidence, day.on, day.rules
    rule = rules.clearances.get(clearance)
    lines = tuple(_line(need, day) for need in rule.requires) if rule else ()
    requirements_met = bool(lines) and all(line.met for line in lines)
    granted = day.grants.get(clearance, ())
    grant = _grant_in_force(rule, granted, evidence, on) if rule else None
    suspension = _suspension_in_force(clearance, evidence, on)
    left = day.away
    cleared = requirements_met and grant is not None and suspension is None and not left
    ends = [line.until for line in lines] + ([grant.until] if grant else [])
    until = min((last for last in ends if last is not None), default=None)
    return Standing(
        person_id=evidence.person_id,
        clearance=clearance,
        name=rules.clearance_name(clearance),
        on=on,
        cleared=cleared,
        state=_state(cleared, requirements_met, suspension is not None, left, bool(granted)),
        lines=lines,
        until=until if requirements_met else None,
        requirements_met=requirements_met,
        grant=grant,
        suspension=suspension,
        left=left,
    )


def _line(need: Requirement, day: _Day) -> Line:
    evidence, on, rules = day.evidence, day.on, day.rules
    match need:
        case LessonRequirement():
            return lesson_line(need, evidence, on, rules)
        case QuizRequirement():
            return quiz_line(need, day.papers, evidence.person_id, rules)
        case SignOffRequirement():
            return sign_off_line(need, day.sign_offs[need.task], evidence.person_id, on, rules)
        case CertificateRequirement():
            return certificate_line(need, evidence, on, rules)
        case ClearanceRequirement():
            return clearance_line(need, rules, day.stands)
    unknown = say("A kind of requirement that is not known.", "Una clase de requisito que no se conoce.")
    return unmet(need, rules, unknown)


def _grant_in_force(
    rule: Clearance, granted: Iterable[GrantEvidence], evidence: Evidence, on: date
) -> GrantEvidence | None:
    """The grant that lasts longest of those in force. granted: those of the clearance that have begun.

    One given by the person themselves never is, nor one from before they left: after a return it takes a new one.
    """
    held = [
        grant
        for grant in granted
        if rule.accepts <= grant.version <= rule.version
        and grant.by_id is not None
        and grant.by_id != evidence.person_id
        and (grant.until is None or on <= grant.until)
        and all(
            absence.over(on) and absence.ended_before(grant)
            for absence in evidence.absences
            if absence.begun(on)
        )
    ]
    return max(held, key=lambda grant: (grant.until or date.max, grant.id), default=None)


def _suspension_in_force(clearance: str, evidence: Evidence, on: date) -> SuspensionEvidence | None:
    """A suspension that has begun and was not lifted by someone else on a day that makes sense."""
    for suspension in evidence.suspensions:
        if suspension.clearance != clearance or (suspension.since is not None and suspension.since > on):
            continue
        lifted = (
            suspension.since is not None
            and suspension.lifted_on is not None
            and suspension.since <= suspension.lifted_on <= on
            and suspension.lifted_by_id is not None
            and suspension.lifted_by_id != evidence.person_id
        )
        if not lifted:
            return suspension
    return None


def _state(cleared: bool, requirements_met: bool, suspended: bool, left: bool, granted_before: bool) -> str:
    if suspended:
        return "suspended"
    if cleared:
        return "cleared"
    if requirements_met and not left:
        return "ready to grant"
    return "lapsed" if granted_before else "not cleared"


def _suspended(suspension: SuspensionEvidence) -> Text:
    if suspension.since is None:
        return say("Suspended: {reason}", "Suspendida: {reason}", reason=suspension.reason)
    return say(
        "Suspended by {by} since {since}: {reason}",
        "Suspendida por {by} desde el {since}: {reason}",
        by=suspension.by,
        since=suspension.since,
        reason=suspension.reason,
    )
