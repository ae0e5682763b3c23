"""The bank: every question and skill of question_bank/, each file checked on its own.

A file with a mistake is left out and its mistakes are listed; the others load all the same.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from trainer.calc import names as calculation_names
from trainer.calc.sources import SOURCES
from trainer.errors import ContentError, UnknownName
from trainer.languages import LANGUAGES, Text
from trainer.paths import content_dir
from trainer.questions import faults_file
from trainer.questions.figures import read_figure
from trainer.questions.givens_file import read_givens
from trainer.questions.kinds import KINDS
from trainer.questions.model import Question, Skill
from trainer.questions.places import check_places
from trainer.questions.source import Source, as_text, read_file

COMMON_KEYS: Final = (
    "version",
    "skills",
    "level",
    "must_pass",
    "sources",
    "kind",
    "text",
    "given",
    "hints",
    "figure",
)
SKILL_KEYS: Final = ("name", "purpose", "lesson", "calculations", "no_must_pass")
MOST_HINTS: Final = 3
MOST_VERSION: Final = 1_000_000
# What reading a file of any shape may end in where no sentence was written for it. One file's fault stays its own.
UNFORESEEN: Final = (TypeError, ValueError, LookupError, AttributeError, ArithmeticError, RecursionError)


@dataclass(frozen=True, slots=True)
class Bank:
    """What could be read, by id in alphabetical order, and what is wrong with the rest."""

    questions: dict[str, Question]
    skills: dict[str, Skill]
    problems: tuple[ContentError, ...]

    def question(self, id: str) -> Question:
        """The question of that id; UnknownName when there is none."""
        try:
            return self.questions[id]
        except KeyError:
            raise UnknownName(
                Text(
                    en="there is no question %(id)s; `trainer bank list` shows them.",
                    es="no hay una pregunta %(id)s; `trainer bank list` las muestra.",
                ),
                id=repr(id),
            ) from None

    @property
    def must_pass_skills(self) -> frozenset[str]:
        """The skills on which there is a must-pass question."""
        return frozenset(
            skill for question in self.questions.values() if question.must_pass for skill in question.skills
        )

    @property
    def must_pass_wanted(self) -> frozenset[str]:
        """The skills of which a paper must have asked a must-pass question: all that do not say why none is needed.

        A skill keeps its place here when the file of its must-pass question cannot be read, so that a broken file
        never makes a clearance easier to get.
        """
        undecided = frozenset(skill.id for skill in self.skills.values() if skill.no_must_pass is None)
        return self.must_pass_skills | undecided

    @property
    def must_pass_decided(self) -> frozenset[str]:
        """The skills that have a must-pass question or say why they need none."""
        said = frozenset(skill.id for skill in self.skills.values() if skill.no_must_pass is not None)
        return self.must_pass_skills | said

    def of_skill(self, skill: str) -> tuple[Question, ...]:
        """The questions that test a skill."""
        return tuple(question for question in self.questions.values() if skill in question.skills)


def load_bank(path: Path | None = None) -> Bank:
    """Read the bank in the folder `path` (the shipped one by default)."""
    folder = content_dir("question_bank") if path is None else path
    problems: list[ContentError] = []
    skills = _load_skills(folder, problems)
    beside = {faults_file.NAME: faults_file.load_faults(folder, problems)}
    questions: dict[str, Question] = {}
    seen: dict[str, str] = {}
    for file in sorted((folder / "questions").rglob("*.toml"), key=lambda file: file.stem):
        relative = file.relative_to(folder).as_posix()
        if file.stem in seen:
            problems.append(
                ContentError(relative, 0, f"the id {file.stem!r} is taken by {seen[file.stem]}; rename one.")
            )
            continue
        seen[file.stem] = relative
        text = read_file(file, relative, problems)
        if text is None:
            continue
        question = read_question(file.stem, relative, text.encode(), skills, problems, beside)
        if question is not None:
            questions[question.id] = question
    if skills is None:
        skills = _unread_skills(questions)
    return Bank(questions, skills, tuple(problems))


def _unread_skills(questions: Mapping[str, Question]) -> dict[str, Skill]:
    """Skills called by their ids, so that the questions can be shown while skills.toml cannot be read."""
    ids = sorted({id for question in questions.values() for id in question.skills})
    return {id: Skill(id, Text(en=id, es=id), Text(en="", es=""), "", ()) for id in ids}


def _load_skills(folder: Path, problems: list[ContentError]) -> dict[str, Skill] | None:
    """The skills; None when the file cannot be read at all, so that questions are not blamed for it."""
    file = folder / "skills.toml"
    if not file.exists():
        problems.append(ContentError("skills.toml", 0, "the file of skills is missing."))
        return None
    text = read_file(file, "skills.toml", problems)
    if text is None:
        return None
    source = Source("skills.toml", text)
    skills = {}
    data = source.tables()
    for id, table in data.items():
        skill = _skill(source, id, table)
        if skill is not None:
            skills[id] = skill
    if not data and not source.problems:
        source.problem((), "the file is empty.")
    problems += source.problems
    return skills if data else None


def _skill(source: Source, id: str, table: Any) -> Skill | None:
    if not isinstance(table, Mapping):
        source.problem((id,), f"{id} must be a table headed [{id}].")
        return None
    source.known(table, SKILL_KEYS, (id,))
    name, purpose = (source.both(table.get(key), (id, key)) for key in ("name", "purpose"))
    lesson = source.take(table, "lesson", str, (id,))
    calculations = source.texts(table, "calculations", (id,), optional=True)
    for unknown in sorted(set(calculations) - set(calculation_names())):
        source.problem(
            (id, "calculations"),
            f"there is no calculation {unknown!r}; there are {', '.join(calculation_names())}.",
        )
    decided = None
    if "no_must_pass" in table:
        decided = source.both(table["no_must_pass"], (id, "no_must_pass"))
    if name is None or purpose is None or lesson is None:
        return None
    return Skill(id, name, purpose, lesson, tuple(calculations), source.line((id,)), decided)


def read_question(
    id: str,
    path: str,
    content: bytes,
    skills: Mapping[str, Skill] | None,
    problems: list[ContentError],
    beside: Mapping[str, Any] = MappingProxyType({}),
) -> Question | None:
    """One question file; None, with its mistakes added to `problems`, when there are any.

    content: the file's bytes; skills: those a question may name, None when they are not known
    beside: what the bank's other files hold, by file name
    """
    text = as_text(content, path, problems)
    if text is None:
        return None
    source = Source(path, text, beside=beside)
    data = source.tables()
    question = None
    try:
        question = _question(source, id, data, hashlib.sha256(content).hexdigest(), skills) if data else None
    except UNFORESEEN as error:
        source.problem((), f"something in the file has a form that nothing here can read ({error}).")
    if not data and not source.problems:
        source.problem((), "the file is empty.")
    problems += source.problems
    return None if source.problems else question


def _question(
    source: Source, id: str, data: Mapping[str, Any], hash: str, skills: Mapping[str, Skill] | None
) -> Question | None:
    kind_name = source.take(data, "kind", str)
    if kind_name is None:
        return None
    if kind_name not in KINDS:
        source.problem(("kind",), f"there is no kind {kind_name!r}; there are {', '.join(KINDS)}.")
        return None
    kind = KINDS[kind_name]
    source.known(data, (*COMMON_KEYS, *kind.keys))
    head = _head(source, data, skills)
    text = source.both(source.take(data, "text", dict, default={}), ("text",))
    givens = read_givens(source, data)
    known = {given.name for given in givens}
    if text is not None:
        check_places(source, text, known | set(_named_givens(data)), ("text",))
    hints = _hints(source, data, known)
    figure = read_figure(source, data, list(givens))
    body = kind.read(source, data, list(givens))
    if text is None or body is None or source.problems:
        return None
    return Question(
        id=id,
        path=source.path,
        hash=hash,
        kind=kind_name,
        text=text,
        givens=givens,
        hints=hints,
        figure=figure,
        body=body,
        line=source.line,
        **head,
    )


def _named_givens(data: Mapping[str, Any]) -> list[str]:
    """Givens that the file names, broken ones too, so that one mistake is told once."""
    tables = data.get("given")
    return list(tables) if isinstance(tables, Mapping) else []


def _head(source: Source, data: Mapping[str, Any], skills: Mapping[str, Skill] | None) -> dict[str, Any]:
    version, level = source.take(data, "version", int), source.take(data, "level", int)
    if version is not None and version < 1:
        source.problem(("version",), f"the version is 1 or more, not {version}.")
    elif version is not None and version > MOST_VERSION:
        source.problem(("version",), f"the version is at most {MOST_VERSION}.")
    if level is not None and not 1 <= level <= 3:
        source.problem(("level",), f"the level is 1, 2 or 3, not {level}.")
    named, sources = source.texts(data, "skills"), source.texts(data, "sources")
    for key, values, allowed in (("skills", named, skills), ("sources", sources, SOURCES)):
        if key in data and not values:
            source.problem((key,), f"{key} is empty; name at least one.")
        for unknown in [] if allowed is None else sorted(set(values) - set(allowed)):
            source.problem(
                (key,), f"there is no {key[:-1]} {unknown!r}; there are {', '.join(sorted(allowed or ()))}."
            )
    must_pass = source.take(data, "must_pass", bool, default=False)
    return {
        "version": version,
        "level": level,
        "skills": tuple(named),
        "sources": tuple(sources),
        "must_pass": must_pass,
    }


def _hints(source: Source, data: Mapping[str, Any], givens: set[str]) -> tuple[Text, ...]:
    table = source.take(data, "hints", dict, default={}) or {}
    source.known(table, LANGUAGES, ("hints",))
    if not table:
        return ()
    texts = {language: source.texts(table, language, ("hints",)) for language in LANGUAGES}
    if len(texts["en"]) != len(texts["es"]) or not 1 <= len(texts["en"]) <= MOST_HINTS:
        source.problem(("hints",), f"hints are 1 to {MOST_HINTS} texts, as many in Spanish as in English.")
        return ()
    hints = tuple(Text(en=en, es=es) for en, es in zip(texts["en"], texts["es"], strict=True))
    for hint in hints:
        check_places(source, hint, givens, ("hints",))
    return hints
