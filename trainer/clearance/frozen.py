"""Rules as plain data, so that a store can keep each version of them for ever.

freeze(rules)         what the clearances ask for, with all it rests on: plain data
thaw(data, present)   the rules again, for asking standings
decides(data)         the part that decides who is cleared, and what is said of a clearance

Only what the clearances name is frozen: the oldest version of a lesson or task that counts, and whether a skill has
must-pass questions. A version newer than the frozen one counts too, up to the one that the program holds at present:
it is what people are taught now.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from typing import Any, Final

from trainer.clearance.requirements import (
    CertificateRequirement,
    Clearance,
    ClearanceRequirement,
    LessonRef,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
    Task,
)
from trainer.languages import Text

KINDS: Final[Mapping[str, type[Any]]] = {
    "lesson": LessonRequirement,
    "quiz": QuizRequirement,
    "sign-off": SignOffRequirement,
    "certificate": CertificateRequirement,
    "clearance": ClearanceRequirement,
}


@dataclass(frozen=True, slots=True)
class UnknownRequirement:
    """A requirement that this program does not know; nothing ever meets it."""

    kind: str


def freeze(rules: Rules) -> dict[str, Any]:
    """The rules as plain JSON data: clearances in order, and the lessons, tasks and skills they name."""
    needs = [need for clearance in rules.clearances.values() for need in clearance.requires]
    lessons = {need.lesson for need in needs if isinstance(need, LessonRequirement)}
    tasks = {need.task for need in needs if isinstance(need, SignOffRequirement)}
    skills = {skill for need in needs if isinstance(need, QuizRequirement) for skill in need.skills}
    return {
        "clearances": [_clearance_data(clearance) for clearance in rules.clearances.values()],
        "lessons": {id: _lesson_data(rules.lessons[id]) for id in sorted(lessons & rules.lessons.keys())},
        "tasks": {id: _task_data(rules.tasks[id]) for id in sorted(tasks & rules.tasks.keys())},
        "skills": {
            id: {"name": asdict(rules.skill_name(id)), "must_pass": id in rules.must_pass}
            for id in sorted(skills)
        },
    }


def decides(data: Mapping[str, Any]) -> dict[str, Any]:
    """Of frozen rules, what a change of would be a change of the rules: no names or newer versions of what is named."""
    return {
        "clearances": data["clearances"],
        "lessons": {id: lesson["accepts"] for id, lesson in data["lessons"].items()},
        "tasks": {id: task["accepts"] for id, task in data["tasks"].items()},
        "must_pass": sorted(id for id, skill in data["skills"].items() if skill["must_pass"]),
    }


def thaw(data: Mapping[str, Any], present: Rules) -> Rules:
    """The frozen rules. present: what the program holds now, for names and the newest versions there are.

    Raises KeyError, TypeError or ValueError when the data is not what `freeze` gives.
    """
    clearances = [_clearance(one) for one in data["clearances"]]
    lessons = {id: _lesson(id, one, present.lessons.get(id)) for id, one in data["lessons"].items()}
    tasks = {id: _task(id, one, present.tasks.get(id)) for id, one in data["tasks"].items()}
    names = {id: Text(**one["name"]) for id, one in data["skills"].items()}
    asked = {id for id, one in data["skills"].items() if one["must_pass"]}
    return replace(
        present,
        clearances={clearance.id: clearance for clearance in clearances},
        lessons={**present.lessons, **lessons},
        tasks={**present.tasks, **tasks},
        skills={**names, **present.skills},
        # A skill that no requirement names is never asked about; for a new one the present bank speaks.
        must_pass=frozenset(asked | (present.must_pass - data["skills"].keys())),
    )


def _clearance_data(clearance: Clearance) -> dict[str, Any]:
    data = asdict(clearance)
    data["requires"] = [
        {name: list(value) if isinstance(value, tuple) else value for name, value in asdict(need).items()}
        for need in clearance.requires
    ]
    return data


def _clearance(data: Mapping[str, Any]) -> Clearance:
    caution = data["caution"]
    return Clearance(
        id=str(data["id"]),
        version=int(data["version"]),
        accepts=int(data["accepts"]),
        name=Text(**data["name"]),
        covers=Text(**data["covers"]),
        requires=tuple(_requirement(one) for one in data["requires"]),
        caution=Text(**caution) if caution is not None else None,
    )


def _requirement(data: Mapping[str, Any]) -> Requirement:
    made = KINDS.get(data["kind"])
    if made is None or data.keys() - {one.name for one in fields(made)}:
        # Something from a newer program: to leave a part of it out would ask for less than the owner did.
        return UnknownRequirement(str(data["kind"]))  # type: ignore[return-value]
    given = {name: tuple(value) if isinstance(value, list) else value for name, value in data.items()}
    found: Requirement = made(**given)
    return found


def _lesson_data(lesson: LessonRef) -> dict[str, Any]:
    return {"version": lesson.version, "accepts": lesson.oldest, "title": asdict(lesson.title)}


def _lesson(id: str, data: Mapping[str, Any], present: LessonRef | None) -> LessonRef:
    accepts, newest = int(data["accepts"]), int(data["version"])
    if present is not None:
        return replace(present, accepts=accepts, version=max(newest, present.version))
    return LessonRef(id, newest, Text(**data["title"]), accepts=accepts)


def _task_data(task: Task) -> dict[str, Any]:
    return {"version": task.version, "accepts": task.accepts, "name": asdict(task.name)}


def _task(id: str, data: Mapping[str, Any], present: Task | None) -> Task:
    accepts, newest = int(data["accepts"]), int(data["version"])
    if present is not None:
        return replace(present, accepts=accepts, version=max(newest, present.version))
    return Task(id, newest, accepts, Text(**data["name"]), (), (), None, ())
