"""A job: which clearances it needs by the stated rules, who may go, who may not, and what would change that. Pure.

What is not known of a job counts as the worst. The answer is the least that must hold: the employer's competent
person decides on the day.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.clearance.evidence import Evidence
from trainer.clearance.requirements import ClearanceRequirement, Rules
from trainer.clearance.standing import Standing, standing, standings
from trainer.clearance.words import say
from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Job:
    """height: of the work above the ground [ft]; rise: of the roof [in in 12 in]; None when not known.

    tasks: ids of the practical tasks that are part of it
    """

    on: date
    height: float | None
    rise: float | None
    tasks: frozenset[str]


@dataclass(frozen=True, slots=True)
class JobRule:
    """A clearance that a job needs, and when: all that is given must hold. Units as in `Job`."""

    id: str
    clearance: str
    why: Text
    over_height: float | None = None
    over_rise: float | None = None
    up_to_rise: float | None = None
    tasks: tuple[str, ...] = ()

    def holds(self, job: Job) -> bool:
        return (
            (self.over_height is None or not _at_most(job.height, self.over_height))
            and (self.over_rise is None or not _at_most(job.rise, self.over_rise))
            and (self.up_to_rise is None or _at_most(job.rise, self.up_to_rise))
            and (not self.tasks or not job.tasks.isdisjoint(self.tasks))
        )


@dataclass(frozen=True, slots=True)
class MayNot:
    """Who may not go. missing: the standings that are not cleared; steps: all that must happen, the first first."""

    person_id: int
    missing: tuple[Standing, ...]
    steps: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class JobCheck:
    """needs: the rules that hold for the job; may: who is cleared for all of them; may_not: fewest steps first."""

    job: Job
    needs: tuple[JobRule, ...]
    may: tuple[int, ...]
    may_not: tuple[MayNot, ...]


def check_job(job: Job, crew: Mapping[int, Evidence], rules: Rules, job_rules: Sequence[JobRule]) -> JobCheck:
    """crew: what is known of each person who might go.

    Nobody may go when no rule holds: a job that needs nothing is one that nobody thought of. Raises ValueError on
    a task that does not exist, for no rule could speak of it.
    """
    unknown = job.tasks - rules.tasks.keys()
    if unknown:
        raise ValueError(f"there is no task {min(unknown)!r}")
    needs = tuple(rule for rule in job_rules if rule.holds(job))
    may, may_not = [], []
    for person_id, evidence in crew.items():
        by_id = {one.clearance: one for one in standings(person_id, evidence, job.on, rules)}
        wanted = dict.fromkeys(rule.clearance for rule in needs)
        # A clearance that is no longer given is one that nobody holds.
        by_id |= {
            name: standing(person_id, name, evidence, job.on, rules) for name in wanted.keys() - by_id.keys()
        }
        missing = tuple(by_id[name] for name in wanted if not by_id[name].cleared)
        if needs and not missing:
            may.append(person_id)
        else:
            may_not.append(MayNot(person_id, missing, steps(missing, by_id)))
    may_not.sort(key=lambda one: len(one.steps))
    return JobCheck(job, needs, tuple(may), tuple(may_not))


def steps(missing: Iterable[Standing], by_id: Mapping[str, Standing]) -> tuple[Text, ...]:
    """What must happen before all of these are cleared, in an order in which it can; each once.

    It is the least: every step is needed, and one step alone is enough where there is only one.
    """
    found: dict[Text, None] = {}
    for one in missing:
        found.update(dict.fromkeys(_steps(one, by_id)))
    return tuple(found)


def _steps(lacking: Standing, by_id: Mapping[str, Standing]) -> list[Text]:
    if lacking.cleared:
        return []
    if not lacking.lines:
        return [
            say(
                "The clearance {name} is no longer given: an owner decides what takes its place.",
                "La autorización {name} ya no se otorga: un dueño decide qué la reemplaza.",
                name=lacking.name,
            )
        ]
    todo: list[Text] = []
    if lacking.left:
        todo.append(say("The person is made active again.", "Se activa de nuevo a la persona."))
    for line in lacking.lines:
        if line.met:
            continue
        need = line.requirement
        other = by_id.get(need.clearance) if isinstance(need, ClearanceRequirement) else None
        before = _steps(other, by_id) if other is not None else []
        todo += before or [line.what]
    if lacking.suspension is not None:
        todo.append(
            say(
                "An owner lifts the suspension: {name}.",
                "Un dueño levanta la suspensión: {name}.",
                name=lacking.name,
            )
        )
    if lacking.grant is None:
        todo.append(say("An owner grants: {name}.", "Un dueño otorga: {name}.", name=lacking.name))
    return todo


def _at_most(value: float | None, limit: float) -> bool:
    """Whether `value` surely is no more; one that is not known, or no number, is not."""
    return value is not None and value <= limit
