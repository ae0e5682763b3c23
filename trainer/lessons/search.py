"""Search over the lessons and the glossary in both languages.

The index is made from the content and a standard alone, so every process has the same. A place is found when every word
asked for begins a word in it; capitals and accents do not count.
"""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.languages import LANGUAGES, folded
from trainer.lessons.library import Lesson, Library, work_all
from trainer.lessons.markdown import tokens
from trainer.lessons.reading import READ
from trainer.lessons.rendering import filled

MOST_ASKED: Final = 80
MOST_FOUND: Final = 40
MOST_KEPT: Final = 4
AROUND: Final = 70
"""Characters of a snippet before the first hit; about twice as many follow."""


@dataclass(frozen=True, slots=True)
class Place:
    """One section of a lesson, or one term (lesson is ""): its words, and the same words folded letter by letter.

    starts: for each folded letter, the letter of `text` it comes from
    """

    language: str
    lesson: str
    id: str
    title: str
    text: str
    plain: str
    starts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """A place with all words asked for; snippet: pieces of its text, each with whether it is one of the words."""

    place: Place
    snippet: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Index:
    """Every place there is, terms first, lessons in the order of the course."""

    places: tuple[Place, ...]

    def find(self, asked: str, language: str = "en") -> list[Hit]:
        """The places with every word of `asked`, those in `language` first and among them terms and titles first."""
        words = asked_words(asked)
        if not words:
            return []
        patterns = [_pattern(word) for word in words]
        found = []
        for at, place in enumerate(self.places):
            title = folded(place.title)
            if all(pattern.search(title) or pattern.search(place.plain) for pattern in patterns):
                in_title = all(pattern.search(title) for pattern in patterns)
                found.append((place.language != language, bool(place.lesson), not in_title, at, place))
        return [
            Hit(place, _snippet(place, patterns)) for *_order, place in sorted(found, key=lambda one: one[:4])
        ][:MOST_FOUND]


@dataclass(slots=True)
class Search:
    """Searches one library; keeps the index of each standard it was asked for, which is the same in every process."""

    library: Library
    _kept: OrderedDict[tuple[Any, ...], Index] = field(default_factory=OrderedDict)

    def find(self, asked: str, shop: Mapping[str, Any] = DEFAULT_SHOP, language: str = "en") -> list[Hit]:
        """As `Index.find`, with the figures of `shop` in the texts."""
        if not asked_words(asked):
            return []
        key = tuple(sorted(shop.items()))
        if key not in self._kept:
            self._kept[key] = build_index(self.library, shop)
            if len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return self._kept[key].find(asked, language)


def asked_words(asked: str) -> tuple[str, ...]:
    """The words of what was typed, folded; marks round them do not count."""
    return tuple(dict.fromkeys(re.findall(r"[\w#](?:[\w/.,\u2044]*\w)?", folded(asked[:MOST_ASKED]))))


def build_index(library: Library, shop: Mapping[str, Any] = DEFAULT_SHOP) -> Index:
    """The index of a library with a shop's figures in its texts."""
    places = []
    for language in LANGUAGES:
        for term in library.glossary.sorted(language):
            other = ", ".join(term.other[language])
            words = term.meaning.in_language(language) + (f" ({other})" if other else "")
            places.append(_place(language, "", term.id, term.name.in_language(language), words))
    for language in LANGUAGES:
        for id in library.ids:
            lesson = library.by_language.get(language, {}).get(id)
            if lesson is not None:
                places += _sections(lesson, shop)
    return Index(tuple(places))


def _sections(lesson: Lesson, shop: Mapping[str, Any]) -> Iterator[Place]:
    """One place for each section; what stands before the first belongs to the lesson's title."""
    id, title = "", lesson.title
    words: list[str] = []
    parsed = tokens(filled(lesson, work_all(lesson.examples, shop), shop))
    for before, token in zip([None, *parsed], parsed, strict=False):
        if before is not None and before.type == "heading_open" and before.tag == "h2":
            if id:
                yield _place(lesson.language, lesson.id, id, title, " ".join(words))
            id, title, words = str(before.attrGet("id")), re.sub(r"[*_`]", "", token.content), []
        elif token.type == "inline":
            words.append(_words(token))
        elif token.type == "fence" and token.info.strip() in READ:
            words += [_words(inner) for inner in tokens(token.content) if inner.type == "inline"]
        elif token.type == "fence" and token.info.strip() == "figure":
            words.append(" ".join(token.content.strip().split("\n")[1:]))
    if id:
        yield _place(lesson.language, lesson.id, id, title, " ".join(words))


def _words(token: Any) -> str:
    return "".join(child.content if child.type == "text" else " " for child in token.children or ())


def _place(language: str, lesson: str, id: str, title: str, words: str) -> Place:
    text = " ".join(words.split())
    pieces = [_letter(letter) for letter in text]
    starts = [at for at, piece in enumerate(pieces) for _plain in piece]
    return Place(language, lesson, id, title, text, "".join(pieces), tuple(starts))


@lru_cache(maxsize=1024)
def _letter(letter: str) -> str:
    return folded(letter)


def _pattern(word: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(word)}")


def _snippet(place: Place, patterns: list[re.Pattern[str]]) -> tuple[tuple[str, bool], ...]:
    """The text round the first hit, cut at words, with the hits in it marked."""
    spans = sorted(match.span() for pattern in patterns for match in pattern.finditer(place.plain))
    first = place.starts[spans[0][0]] if spans else 0
    begin = place.text.rfind(" ", 0, max(first - AROUND, 0)) + 1 if first > AROUND else 0
    end = place.text.find(" ", min(first + 2 * AROUND, len(place.text)))
    end = len(place.text) if end < 0 else end
    pieces: list[tuple[str, bool]] = [("… ", False)] if begin else []
    at = begin
    for left, right in spans:
        start, stop = place.starts[left], place.starts[right - 1] + 1
        if start < at or stop > end:
            continue
        pieces += [(place.text[at:start], False), (place.text[start:stop], True)]
        at = stop
    pieces += (
        [(place.text[at:end], False), (" …", False)] if end < len(place.text) else [(place.text[at:], False)]
    )
    return tuple(piece for piece in pieces if piece[0])
