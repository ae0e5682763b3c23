"""Reading clearances.toml, tasks.toml and certificates.toml, and fitting them to the lessons and skills there are."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from trainer.clearance.certificate_file import load_certificate_kinds, read_certificate_kind
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
)
from trainer.clearance.tables import File, Table
from trainer.clearance.task_file import load_tasks, read_task
from trainer.errors import ContentError
from trainer.languages import Text
from trainer.paths import content_dir

__all__ = [
    "load_certificate_kinds",
    "load_clearances",
    "load_rules",
    "load_tasks",
    "readable_rules",
    "unasked",
    "undemanded",
]

Kept = TypeVar("Kept")
MOST_DAYS = 36_500
ALLOWED = {
    "lesson": {"kind", "lesson", "version"},
    "quiz": {"kind", "skills", "score", "within_days"},
    "sign-off": {"kind", "task", "times", "within_days"},
    "certificate": {"kind", "certificate"},
    "clearance": {"kind", "clearance"},
}


def load_clearances(path: Path) -> dict[str, Clearance]:
    """Every clearance of the file by id, in its order. Raises ContentError on the first mistake."""
    return {table.name: _clearance(table) for table in File(path).tables()}


def _clearance(table: Table) -> Clearance:
    table.only({"version", "accepts", "name", "covers", "caution", "requires"})
    version = table.number_from("version", 1, 10**6, needed=True)
    requires = tuple(_requirement(one) for one in table.tables("requires"))
    if not requires:
        raise table.wrong(f"{table.name} requires nothing; nobody may be cleared for nothing.")
    name, covers = table.text("name"), table.text("covers")
    assert name is not None and covers is not None
    return Clearance(
        table.name,
        version,
        table.number_from("accepts", 1, version, version),
        name,
        covers,
        requires,
        table.text("caution", needed=False),
    )


def _requirement(table: Table) -> Requirement:
    kind = table.value("kind", str, needed=True)
    if kind not in ALLOWED:
        raise table.wrong(f"{kind!r} is no kind of requirement; there are {', '.join(ALLOWED)}.", "kind")
    table.only(ALLOWED[kind])
    days = table.number_from("within_days", 1, MOST_DAYS)
    match kind:
        case "lesson":
            return LessonRequirement(_name(table, "lesson"), table.number_from("version", 1, 10**6))
        case "quiz":
            score = table.number_from("score", 1, 100, needed=True)
            return QuizRequirement(_names(table, "skills"), score, days)
        case "sign-off":
            return SignOffRequirement(_name(table, "task"), table.number_from("times", 1, 1000, 1), days)
        case "certificate":
            return CertificateRequirement(_name(table, "certificate"))
        case _:
            return ClearanceRequirement(_name(table, "clearance"))


def _name(table: Table, key: str) -> str:
    name: str = table.value(key, str, needed=True)
    return name


def _names(table: Table, key: str) -> tuple[str, ...]:
    names: list[Any] = table.value(key, list, needed=True)
    if not names or not all(isinstance(name, str) for name in names):
        raise table.wrong(f"{key} of {table.name} must be a list of one or more names.", key)
    return tuple(dict.fromkeys(names))


def load_rules(
    folder: Path | None = None,
    *,
    lessons: Mapping[str, LessonRef],
    skills: Mapping[str, Text],
    must_pass: Collection[str],
) -> Rules:
    """The clearances, tasks and kinds of certificate of the folder (by default question_bank), with the lessons and skills given.

    must_pass: the skills of which a paper must have asked a must-pass question
    Raises ContentError when a file is wrong, a requirement names what does not exist, or leads in a circle.
    """
    rules, problems = readable_rules(folder, lessons=lessons, skills=skills, must_pass=must_pass)
    if problems:
        raise problems[0]
    return rules


def readable_rules(
    folder: Path | None = None,
    *,
    lessons: Mapping[str, LessonRef],
    skills: Mapping[str, Text],
    must_pass: Collection[str],
) -> tuple[Rules, tuple[ContentError, ...]]:
    """As `load_rules`, without what is wrong, and what is wrong.

    A clearance is left out whole when anything of it is wrong, and with it every one that requires it, so that
    nobody stands cleared by a rule of which a part could not be read.
    """
    folder = folder or content_dir("question_bank")
    problems: list[ContentError] = []
    clearances = _readable(folder / "clearances.toml", _clearance, problems)
    tasks = _readable(folder / "tasks.toml", read_task, problems)
    certificates = folder / "certificates.toml"  # a shop need not know any
    kinds = _readable(certificates, read_certificate_kind, problems) if certificates.exists() else {}
    rules = Rules(clearances, tasks, lessons, skills, frozenset(must_pass), kinds)
    if clearances:
        file = File(folder / "clearances.toml")
        while (wrong := _misfit(rules, file)) is not None:
            id, problem = wrong
            problems.append(problem)
            left = {other: clearance for other, clearance in rules.clearances.items() if other != id}
            rules = replace(rules, clearances=left)
    return rules, tuple(problems)


def _readable(path: Path, read: Callable[[Table], Kept], problems: list[ContentError]) -> dict[str, Kept]:
    """What could be read of the file's tables, by name; nothing when it is no file of tables."""
    found: dict[str, Kept] = {}
    try:
        tables = list(File(path).tables())
    except ContentError as problem:
        problems.append(problem)
        return found
    for table in tables:
        try:
            found[table.name] = read(table)
        except ContentError as problem:
            problems.append(problem)
        except (TypeError, ValueError, LookupError, AttributeError, ArithmeticError) as error:
            problems.append(
                table.wrong(f"something in {table.name} has a form that nothing here can read ({error}).")
            )
    return found


