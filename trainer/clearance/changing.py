"""Changing the rules: each change gives new rules, checked like the files. Pure.

changed      one clearance is new or asks for something else
withdrawn    one clearance is no longer given
adopted      the rules that come with the program take the place of the shop's own
fault_of     what is wrong with a clearance among others, as reading the files and changing them both ask
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

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
from trainer.clearance.words import joined
from trainer.errors import Refusal
from trainer.languages import Text

ORDER: Final = ("clearance", "lesson", "certificate", "quiz", "sign-off")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a clearance. number, key: of the requirement, and what of it; number is None for the whole."""

    sentence: Text
    facts: Mapping[str, object]
    number: int | None = None
    key: str = ""


def fault_of(clearance: Clearance, rules: Rules) -> Fault | None:
    """The first thing wrong with the clearance among the others of `rules`, None when it is sound.

    It must ask for something, name only what there is, ask for nothing twice, and not lead back to itself.
    """
    if not clearance.requires:
        sentence = Text(
            en="%(name)s requires nothing; nobody may be cleared for nothing.",
            es="%(name)s no pide nada; a nadie se le autoriza a cambio de nada.",
        )
        return Fault(sentence, {"name": clearance.id})
    for number, need in enumerate(clearance.requires):
        key, named, known = _names(need, rules)
        missing = [name for name in named if name not in known]
        if missing:
            sentence = Text(
                en="there is no %(key)s %(given)s; there are %(known)s.",
                es="no existe %(key)s %(given)s; existen %(known)s.",
            )
            facts = {"key": key, "given": repr(missing[0]), "known": ", ".join(known)}
            return Fault(sentence, facts, number, key)
        if need in clearance.requires[:number] or (key != "skills" and _asked(need, clearance, number)):
            sentence = Text(en="%(name)s asks for this twice.", es="%(name)s lo pide dos veces.")
            return Fault(sentence, {"name": clearance.id}, number, key)
    if _leads_back(clearance, rules):
        sentence = Text(
            en="%(name)s requires itself, by way of others.",
            es="%(name)s se pide a sí misma por medio de otras.",
        )
        return Fault(sentence, {"name": clearance.id})
    return None


def _names(need: Requirement, rules: Rules) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """(key, what is named, what there is to name)."""
    match need:
        case LessonRequirement(lesson=name):
            return "lesson", (name,), tuple(rules.lessons)
        case QuizRequirement(skills=names):
            return "skills", names, tuple(rules.skills)
        case SignOffRequirement(task=name):
            return "task", (name,), tuple(rules.tasks)
        case ClearanceRequirement(clearance=name):
            return "clearance", (name,), tuple(rules.clearances)
        case CertificateRequirement(certificate=name):
            return "certificate", (name,), tuple(rules.certificates)
    return need.kind, (), ()


def _asked(need: Requirement, clearance: Clearance, number: int) -> bool:
    """Whether an earlier requirement of the clearance asks for the same thing on other terms."""
    named = getattr(need, need.kind.replace("sign-off", "task"), None)
    return any(
        other.kind == need.kind and getattr(other, need.kind.replace("sign-off", "task"), None) == named
        for other in clearance.requires[:number]
    )


def _leads_back(clearance: Clearance, rules: Rules) -> bool:
    reached: set[str] = set()
    ahead = [clearance]
    while ahead:
        for need in ahead.pop().requires:
            if isinstance(need, ClearanceRequirement) and need.clearance in rules.clearances:
                if need.clearance == clearance.id:
                    return True
                if need.clearance not in reached:
                    reached.add(need.clearance)
                    ahead.append(rules.clearances[need.clearance])
    return False


def changed(rules: Rules, clearance: Clearance, given: Mapping[str, int], *, earlier_grants: bool) -> Rules:
    """The rules with this clearance, new or in place of the one of its id; its version follows from what there was.

    given: by id, the highest version that any clearance ever had, so that an old grant never counts for a new one
    earlier_grants: whether grants of the one it replaces still count, as far as everything asked for is met
    Raises Refusal when nothing changes, or the clearance is not sound.
    """
    old = rules.clearances.get(clearance.id)
    version = given.get(clearance.id, 0) + 1
    if old is not None and (same_as(clearance, old) and earlier_grants):
        raise Refusal(Text(en="Nothing is changed.", es="No hay ningún cambio."))
    accepts = old.accepts if old is not None and earlier_grants else version
    made = replace(clearance, version=version, accepts=accepts, requires=in_order(clearance.requires))
    after = replace(rules, clearances={**rules.clearances, made.id: made})
    refuse_unsound(after)
    return after


def withdrawn(rules: Rules, clearance: str) -> Rules:
    """The rules without the clearance. Refusal when another one requires it."""
    others = [
        one.name
        for one in rules.clearances.values()
        if any(
            isinstance(need, ClearanceRequirement) and need.clearance == clearance for need in one.requires
        )
    ]
    if others:
        raise Refusal(
            Text(
                en="%(name)s cannot be withdrawn while it is required for: %(others)s. Change these first.",
                es="%(name)s no se puede retirar mientras sea requisito de: %(others)s. Cambie esas primero.",
            ),
            name=rules.clearance_name(clearance),
            others=joined(others),
        )
    return replace(rules, clearances={id: one for id, one in rules.clearances.items() if id != clearance})


def adopted(rules: Rules, present: Rules, given: Mapping[str, int], *, earlier_grants: bool) -> Rules:
    """The program's own rules in place of the shop's; what is the same in both keeps its version and its grants."""
    clearances = {}
    for id, clearance in present.clearances.items():
        old = rules.clearances.get(id)
        version = max(clearance.version, given.get(id, 0) + 1)
        if old is not None and same_as(clearance, old):
            clearances[id] = old
        elif old is not None and earlier_grants:
            clearances[id] = replace(clearance, version=version, accepts=old.accepts)
        else:
            clearances[id] = replace(clearance, version=version, accepts=version)
    return replace(present, clearances=clearances)


def refuse_unsound(rules: Rules) -> None:
    """Raise Refusal with the first fault of any clearance."""
    for clearance in rules.clearances.values():
        fault = fault_of(clearance, rules)
        if fault is not None:
            raise Refusal(
                fault.sentence,
                **{**fault.facts, **({"name": clearance.name} if "name" in fault.facts else {})},
            )


def same_as(one: Clearance, other: Clearance) -> bool:
    """Whether both say and ask for the same, whatever their versions and the order of what they ask for."""
    return _plain(one) == _plain(other)


def _plain(clearance: Clearance) -> Clearance:
    needs = [
        replace(need, skills=tuple(sorted(need.skills))) if isinstance(need, QuizRequirement) else need
        for need in clearance.requires
    ]
    return replace(clearance, version=0, accepts=0, requires=tuple(sorted(needs, key=repr)))


def in_order(requires: tuple[Requirement, ...]) -> tuple[Requirement, ...]:
    """Requirements kind by kind; of one kind in the order given."""
    return tuple(
        sorted(requires, key=lambda need: ORDER.index(need.kind) if need.kind in ORDER else len(ORDER))
    )
