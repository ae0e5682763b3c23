"""A lesson as HTML: figures from the standard and the core, boxes, links, and nothing unsafe."""

from __future__ import annotations

import re
import time
from collections.abc import Callable

import pytest
from bs4 import BeautifulSoup

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError, UnknownName
from trainer.lessons import Library, Rendered, Renderer, Urls
from trainer.questions import Bank


def soup(rendered: Rendered) -> BeautifulSoup:
    return BeautifulSoup(rendered.html, "html.parser")


def test_a_good_lesson_has_no_problems(renderer: Renderer) -> None:
    for language in ("en", "es"):
        assert renderer.render("first", language=language).problems == ()


def test_figures_come_from_the_standard_and_the_core(renderer: Renderer) -> None:
    """40 1/2 in of chimney and 2 in of overhang at both ends: a slab of 44 1/2 in."""
    text = re.sub(r"\s+", " ", soup(renderer.render("first")).get_text(" "))
    assert "The overhang is 2 in. The slab is 44 1/2 in long and ASTM asks for 2 in at least." in text
    assert "The tile is 13 x 13 in." in text
    assert "Some say 2 1/2 in." in text


def test_another_standard_changes_every_figure_of_the_shop_and_no_source(renderer: Renderer) -> None:
    rendered = renderer.render("first", DEFAULT_SHOP | {"overhang": 3.0, "edge_thickness": 5.0})
    text = re.sub(r"\s+", " ", soup(rendered).get_text(" "))
    assert "The overhang is 3 in. The slab is 46 1/2 in long and ASTM asks for 2 in at least." in text
    cells = [cell.get_text() for cell in soup(rendered).find_all("td")]
    assert cells == ["edge", "5 in"]


def test_sections_carry_ids_and_titles(renderer: Renderer) -> None:
    english, spanish = renderer.render("first"), renderer.render("first", language="es")
    assert [(section.id, section.title) for section in english.sections] == [
        ("why", "Why it matters"), ("worked-example", "Worked example")
    ]  # fmt: skip
    assert [section.id for section in spanish.sections] == ["why", "worked-example"]
    assert [heading["id"] for heading in soup(english).find_all("h2")] == ["why", "worked-example"]
    assert "{#" not in english.html


def test_the_fences_become_what_the_page_styles(renderer: Renderer) -> None:
    page = soup(renderer.render("first"))
    figure = page.select_one("figure.drawing")
    assert figure is not None and figure.find("svg") is not None and figure.find("title") is not None
    caption = figure.find("figcaption")
    assert (
        caption is not None
        and caption.decode_contents() == "The crown from <strong>above</strong>, 2 in over."
    )
    working = page.select("ol.working > li")
    assert len(working) >= 5
    box = page.select_one("aside.caution.caution-danger[role=note]")
    assert box is not None and box.get_text(" ", strip=True).startswith("Danger Power lines.")
    assert [item.get_text() for item in page.select("ul.checklist > li")] == ["Overhang 2 in", "Edge"]
    assert page.select_one("section.differ") is not None
    assert [link["href"] for link in page.select("ul.tries a")] == [
        "/practice/slab-length",
        "/practice/what-first",
    ]
    assert page.select("ul.tries a")[0].get_text() == "Slab size: How long is the slab?"


def test_spanish_words_of_the_page(renderer: Renderer) -> None:
    page = soup(renderer.render("first", language="es"))
    word = page.select_one(".signal-word")
    assert word is not None and word.get_text() == "Peligro"
    assert page.select("ul.tries a")[0].get_text() == "Medidas de la losa: ¿Cuánto mide la losa?"


def test_links_go_where_the_caller_says(course: Library, bank: Bank) -> None:
    renderer = Renderer(course, bank, Urls(lesson="/a/{}".format, question="/b/{}".format))
    links = [link["href"] for link in soup(renderer.render("first")).find_all("a")]
    assert links[:3] == ["/a/second", "/b/slab-length", "#why"]


def test_the_questions_to_try_are_listed(renderer: Renderer) -> None:
    assert renderer.render("first").tries == ("slab-length", "what-first")


def test_a_missing_translation_is_marked(renderer: Renderer) -> None:
    rendered = renderer.render("second", language="es")
    assert (rendered.translated, rendered.language) == (False, "en")
    assert renderer.render("first", language="es").translated


def test_an_unknown_lesson_is_refused(renderer: Renderer) -> None:
    with pytest.raises(UnknownName):
        renderer.render("third")


def test_rendering_is_kept_by_content_standard_and_language(renderer: Renderer) -> None:
    first = renderer.render("first")
    assert renderer.render("first", dict(DEFAULT_SHOP)) is first
    assert renderer.render("first", DEFAULT_SHOP | {"overhang": 3.0}) is not first
    assert renderer.render("first", language="es") is not first
    start = time.perf_counter()
    for _ in range(100):
        renderer.render("first")
    assert time.perf_counter() - start < 0.5  # far under 50 ms a page once warm


