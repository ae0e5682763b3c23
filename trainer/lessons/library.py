"""The lessons there are: front matter read and checked, body kept as Markdown.

A file is lessons/<language>/<id>.md: TOML between two lines of `+++`, then the text.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from trainer import calc
from trainer.calc import DEFAULT_SHOP, Evaluation
from trainer.calc.sources import SOURCES
from trainer.errors import ContentError, Refusal, UnknownName
from trainer.languages import LANGUAGES, Text
from trainer.lessons.glossary import Glossary, load_glossary
from trainer.lessons.markdown import section_ids
from trainer.paths import content_dir
from trainer.questions.bank import UNFORESEEN
from trainer.questions.source import Source, as_text, read_file

FENCE: Final = "+++"
KEYS: Final = (
    "title", "order", "minutes", "version", "skills", "prerequisites", "sources", "check", "example",
)  # fmt: skip
EXAMPLE_KEYS: Final = ("calculation", "inputs")
TAKEN: Final = "example:"
"""Before an input that is a value of an earlier example: "example:slab.volume"."""
# Hostile Markdown costs time in proportion to its length; no lesson for 15 minutes' reading is longer.
MOST_CHARACTERS: Final = 60_000


@dataclass(frozen=True, slots=True)
class Example:
    """A worked example of a lesson: what is not given comes from the shop standard when it is shown.

    taken: inputs that are a value of an earlier example, by input: the example and the value's name
    """

    calculation: str
    inputs: dict[str, Any]
    texts: dict[str, Any]
    taken: dict[str, tuple[str, str]]


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """One lesson in one language.

    minutes: reading time; order: place in the course; body: Markdown; first: the line of the file it starts on
    check: the questions to be answered right before the lesson counts as read; check_line: where the file names them
    sections: the ids of its parts, in order
    hash: sha256 of the file's bytes; path: relative to lessons/
    """

    id: str
    language: str
    path: str
    title: str
    order: int
    minutes: int
    version: int
    skills: tuple[str, ...]
    prerequisites: tuple[str, ...]
    sources: tuple[str, ...]
    check: tuple[str, ...]
    check_line: int
    sections: tuple[str, ...]
    examples: dict[str, Example]
    body: str
    first: int
    hash: str


@dataclass(frozen=True, slots=True)
class Library:
    """The lessons that could be read, in the order of the course, and what is wrong with the rest."""

    by_language: dict[str, dict[str, Lesson]]
    problems: tuple[ContentError, ...]
    glossary: Glossary = field(default_factory=Glossary)

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids in the order of the course: those of the English lessons, then any that only another language has."""
        known: dict[str, Lesson] = {}
        for language in LANGUAGES:
            known = self.by_language.get(language, {}) | known
        return tuple(sorted(known, key=lambda id: (known[id].order, id)))

    def lesson(self, id: str, language: str = "en") -> Lesson:
        """The lesson in `language`, else in English (its own `language` says which); UnknownName when there is none."""
        for wanted in dict.fromkeys((language, *LANGUAGES)):
            found = self.by_language.get(wanted, {}).get(id)
            if found is not None:
                return found
        raise UnknownName(
            Text(
                en="there is no lesson %(id)s; there are %(known)s.",
                es="no hay una lección %(id)s; hay %(known)s.",
            ),
            id=repr(id),
            known=", ".join(self.ids) or "none",
        )

    def title(self, id: str) -> Text:
        """The lesson's title in both languages."""
        return Text(en=self.lesson(id, "en").title, es=self.lesson(id, "es").title)

    def lessons(self, language: str = "en") -> tuple[Lesson, ...]:
        """Every lesson in the order of the course, each in `language` where it exists."""
        return tuple(self.lesson(id, language) for id in self.ids)


def load_lessons(path: Path | None = None) -> Library:
    """Read the lessons in the folder `path` (the shipped ones by default)."""
    folder = content_dir("lessons") if path is None else path
    problems: list[ContentError] = []
    by_language: dict[str, dict[str, Lesson]] = {}
    for language in LANGUAGES:
        by_language[language] = {}
        for file in sorted((folder / language).glob("*.md")):
            text = read_file(file, f"{language}/{file.name}", problems)
            lesson = None if text is None else read_lesson(file.stem, language, text.encode(), problems)
            if lesson is not None:
                by_language[language][lesson.id] = lesson
    glossary = load_glossary(folder)
    return Library(by_language, (*problems, *glossary.problems), glossary)


