"""Search: all words, accents and capitals folded, both languages, the hit marked in its place."""

from __future__ import annotations

import re

import pytest

from tests.shipped import shipped_lessons
from trainer.calc import DEFAULT_SHOP
from trainer.languages import folded
from trainer.lessons import Search, load_lessons
from trainer.lessons.search import MOST_FOUND, Hit, asked_words, build_index

LIBRARY = shipped_lessons()
SEARCH = Search(LIBRARY)
INDEX = build_index(LIBRARY)


def found(asked: str, language: str = "en") -> list[Hit]:
    return SEARCH.find(asked, DEFAULT_SHOP, language)


def marked(hit: Hit) -> list[str]:
    return [words for words, is_hit in hit.snippet if is_hit]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("Bond  break", ("bond", "break")),
        ("separación", ("separacion",)),
        ("¿ARNÉS?", ("arnes",)),
        ("1 1/2 in.", ("1", "1/2", "in")),
        ("#3 bar", ("#3", "bar")),
        ("  ", ()),
        ("...!", ()),
        ("bar bar", ("bar",)),
    ],
)
def test_the_words_asked_for(asked: str, words: tuple[str, ...]) -> None:
    assert asked_words(asked) == words


def begins_a_word(text: str, word: str) -> bool:
    """Whether `word` stands in the folded text at the beginning of a word, letter by letter."""
    return any(
        text.startswith(word, at) and (at == 0 or not (text[at - 1].isalnum() or text[at - 1] == "_"))
        for at in range(len(text))
    )


def test_every_place_found_has_every_word_and_no_place_is_missed() -> None:
    """Against a plain scan of every place, letter by letter."""
    places = [(place, folded(f"{place.title} | {place.text}")) for place in INDEX.places]
    for asked in ("bond break", "ladder rail", "silice agua", "losa saliente", "two winters", "5,000"):
        words = folded(asked).split()
        right = {
            (place.language, place.lesson, place.id)
            for place, text in places
            if all(begins_a_word(text, word) for word in words)
        }
        hits = {(hit.place.language, hit.place.lesson, hit.place.id) for hit in found(asked)}
        assert right and len(hits) == min(len(right), MOST_FOUND) and hits <= right, asked


def test_accents_and_capitals_do_not_count() -> None:
    plain = found("separacion sin adherencia", "es")
    assert plain == found("SEPARACIÓN sin adherencia", "es") and plain[0].place.id == "bond-break"
    assert {hit.place.language for hit in plain} == {"es"}


def test_the_hit_is_marked_in_the_text_as_it_stands() -> None:
    for asked, language in (("silice", "es"), ("harness", "en"), ("½", "en"), ("pulgadas", "es")):
        for hit in found(asked, language):
            joined = "".join(words for words, _is_hit in hit.snippet)
            assert len(joined) < 320 and joined.strip("… ") in hit.place.text
            for words in marked(hit):
                assert folded(words) in folded(asked)
            if folded(asked) not in folded(hit.place.title):
                assert marked(hit), (asked, hit.place.id)


def test_the_readers_language_stands_first() -> None:
    for language in ("en", "es"):
        languages = [hit.place.language for hit in found("dermatitis", language)]
        assert languages[0] == language and len(set(languages)) == 2
        assert languages == sorted(languages, key=lambda one: one != language)


def test_a_term_then_titles_then_texts() -> None:
    hits = [hit.place for hit in found("overhang") if hit.place.language == "en"]
    assert hits[0].lesson == "" and hits[0].id == "overhang"
    assert ("crown-geometry", "overhang") in {(place.lesson, place.id) for place in hits[:4]}


def test_sections_are_those_of_the_lesson_and_figures_are_the_shops() -> None:
    index = build_index(LIBRARY, DEFAULT_SHOP | {"overhang": 3.0})
    (place,) = [
        one
        for one in index.places
        if (one.lesson, one.id, one.language) == ("crown-geometry", "overhang", "en")
    ]
    assert "This shop's overhang is 3 in." in place.text and place.title == "Overhang: away from the wall"
    assert place.text.startswith("Rain runs down the top")
    for lesson in LIBRARY.lessons("es"):
        ids = [one.id for one in index.places if (one.lesson, one.language) == (lesson.id, "es")]
        assert ids == re.findall(r"(?m)^## .*\{#([\w-]+)\}", lesson.body)


def test_two_indexes_are_the_same() -> None:
    assert build_index(load_lessons()) == INDEX


@pytest.mark.parametrize("asked", ["", "   ", "zzzz", "crown zzzz", "(" * 200, "\\", "<script>", "a" * 5000])
def test_nothing_found_is_nothing(asked: str) -> None:
    assert found(asked) == []
