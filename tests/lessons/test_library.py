"""Reading lessons: front matter checked, a broken file left out, languages side by side."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.lessons import Library

COURSE = Path(__file__).parent / "data" / "course"


def test_lessons_are_read_in_the_order_of_the_course(course: Library) -> None:
    assert course.ids == ("first", "second")
    first = course.lesson("first")
    assert (first.title, first.minutes, first.version, first.skills) == ("First lesson", 5, 2, ("slab-size",))
    assert first.hash == hashlib.sha256((COURSE / "en" / "first.md").read_bytes()).hexdigest()
    assert course.title("first") == Text(en="First lesson", es="Primera lección")
    lines = (COURSE / "en" / "first.md").read_text(encoding="utf-8").splitlines()
    assert lines[first.first - 1 :] == first.body.splitlines()


def test_a_lesson_without_a_translation_comes_in_english(course: Library) -> None:
    assert course.lesson("first", "es").language == "es"
    assert course.lesson("second", "es").language == "en"
    assert [lesson.language for lesson in course.lessons("es")] == ["es", "en"]


def test_an_unknown_lesson_is_refused(course: Library) -> None:
    with pytest.raises(UnknownName, match="no lesson 'third'; there are first, second"):
        course.lesson("third")


MISTAKES = [
    ('title = "First lesson"', "", 0, "has no 'title'"),
    ("order = 1", 'order = "one"', 3, "order must be a whole number"),
    ("minutes = 5", "minutes = 0", 4, "minutes is 1 or more"),
    ("version = 2", "verson = 2", 5, "there is no 'verson'; allowed are"),
    ('sources = ["common-practice"]', 'sources = ["grandpa"]', 7, "there is no source 'grandpa'"),
    ('"crown.slab"', '"crown.slub"', 10, "there is no calculation 'crown.slub'"),
    ('"40 1/2 in"', '"40 1/2 lb"', 11, "chimney_length"),
    ('chimney_length = "40 1/2 in", ', "", 11, "chimney_length"),
    ("[example.slab]", "[example.shop]", 9, "an example cannot be called 'shop'"),
    ("[example.slab]", "[example.slab", 9, "the file is not TOML here"),
    ("+++\ntitle", "title", 1, "begins with its front matter"),
]


@pytest.mark.parametrize(("before", "after", "line", "sentence"), MISTAKES)
def test_a_mistake_in_the_front_matter_is_told(
    changed_course: Callable[..., Library], before: str, after: str, line: int, sentence: str
) -> None:
    library = changed_course("en/first.md", (before, after))
    said = [problem for problem in library.problems if sentence in problem.sentence]
    assert said, [str(problem) for problem in library.problems]
    assert (said[0].path, said[0].line) == ("en/first.md", line)
    assert library.ids == ("first", "second")  # the Spanish one and the other lesson are still there
    assert library.lesson("first", "en").language == "es"