def read_lesson(id: str, language: str, content: bytes, problems: list[ContentError]) -> Lesson | None:
    """One lesson file; None, with its mistakes added to `problems`, when there are any in its front matter."""
    path = f"{language}/{id}.md"
    text = as_text(content, path, problems)
    if text is None:
        return None
    lines = text.splitlines()
    ends = [number for number, line in enumerate(lines) if line.strip() == FENCE][:2]
    if len(ends) < 2 or ends[0] != 0:
        problems.append(
            ContentError(path, 1, "a lesson begins with its front matter between two lines of +++.")
        )
        return None
    body = "\n".join(lines[ends[1] + 1 :])
    source = Source(path, "\n".join(lines[1 : ends[1]]), first=2)
    head: dict[str, Any] = {}
    try:
        head = _head(source, source.tables())
    except UNFORESEEN as error:
        source.problem_at(
            1, f"something in the front matter has a form that nothing here can read ({error})."
        )
    if len(body) > MOST_CHARACTERS:
        source.problem_at(0, f"the lesson is longer than {MOST_CHARACTERS} characters; make two of it.")
    problems += source.problems
    if source.problems:
        return None
    return Lesson(
        id=id,
        language=language,
        path=path,
        body=body,
        sections=section_ids(body),
        first=ends[1] + 2,
        hash=hashlib.sha256(content).hexdigest(),
        **head,
    )


def _head(source: Source, data: Mapping[str, Any]) -> dict[str, Any]:
    source.known(data, KEYS)
    head: dict[str, Any] = {"title": source.take(data, "title", str)}
    for key in ("order", "minutes", "version"):
        head[key] = source.take(data, key, int)
        if head[key] is not None and head[key] < 1:
            source.problem((key,), f"{key} is 1 or more, not {head[key]}.")
    for key in ("skills", "sources", "check"):
        head[key] = tuple(source.texts(data, key))
    head["check_line"] = source.line(("check",))
    head["prerequisites"] = tuple(source.texts(data, "prerequisites", optional=True))
    for unknown in sorted(set(head["sources"]) - set(SOURCES)):
        source.problem(
            ("sources",), f"there is no source {unknown!r}; there are {', '.join(sorted(SOURCES))}."
        )
    head["examples"] = {}
    for name, table in (source.take(data, "example", dict, default={}) or {}).items():
        example = _example(source, name, table, head["examples"])
        if example is not None:
            head["examples"][name] = example
    return head


def _example(source: Source, name: str, table: Any, earlier: Mapping[str, Example]) -> Example | None:
    where = ("example", name)
    if name in ("shop", "position") or not name.isidentifier():
        source.problem(where, f"an example cannot be called {name!r}; use a word of its own, such as slab.")
        return None
    if not isinstance(table, Mapping):
        source.problem(where, f"example {name} must be a table headed [example.{name}].")
        return None
    source.known(table, EXAMPLE_KEYS, where)
    calculation = source.take(table, "calculation", str, where)
    texts = source.take(table, "inputs", dict, where)
    if calculation is None or texts is None:
        return None
    if calculation not in calc.names():
        source.problem(
            (*where, "calculation"),
            f"there is no calculation {calculation!r}; there are {', '.join(calc.names())}.",
        )
        return None
    try:
        taken = {
            each: _taken(calculation, each, text, earlier) for each, text in texts.items() if _names(text)
        }
        inputs = calc.read_inputs(
            calculation, {each: text for each, text in texts.items() if each not in taken}
        )
        example = Example(calculation, inputs, dict(texts), taken)
        work_example(example, work_all(earlier))
    except Refusal as refusal:
        source.problem((*where, "inputs"), str(refusal))
        return None
    return example


def _names(text: Any) -> bool:
    return isinstance(text, str) and text.startswith(TAKEN)


def _taken(calculation: str, input: str, text: str, earlier: Mapping[str, Example]) -> tuple[str, str]:
    """The earlier example and its value that an input takes; Refusal when there is no such value in the input's unit."""
    example, _, value = text.removeprefix(TAKEN).partition(".")
    if example in earlier:
        quantity = calc.get(earlier[example].calculation).quantities.get(value)
        if (
            quantity
            and quantity.kind == "number"
            and quantity.unit == calc.get(calculation).input(input).unit
        ):
            return example, value
    raise Refusal(
        Text(
            en="%(text)s is no value of an earlier example in the unit of %(input)s; write for example "
            "example:slab.volume.",
            es="%(text)s no es un valor de un ejemplo anterior en la unidad de %(input)s; escriba por ejemplo "
            "example:slab.volume.",
        ),
        text=repr(text),
        input=input,
    )


def work_example(
    example: Example, worked: Mapping[str, Evaluation | Refusal], shop: Mapping[str, Any] = DEFAULT_SHOP
) -> Evaluation:
    """The example with the shop's figures; Refusal when it, or an example that it takes a value from, cannot be worked."""
    inputs = dict(example.inputs)
    for each, (name, value) in example.taken.items():
        source = worked[name]
        if isinstance(source, Refusal):
            raise source
        inputs[each] = source.values[value]
    return calc.work(example.calculation, inputs, shop)


def work_all(
    examples: Mapping[str, Example], shop: Mapping[str, Any] = DEFAULT_SHOP
) -> dict[str, Evaluation | Refusal]:
    """Each example worked with the shop's figures, or why the core refuses it in this shop."""
    worked: dict[str, Evaluation | Refusal] = {}
    for name, example in examples.items():
        try:
            worked[name] = work_example(example, worked, shop)
        except Refusal as refusal:
            worked[name] = refusal
    return worked
