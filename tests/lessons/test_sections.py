"""A lesson cut at its sections is the same lesson, in both languages."""

from __future__ import annotations

from bs4 import BeautifulSoup

from tests.shipped import shipped_bank, shipped_lessons
from trainer.lessons import Library, Renderer, Section, cut_at_sections
from trainer.lessons.markdown import section_ids


def test_the_small_course(renderer: Renderer) -> None:
    rendered = renderer.render("first")
    before, found = cut_at_sections(rendered.html, rendered.sections)
    assert [part.section.id for part in found] == ["why", "worked-example"]
    assert before + "".join(part.html for part in found) == rendered.html
    assert before.strip() == "" and all(part.html.startswith("<h2 id=") for part in found)


def test_words_before_the_first_section_and_none_at_all() -> None:
    html = '<p>First.</p>\n<h2 id="a">A</h2>\n<p>One.</p>\n<h2 id="b">B</h2>\n<p>Two.</p>\n'
    before, found = cut_at_sections(html, (Section("a", "A"), Section("b", "B")))
    assert before == "<p>First.</p>\n"
    assert [part.html for part in found] == [
        '<h2 id="a">A</h2>\n<p>One.</p>\n',
        '<h2 id="b">B</h2>\n<p>Two.</p>\n',
    ]
    assert cut_at_sections("<p>All.</p>", ()) == ("<p>All.</p>", ())


def test_headings_inside_a_fence_or_below_are_no_sections(course: Library) -> None:
    text = "## One {#one}\n\n### Below {#below}\n\n```differ\n## Inside {#inside}\n```\n\n## Two, in words\n"
    assert section_ids(text) == ("one", "two-in-words")
    assert course.lesson("first").sections == ("why", "worked-example")


def test_every_shipped_lesson_is_whole_in_each_of_its_parts() -> None:
    """No part begins inside an element that another part ends: cut HTML would spoil the page."""
    library = shipped_lessons()
    renderer = Renderer(library, shipped_bank())
    for language in ("en", "es"):
        for lesson in library.lessons(language):
            rendered = renderer.render(lesson.id, language=language)
            before, found = cut_at_sections(rendered.html, rendered.sections)
            assert before + "".join(part.html for part in found) == rendered.html
            assert (
                tuple(part.section.id for part in found)
                == lesson.sections
                == library.lesson(lesson.id).sections
            )
            whole = BeautifulSoup(rendered.html, "html.parser")
            tops = [tag.name for tag in whole.find_all(recursive=False)]
            pieces = [BeautifulSoup(html, "html.parser") for html in (before, *(part.html for part in found))]
            assert [tag.name for piece in pieces for tag in piece.find_all(recursive=False)] == tops
            assert all(piece.find(recursive=False).name == "h2" for piece in pieces[1:])