def _misfit(rules: Rules, file: File) -> tuple[str, ContentError] | None:
    """The first clearance that names what there is not, or that requires itself; None when all fit."""
    for clearance in rules.clearances.values():
        try:
            for number, requirement in enumerate(clearance.requires):
                _check_names(requirement, rules, file, clearance.id, number)
            _check_circle(clearance, rules, file)
        except ContentError as problem:
            return clearance.id, problem
    return None


def _check_names(requirement: Requirement, rules: Rules, file: File, clearance: str, number: int) -> None:
    key: str
    named: tuple[str, ...]
    match requirement:
        case LessonRequirement(lesson=name):
            key, named, known = "lesson", (name,), tuple(rules.lessons)
        case QuizRequirement(skills=names):
            key, named, known = "skills", names, tuple(rules.skills)
        case SignOffRequirement(task=name):
            key, named, known = "task", (name,), tuple(rules.tasks)
        case ClearanceRequirement(clearance=name):
            key, named, known = "clearance", (name,), tuple(rules.clearances)
        case CertificateRequirement(certificate=name):
            key, named, known = "certificate", (name,), tuple(rules.certificates)
    for name in named:
        if name not in known:
            line = file.line(f"{clearance}.requires", key, number)
            raise ContentError(file.name, line, f"there is no {key} {name!r}; there are {', '.join(known)}.")


def undemanded(folder: Path | None, rules: Rules, decided: Collection[str]) -> tuple[ContentError, ...]:
    """Where a quiz is required on a skill that has neither a must-pass question nor a reason why it needs none.

    decided: the skills that have the one or the other
    """
    file = File((folder or content_dir("question_bank")) / "clearances.toml")
    found = []
    for clearance in rules.clearances.values():
        for number, need in enumerate(clearance.requires):
            bare = [skill for skill in getattr(need, "skills", ()) if skill not in decided]
            if bare:
                line = file.line(f"{clearance.id}.requires", "skills", number)
                sentence = f"the bank has no must-pass question on {', '.join(bare)}, so {clearance.id} asks for none."
                found.append(ContentError(file.name, line, sentence))
    return tuple(found)


def unasked(folder: Path | None, rules: Rules) -> tuple[ContentError, ...]:
    """Practical tasks that no clearance asks for."""
    file = File((folder or content_dir("question_bank")) / "tasks.toml")
    asked = {
        need.task
        for clearance in rules.clearances.values()
        for need in clearance.requires
        if isinstance(need, SignOffRequirement)
    }
    return tuple(
        ContentError(file.name, file.line(task), f"no clearance asks for the task {task}.")
        for task in rules.tasks
        if task not in asked
    )


def _check_circle(clearance: Clearance, rules: Rules, file: File) -> None:
    reached: set[str] = set()
    ahead = [clearance.id]
    while ahead:
        for requirement in rules.clearances[ahead.pop()].requires:
            if isinstance(requirement, ClearanceRequirement) and requirement.clearance in rules.clearances:
                if requirement.clearance == clearance.id:
                    raise ContentError(
                        file.name,
                        file.line(clearance.id),
                        f"{clearance.id} requires itself, by way of others.",
                    )
                if requirement.clearance not in reached:
                    reached.add(requirement.clearance)
                    ahead.append(requirement.clearance)
