"""What every lesson holds, as a check: nothing that a reader on a roof relies on may be missing from one of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from trainer.errors import ContentError
from trainer.lessons.directives import SIGNALS
from trainer.lessons.library import Lesson, Library
from trainer.lessons.markdown import tokens

SECTIONS: Final = {
    "aim": "what you will be able to do",
    "mistakes": "common mistakes and how they look later",
    "checklist": "the field checklist",
    "code": "what local code and licensed practice decide",
    "try": "things to try",
    "sources": "the sources",
}
FENCES: Final = {
    "figure": "a figure",
    "working": "an example worked with numbers of one's own",
    "checklist": "a field checklist",
    "differ": "where the sources differ",
    "try": "things to try",
}
LEAST_MISTAKES: Final = 3
LEAST_CHECKS: Final = 5
LEAST_TRIES: Final = 3
LEAST_TERMS: Final = 5
MOST_WORDS: Final = 90
"""Of a paragraph: more than this nobody reads on a phone."""
UNNUMBERED: Final = {"arithmetic", "geometry", "common-practice", "own-default"}
"""Sources that have no sections."""
WHY: Final = re.compile(r"why (it|the|a|concrete) |por qué", re.IGNORECASE)
WINTERS: Final = re.compile(r"winter|invierno", re.IGNORECASE)


@dataclass(slots=True)
class Part:
    """One section: its id, its heading and line, the words of its paragraphs, and how many rows and items it lists."""

    id: str
    line: int
    words: list[str] = field(default_factory=list)
    items: int = 0


def whole_problems(library: Library) -> list[ContentError]:
    """What is missing from each lesson, with the line of the section it is missing from."""
    finders = library.glossary.finders
    found = []
    for language, lessons in library.by_language.items():
        for lesson in lessons.values():
            missing = list(_missing(lesson))
            if library.glossary.terms:
                terms = {id for _start, _end, id in finders[language].found(lesson.body)}
                if len(terms) < LEAST_TERMS:
                    missing.append(
                        (0, f"it uses {len(terms)} terms of the glossary; {LEAST_TERMS} are the least.")
                    )
            found += [ContentError(lesson.path, line, sentence) for line, sentence in missing]
    return found


def _missing(lesson: Lesson) -> Iterator[tuple[int, str]]:
    parts = {part.id: part for part in _parts(lesson)}
    fences = {token.info.strip(): token for token in tokens(lesson.body) if token.type == "fence"}
    for id, what in SECTIONS.items():
        if id not in parts:
            yield 0, f"it has no section {{#{id}}} for {what}."
    for name, what in FENCES.items():
        if name not in fences:
            yield 0, f"it has no fence named {name} for {what}."
    if not SIGNALS.keys() - {"notice"} & fences.keys():
        yield 0, "it has no caution: danger, warning or caution."
    if parts and next(iter(parts)) != "aim":
        yield lesson.first, "it does not begin with the section {#aim}."
    if parts and next(reversed(parts)) != "sources":
        yield lesson.first, "it does not end with the section {#sources}."
    opening = [part for part in parts.values() if part.id == "aim" or part.id.startswith("why")]
    if len(opening) < 2 and not any(WHY.search(" ".join(part.words)) for part in opening):
        yield (
            lesson.first,
            "it does not say why it matters: in the section {#aim}, or in one whose id begins with why.",
        )
    if (mistakes := parts.get("mistakes")) is not None:
        if mistakes.items < LEAST_MISTAKES:
            yield mistakes.line, f"{mistakes.items} mistakes; {LEAST_MISTAKES} are the least."
        if not WINTERS.search(" ".join(mistakes.words)):
            yield mistakes.line, "the mistakes do not say how they look two winters later."
    for name, least in (("checklist", LEAST_CHECKS), ("try", LEAST_TRIES)):
        if (token := fences.get(name)) is not None:
            count = len(
                [
                    line
                    for line in token.content.split("\n")
                    if line.startswith("- ") or (line and name == "try")
                ]
            )
            if count < least:
                line = lesson.first + (token.map[0] if token.map else 0)
                yield line, f"{count} lines in the {name}; {least} are the least."
    if (sources := parts.get("sources")) is not None:
        if not sources.items:
            yield sources.line, "the sources are a list."
        elif set(lesson.sources) - UNNUMBERED and not re.search(r"\d", " ".join(sources.words)):
            yield sources.line, "the sources do not say which section, page or edition."
    for part in parts.values():
        for words in part.words:
            if part.id != "sources" and len(words.split()) > MOST_WORDS:
                yield (
                    part.line,
                    f"a paragraph here has {len(words.split())} words; make two of it ({words[:40]}…).",
                )


def _parts(lesson: Lesson) -> Iterator[Part]:
    part: Part | None = None
    level = ""
    for token in tokens(lesson.body):
        if token.type == "heading_open":
            level = token.tag
            if level == "h2":
                if part is not None:
                    yield part
                part = Part(str(token.attrGet("id")), lesson.first + (token.map[0] if token.map else 0))
        elif part is not None:
            if token.type in ("list_item_open", "tr_open"):
                part.items += 1
            elif token.type == "inline":
                part.words.append(token.content)
    if part is not None:
        yield part
