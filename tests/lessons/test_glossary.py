"""The glossary: terms linked on first use in running text, the file's mistakes told, and the shipped file whole."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from tests.shipped import shipped_bank, shipped_lessons
from trainer.lessons import Library, Renderer, load_lessons
from trainer.lessons.check import check_lessons
from trainer.lessons.glossary import Glossary, read_glossary
from trainer.questions import Bank

FILE = """\
[crown]
en = "crown"
es = "corona"
meaning = { en = "The slab on top.", es = "La losa de arriba." }
forms = { en = ["crowns"], es = ["coronas"] }
other = { en = ["wash"], es = ["remate"] }

[tile]
en = "tile"
es = "tubo"
meaning = { en = "A clay pipe.", es = "Un tubo de barro." }
forms = { en = ["tiles"], es = ["tubos"] }

[flue-tile]
en = "flue tile"
es = "tubo de arcilla"
meaning = { en = "The clay pipe of a flue.", es = "El tubo de barro del conducto." }
forms = { en = ["flue tiles"], es = ["tubos de arcilla"] }

[break]
en = "bond break"
es = "separación sin adherencia"
meaning = { en = "A gap.", es = "Un espacio." }

[brick]
en = "brick"
es = "ladrillo"
meaning = { en = "Fired clay.", es = "Barro cocido." }
linked = false
"""


def linked(changed_course: Callable[..., Library], bank: Bank, text: str) -> list[tuple[str, str]]:
    """The terms linked in a lesson that begins with `text`: the words and the id."""
    library = changed_course(
        "en/first.md", ("## Why it matters {#why}", f"{text}\n\n## Why it matters {{#why}}")
    )
    rendered = Renderer(replace(library, glossary=read_glossary(FILE)), bank).render("first")
    page = BeautifulSoup(rendered.html, "html.parser")
    return [
        (re.sub(r"\s+", " ", link.get_text()), str(link["href"]).removeprefix("#term-"))
        for link in page.select("a.term")
    ]


LINKING = [
    ("A crown on a tile. The crown again.", [("crown", "crown"), ("tile", "tile")]),
    ("Crowns crack.", [("Crowns", "crown")]),
    # the longest that fits, and nothing inside of it
    ("A flue tile, then a tile.", [("flue tile", "flue-tile"), ("tile", "tile")]),
    ("Two flue tiles. A flue tile.", [("flue tiles", "flue-tile")]),
    # words on two lines
    ("Leave a bond\nbreak here.", [("bond break", "break")]),
    # whole words only
    ("Crownlike, uncrown, crown-like, half-tile.", []),
    ("The **crown** and *tiles*.", [("crown", "crown"), ("tiles", "tile")]),
    # not in code, links, headings, figures and their captions, nor a word that is not linked
    ("`crown` and [the crown](lesson:second).", []),
    ("### The crown", []),
    ("```figure\ncrown.plan slab\nThe crown and the flue tile.\n```", []),
    ("A brick.", []),
    # other names are for the glossary only
    ("The wash.", []),
    # the first use counts in the order of the page, in boxes and tables too
    ("```danger\nThe crown.\n```\n\nA crown.", [("crown", "crown")]),
    ("| a | b |\n|---|---|\n| crown | tile |", [("crown", "crown"), ("tile", "tile")]),
    ("<b>crown</b> & tile", [("crown", "crown"), ("tile", "tile")]),
]


@pytest.mark.parametrize(("text", "terms"), LINKING)
def test_terms_are_linked_on_first_use(
    changed_course: Callable[..., Library], bank: Bank, text: str, terms: list[tuple[str, str]]
) -> None:
    # The small course itself says "crown" and "tile" behind the text.
    found = linked(changed_course, bank, text)
    assert found[: len(terms)] == terms
    assert {id for _words, id in found[len(terms) :]} <= {"tile"} - {id for _words, id in terms}
    assert len({id for _words, id in found}) == len(found)


def test_a_box_that_stands_first_has_the_link(changed_course: Callable[..., Library], bank: Bank) -> None:
    library = changed_course(
        "en/first.md",
        ("## Why it matters {#why}", "```danger\nThe crown.\n```\n\nA crown.\n\n## Why it matters {#why}"),
    )
    html = Renderer(replace(library, glossary=read_glossary(FILE)), bank).render("first").html
    (link,) = [
        link for link in BeautifulSoup(html, "html.parser").select("a.term") if link["href"] == "#term-crown"
    ]
    assert link.find_parent("aside") is not None


def test_the_words_around_a_term_stay_as_they_were(course: Library, bank: Bank) -> None:
    plain = Renderer(course, bank).render("first").html
    found = Renderer(replace(course, glossary=read_glossary(FILE)), bank).render("first").html
    assert found != plain
    assert BeautifulSoup(found, "html.parser").get_text() == BeautifulSoup(plain, "html.parser").get_text()


def test_the_terms_of_a_lesson_are_listed_by_name(changed_course: Callable[..., Library], bank: Bank) -> None:
    library = changed_course("en/first.md", ("## Worked example", "A tile. A crown. A bond break."))
    rendered = Renderer(replace(library, glossary=read_glossary(FILE)), bank).render("first")
    assert [term.id for term in rendered.terms] == ["break", "crown", "tile"]


def test_spanish_has_its_own_words(changed_course: Callable[..., Library], bank: Bank) -> None:
    library = changed_course(
        "es/first.md", ("## Ejemplo", "Separación  sin adherencia, coronas.\n\n## Ejemplo")
    )
    rendered = Renderer(replace(library, glossary=read_glossary(FILE)), bank).render("first", language="es")
    assert {"break", "crown"} <= {term.id for term in rendered.terms}


def test_looking_up_ignores_accents_and_capitals() -> None:
    text = FILE.replace('es = "corona"', 'es = "ámbar"').replace('["coronas"]', "[]")
    assert [term.name.es for term in read_glossary(text).sorted("es")][:2] == ["ámbar", "ladrillo"]


MISTAKES = [
    ('en = "crown"\n', "", 3, "crown has no English text"),
    ('es = "corona"', 'es = ""', 3, "crown has no Spanish text"),
    ("meaning = { en", "meanng = { en", 4, "there is no 'meanng' in [crown]"),
    (', es = "La losa de arriba." }', " }", 4, "crown meaning has no Spanish text"),
    ('["crowns"]', '"crowns"', 5, "must be a list"),
    ('["crowns"]', '[""]', 5, "forms of crown holds an empty text"),
    ('forms = { en = ["crowns"], es', 'forms = { fr = ["x"], es', 5, "there is no 'fr'"),
    ("linked = false", 'linked = "no"', 29, "must be true or false"),
    ("linked = false", 'forms = { en = ["bricks"], es = [] }\nlinked = false', 29, "its forms are of no use"),
    ('["tiles"]', '["crowns"]', 8, "'crowns' already means crown"),
    ('["tiles"]', '["Tile"]', 8, "'tile' stands twice"),
    ('"The slab on top."', '"The 2 in slab."', 4, "the figures in the two meanings of crown differ"),
    ("[break]", "[Bond break]", 20, "the file is not TOML here"),
    ("[break]", "[Break]", 20, "is no id"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "line", "sentence"), MISTAKES)
def test_a_mistake_in_the_file_is_told_with_its_line(
    before: str, after: str, line: int, sentence: str
) -> None:
    assert before in FILE
    glossary = read_glossary(FILE.replace(before, after, 1))
    said = [problem for problem in glossary.problems if sentence in problem.sentence]
    assert said, [str(problem) for problem in glossary.problems]
    assert (said[0].path, said[0].line) == ("glossary.toml", line)


def test_the_small_file_is_sound() -> None:
    assert read_glossary(FILE).problems == () and len(read_glossary(FILE).terms) == 5


def test_the_lesson_check_tells_the_mistakes_of_the_glossary(tmp_path: Path) -> None:
    (tmp_path / "glossary.toml").write_text(FILE.replace("meaning", "meanng", 1), encoding="utf-8")
    assert [str(problem) for problem in check_lessons(load_lessons(tmp_path))] == [
        'glossary.toml:1: crown meaning must hold the text in both languages, as en = "..." and es = "...".',
        "glossary.toml:4: there is no 'meanng' in [crown]; allowed are en, es, forms, linked, meaning, other.",
    ]


def test_no_glossary_links_nothing(course: Library, bank: Bank) -> None:
    assert course.glossary == Glossary()
    assert Renderer(course, bank).render("first").terms == ()


def test_the_shipped_glossary() -> None:
    library = shipped_lessons()
    terms = library.glossary.terms
    assert library.glossary.problems == () and len(terms) >= 200
    # The same word of both languages, as reviewed for the site: a few that hurt when they are mistaken.
    for id, en, es in (
        ("harness", "harness", "arnés de cuerpo completo"),
        ("power-line", "power line", "línea eléctrica"),
        ("silica", "respirable crystalline silica", "sílice cristalina respirable"),
        ("bond-break", "bond break", "separación sin adherencia"),
        ("carbon-monoxide", "carbon monoxide", "monóxido de carbono"),
    ):
        assert (terms[id].name.en, terms[id].name.es) == (en, es)


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_shipped_lesson_has_its_terms(language: str) -> None:
    renderer = Renderer(shipped_lessons(), shipped_bank())
    for id in renderer.library.ids:
        rendered = renderer.render(id, language=language)
        page = BeautifulSoup(rendered.html, "html.parser")
        links = [str(link["href"]).removeprefix("#term-") for link in page.select("a.term")]
        assert sorted(links) == sorted(term.id for term in rendered.terms) and len(links) >= 8, id
        assert not page.select(":is(h2, h3, figure, code, a) a.term"), id