# (text found, text put there, part of the line it is told on, part of the sentence)
MISTAKES = [
    ("```figure\ncrown.plan slab", "```figure\ncrown.plan slub", "crown.plan slub", "no example 'slub'; there are slab"),
    ("```figure\ncrown.plan slab", "```figure\ncrown.top slab", "crown.top slab", "no figure 'crown.top'"),
    ("```figure\ncrown.plan slab", "```figure\nladder.side slab", "ladder.side", "drawn from ladder.set"),
    ("```working\nslab", "```working\nslub", "slub", "no example 'slub'"),
    ("```working", "```sums", "```sums", "no fence named 'sums'; there are caution"),
    ("slab-length\nwhat-first", "slab-length\nwhat-second", "what-second", "no question 'what-second'"),
    ("(question:slab-length)", "(question:slab)", "(question:slab)", "no question 'slab'"),
    ("(lesson:second)", "(lesson:third)", "(lesson:third)", "no lesson 'third'; there are first, second"),
    ("(#why)", "(#because)", "", "no heading here has the id 'because'"),
    ("(#why)", "(javascript:alert)", "", ""),
    ("(#why)", "(why.html)", "", "the link 'why.html' leads nowhere"),
    ("{{ shop.overhang }}. The slab", "{{ shop.hangover }}. The slab", "hangover", "no value"),
    ("{{ slab.slab_length }}", "{{ slab.length }}", "slab.length", "no value"),
    ("{{ slab.slab_length }}", "{{ slob.slab_length }}", "slob", "no value"),
    ("{{ slab.slab_length }}", "{{ slab.__class__ }}", "__class__", "names in double braces"),
    ("{{ slab.slab_length }}", "{{ slab.slab_length", "slab.slab_length", "not closed"),
    ('("overhang", "astm-c1283")', '("overhang", "grandpa")', "grandpa", "no figure of 'grandpa'"),
    ('("overhang", "astm-c1283")', '("hangover", "astm-c1283")', "hangover", "the shop standard has no 'hangover'"),
    ("## Worked example", "## Worked example {#why}", "{#why}", "two headings have the id 'why'"),
    ("## Worked example", "# Worked example", "# Worked", "the title stands in the front matter"),
    ("## Worked example", "![photo](a.png)", "![photo]", "pictures come from the drawings"),
    ("```checklist\n- Overhang {{ shop.overhang }}\n- Edge", "```checklist\nOverhang", "Overhang", "a checklist holds a list"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "on", "sentence"), MISTAKES)
def test_a_mistake_in_the_text_is_told_with_its_line_and_the_rest_is_shown(
    changed_course: Callable[..., Library], bank: Bank, before: str, after: str, on: str, sentence: str
) -> None:
    library = changed_course("en/first.md", (before, after))
    rendered = Renderer(library, bank).render("first")
    said = [problem for problem in rendered.problems if sentence in problem.sentence]
    if sentence:
        assert said, [str(problem) for problem in rendered.problems]
        assert isinstance(said[0], ContentError) and said[0].path == "en/first.md"
        lesson = library.lesson("first")
        if on:
            assert on in ("\n" * (lesson.first - 1) + lesson.body).split("\n")[said[0].line - 1]
    assert "Why it matters" in rendered.html and "Power lines" in rendered.html


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "[a](javascript:alert(1))",
        "[a](data:text/html;base64,PHNjcmlwdD4=)",
        "[a](vbscript:x)",
        "![a](javascript:alert(1))",
        '[a](lesson:second "x\\" onclick=\\"alert(1)")',
        "## <b onclick=alert(1)>x</b>",
        "```<script>\nalert(1)\n```",
        "```\n<script>alert(1)</script>\n```",
        "```danger\n<script>alert(1)</script>\n```",
        "```figure\ncrown.plan slab\n<script>alert(1)</script>\n```",
    ],
)
def test_raw_html_and_script_links_never_come_through(
    changed_course: Callable[..., Library], bank: Bank, text: str
) -> None:
    library = changed_course("en/first.md", ("## Worked example", f"{text}\n\n## Worked example"))
    page = soup(Renderer(library, bank).render("first"))
    assert page.find("script") is None and page.find("img") is None
    for tag in page.find_all(True):
        assert not [name for name in tag.attrs if name.startswith("on")]
        assert re.match(r"(/|#|https?://|$)", str(tag.get("href", "")))


def test_a_shop_that_the_example_cannot_take_is_told_on_the_page(course: Library, bank: Bank) -> None:
    """A bond gap of 6 in each side leaves no wall round a 13 in tile in a 24 in chimney."""
    rendered = Renderer(course, bank).render("first", DEFAULT_SHOP | {"bond_gap": 6.0})
    assert rendered.problems == ()  # the lesson is sound; the shop's figure is what does not fit
    boxes = [box.get_text(" ") for box in soup(rendered).select("aside.caution-notice")]
    assert any("does not work with this shop's figures: bond_gap" in box for box in boxes)
    text = re.sub(r"\s+", " ", soup(rendered).get_text(" "))
    assert "The slab is – long" in text and "The tile is 13 x 13 in." in text
    assert "Power lines" in rendered.html
