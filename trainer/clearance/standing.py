"""standing(): one person's state on one clearance on one date, with a reason for each requirement.

It fails closed: what is unknown, unreadable, in the future, contradictory or made by the person themselves
counts against. Requirements met is not yet cleared: an owner's grant must be in force too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from trainer.clearance.asked import Asked, Line, Lines
from trainer.clearance.evidence import Evidence, GrantEvidence, SuspensionEvidence
from trainer.clearance.known import Known
from trainer.clearance.meets import asked
from trainer.clearance.memo import Memo
from trainer.clearance.requirements import Clearance, Rules
from trainer.clearance.words import STATES, say
from trainer.languages import Text

__all__ = ["Line", "RulesOn", "Standing", "standing", "standings"]


class Standing(NamedTuple):
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
    lines: Sequence[Line]
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
    return RulesOn(on, rules).standing(person_id, clearance, evidence)


def standings(person_id: int, evidence: Evidence, on: date, rules: Rules) -> tuple[Standing, ...]:
    """The person's standing on every clearance, in the order of the rules; each is worked out once."""
    return RulesOn(on, rules).standings(person_id, evidence)


class RulesOn:
    """The rules on one day, made ready once for any number of people.

    It keeps nothing of a person.
    """

    def __init__(self, on: date, rules: Rules) -> None:
        self.on, self.rules = on, rules
        self.asked: Memo[str, tuple[Asked, ...]] = Memo(self._asked)
        # What falls with another clearance is seen at once; the order is nobody's to see.
        self.in_turn: Memo[str, list[Asked]] = Memo(
            lambda clearance: sorted(self.asked[clearance], key=lambda need: need.need.kind != "clearance")
        )
        self.names: Memo[str, Text] = Memo(rules.clearance_name)

    def standing(self, person_id: int, clearance: str, evidence: Evidence) -> Standing:
        """As `standing`."""
        return _Person(self, _own(person_id, evidence)).standing(clearance)

    def standings(self, person_id: int, evidence: Evidence) -> tuple[Standing, ...]:
        """As `standings`."""
        person = _Person(self, _own(person_id, evidence))
        return tuple([person.standing(clearance) for clearance in self.rules.clearances])

    def _asked(self, clearance: str) -> tuple[Asked, ...]:
        rule = self.rules.clearances.get(clearance)
        return tuple(asked(need, self.rules, self.on) for need in rule.requires) if rule else ()


def _own(person_id: int, evidence: Evidence) -> Evidence:
    return evidence if evidence.person_id == person_id else Evidence(person_id)


class _Person:
    """One person on one day. Each clearance is worked out once, however many others require it."""

    def __init__(self, rules_on: RulesOn, evidence: Evidence) -> None:
        self.rules_on, self.known = rules_on, Known(evidence, rules_on.on)
        self.done: dict[str, Standing] = {}
        self.begun: set[str] = set()

    def standing(self, clearance: str) -> Standing:
        if clearance not in self.done:
            self.begun.add(clearance)
            self.done[clearance] = self._work_out(clearance)
        return self.done[clearance]

    def stands(self, other: str) -> tuple[bool, date | None, str] | None:
        """As `ClearanceAsked` wants it; requirements that lead in a circle are never met."""
        if other in self.begun and other not in self.done:
            return None
        found = self.standing(other)
        return found.cleared, found.until, found.state

    def _work_out(self, clearance: str) -> Standing:
        known, rules_on, stands = self.known, self.rules_on, self.stands
        rule = rules_on.rules.clearances.get(clearance)
        asked = rules_on.asked[clearance]
        requirements_met, until = bool(asked), None
        for need in rules_on.in_turn[clearance]:
            met = need.meets(known, stands)
            if met is None:
                requirements_met = False
                break
            last = met[0]
            if last is not None and (until is None or last < until):
                until = last
        granted = known.grants.get(clearance, ())
        grant = _grant_in_force(rule, granted, known) if rule and granted else None
        suspended = known.suspensions.get(clearance)
        suspension = _suspension_in_force(suspended, known) if suspended else None
        cleared = requirements_met and grant is not None and suspension is None and not known.away
        if grant is not None and grant.until is not None and (until is None or grant.until < until):
            until = grant.until
        return Standing(
            known.person_id,
            clearance,
            rules_on.names[clearance],
            known.on,
            cleared,
            _state(cleared, requirements_met, suspension is not None, known.away, bool(granted)),
            Lines(asked, known, stands),
            until if requirements_met else None,
            requirements_met,
            grant,
            suspension,
            known.away,
        )


def _grant_in_force(rule: Clearance, granted: Iterable[GrantEvidence], known: Known) -> GrantEvidence | None:
    """The grant that lasts longest of those in force. granted: those of the clearance that have begun.

    One given by the person themselves never is, nor one from before they left: after a return it takes a new one.
    """
    on = known.on
    held = [
        grant
        for grant in granted
        if rule.accepts <= grant.version <= rule.version
        and grant.by_id is not None
        and grant.by_id != known.person_id
        and (grant.until is None or on <= grant.until)
        and (
            not known.absences
            or all(absence.over(on) and absence.ended_before(grant) for absence in known.absences)
        )
    ]
    if len(held) > 1:
        return max(held, key=lambda grant: (grant.until or date.max, grant.id))
    return held[0] if held else None


def _suspension_in_force(
    suspensions: Iterable[SuspensionEvidence], known: Known
) -> SuspensionEvidence | None:
    """A suspension that was not lifted by someone else on a day that makes sense. suspensions: begun, of the clearance."""
    for suspension in suspensions:
        lifted = (
            suspension.since is not None
            and suspension.lifted_on is not None
            and suspension.since <= suspension.lifted_on <= known.on
            and suspension.lifted_by_id is not None
            and suspension.lifted_by_id != known.person_id
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
