"""The glossary: the words of the trade in both languages, one file for all lessons.

A term has its name and meaning in both languages; `forms` (plurals and the like) are linked as its name is, `other`
names are shown and searched but never linked, for the same word often means something else elsewhere.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from trainer.errors import ContentError
from trainer.languages import LANGUAGES, Text, folded
from trainer.questions.source import Source

FILE: Final = "glossary.toml"
KEYS: Final = ("en", "es", "meaning", "forms", "other", "linked")
ID: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
NUMBER: Final = re.compile(r"\d+(?:[.,/]\d+)*")


@dataclass(frozen=True, slots=True)
class Term:
    """One word of the trade.

    forms: further texts that are linked to it, by language; other: other names, by language
    linked: whether lessons link it at all
    """

    id: str
    name: Text
    meaning: Text
    forms: dict[str, tuple[str, ...]]
    other: dict[str, tuple[str, ...]]
    linked: bool = True

    def texts(self, language: str) -> tuple[str, ...]:
        """What a lesson in `language` may write to mean this term."""
        return (self.name.in_language(language), *self.forms[language]) if self.linked else ()


@dataclass(frozen=True)
class Glossary:
    """The terms there are, and what is wrong with the rest of the file."""

    terms: dict[str, Term] = field(default_factory=dict)
    problems: tuple[ContentError, ...] = ()

    def sorted(self, language: str) -> tuple[Term, ...]:
        """Every term by its name in `language`, as a person looks it up: accents and capitals do not count."""
        return tuple(
            sorted(self.terms.values(), key=lambda term: (folded(term.name.in_language(language)), term.id))
        )

    @cached_property
    def finders(self) -> dict[str, Finder]:
        return {language: Finder.made(self, language) for language in LANGUAGES}


@dataclass(frozen=True, slots=True)
class Finder:
    """Finds the terms of one language in plain text: whole words, any capitals, the longest one that fits.

    pattern: None when there is nothing to find; ids: term by each text in lower case
    """

    pattern: re.Pattern[str] | None
    ids: dict[str, str]

    @classmethod
    def made(cls, glossary: Glossary, language: str) -> Finder:
        ids = {
            text.lower(): term.id for term in glossary.terms.values() for text in term.texts(language) if text
        }
        # At one place a pattern takes the first choice that fits, so the longest stands first.
        choices = (
            r"\s+".join(re.escape(word) for word in text.split())
            for text in sorted(ids, key=lambda text: (-len(text), text))
        )
        return cls(re.compile(rf"(?<![\w-])(?:{'|'.join(choices)})(?![\w-])", re.I) if ids else None, ids)

    def found(self, text: str) -> list[tuple[int, int, str]]:
        """Every term of the text from left to right: where it starts and ends, and its id."""
        if self.pattern is None:
            return []
        return [
            (match.start(), match.end(), self.ids[" ".join(match[0].split()).lower()])
            for match in self.pattern.finditer(text)
        ]


def load_glossary(folder: Path) -> Glossary:
    """The glossary of the lessons in `folder`; an empty one where there is no such file."""
    path = folder / FILE
    return read_glossary(path.read_text(encoding="utf-8")) if path.is_file() else Glossary()


def read_glossary(text: str) -> Glossary:
    """A glossary file's text; a term with a mistake is left out and the mistake listed with its line."""
    source = Source(FILE, text)
    terms: dict[str, Term] = {}
    owners: dict[tuple[str, str], str] = {}
    for id, table in source.tables().items():
        before = len(source.problems)
        term = _term(source, id, table)
        if term is not None:
            _check_owners(source, term, owners)
        if term is not None and len(source.problems) == before:
            terms[id] = term
    return Glossary(terms, tuple(source.problems))


def _term(source: Source, id: str, table: Any) -> Term | None:
    if not isinstance(table, Mapping):
        source.problem((id,), f"a term is a table headed [{id}].")
        return None
    if not ID.fullmatch(id):
        source.problem((id,), f"{id!r} is no id: small letters, figures and hyphens only.")
    source.known(table, KEYS, (id,))
    name = source.both(table, (id,))
    meaning = source.both(table.get("meaning"), (id, "meaning"))
    linked = source.take(table, "linked", bool, (id,), default=True)
    lists = {key: _lists(source, id, key, table.get(key, {})) for key in ("forms", "other")}
    if name is None or meaning is None:
        return None
    if Counter(NUMBER.findall(meaning.en)) != Counter(NUMBER.findall(meaning.es)):
        source.problem((id, "meaning"), f"the figures in the two meanings of {id} differ.")
    if not linked and any(lists["forms"].values()):
        source.problem((id, "forms"), f"{id} is not linked, so its forms are of no use.")
    return Term(id, name, meaning, lists["forms"], lists["other"], linked)


def _lists(source: Source, id: str, key: str, table: Any) -> dict[str, tuple[str, ...]]:
    if not isinstance(table, Mapping):
        source.problem((id, key), f"{key} of {id} must be a table with the lists en and es.")
        table = {}
    source.known(table, LANGUAGES, (id, key))
    found = {}
    for language in LANGUAGES:
        texts = source.texts(table, language, (id, key), optional=True)
        if any(not text.strip() for text in texts):
            source.problem((id, key), f"{key} of {id} holds an empty text.")
        found[language] = tuple(" ".join(text.split()) for text in texts if text.strip())
    return found


def _check_owners(source: Source, term: Term, owners: dict[tuple[str, str], str]) -> None:
    """A text means one term only, or nobody could say where its link leads."""
    for language in LANGUAGES:
        texts = [term.name.in_language(language), *term.forms[language]]
        for text in texts:
            key = (language, text.lower())
            owner = owners.setdefault(key, term.id)
            if owner != term.id:
                source.problem((term.id,), f"{text!r} already means {owner}.")
            elif sum(one.lower() == text.lower() for one in texts) > 1:
                source.problem((term.id,), f"{text!r} stands twice.")
                break
