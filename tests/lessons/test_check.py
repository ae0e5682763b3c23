"""The lesson check: the two languages hold the same, and the shipped course passes."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.shipped import shipped_bank, shipped_lessons
from trainer.lessons import Library
from trainer.lessons.check import check_lessons, differences, orphans
from trainer.questions import Bank


def test_the_small_course_misses_one_translation(course: Library, bank: Bank) -> None:
    assert [str(problem) for problem in check_lessons(course, bank)] == [
        "en/second.md: there is no es/second.md."
    ]


DIFFERENCES = [
    ("{#why}", "{#por-que}", "headings have other ids"),
    (
        "## Ejemplo resuelto {#worked-example}",
        "",
        "headings have other ids or another order: 2 in English and 1 here",
    ),
    ("crown.plan slab", "crown.section slab", "fences differ: number 1 is figure crown.plan slab in English"),
    ("```danger", "```warning", "fences differ: number 3 is danger in English and warning here"),
    ("slab-length\nwhat-first", "what-first", "fences differ"),
    (
        "{{ slab.slab_length }}",
        "{{ slab.slab_width }}",
        "places in double braces differ: missing slab.slab_length",
    ),
    (
        "{{ shop.overhang }}. La losa",
        "2 in. La losa",
        "places in double braces differ: missing shop.overhang",
    ),
    ("Quédese a 10 ft", "Quédese a 1 ft", "typed figures differ: missing 10, not in the English 1"),
    ("lesson:second", "lesson:first", "links lead elsewhere"),
    ("10 ft.\n```", "10 ft.\n```\n\n```caution\nMás.\n```", "fences differ"),
    ("- Orilla", "", "lists and tables differ: number 2 is 2 items in English and 1 items here"),
    (
        "| orilla |",
        "| tubo | {{ slab.flue }} |\n| orilla |",
        "lists and tables differ: number 1 is 2 rows in English",
    ),
    ("version = 2", "version = 1", "version differs"),
    ('check = ["slab-length", "what-first"]', 'check = ["what-first", "slab-length"]', "check differs"),
    ('"40 1/2 in"', '"41 in"', "the examples differ"),
]


@pytest.mark.parametrize(("before", "after", "sentence"), DIFFERENCES)
def test_a_difference_is_told(
    changed_course: Callable[..., Library], before: str, after: str, sentence: str
) -> None:
    library = changed_course("es/first.md", (before, after))
    found = differences(library.lesson("first", "en"), library.lesson("first", "es"))
    assert any(sentence in problem.sentence for problem in found), [str(problem) for problem in found]
    assert {problem.path for problem in found} == {"es/first.md"}


def test_names_that_do_not_exist_are_told(changed_course: Callable[..., Library], bank: Bank) -> None:
    library = changed_course(
        "en/second.md",
        ('skills = ["bag-count"]', 'skills = ["sacks"]'),
        ('prerequisites = ["first"]', 'prerequisites = ["zero"]'),
    )
    said = " ".join(str(problem) for problem in check_lessons(library, bank))
    assert "no skill 'sacks'" in said and "no lesson 'zero'" in said


CHECK_QUESTIONS = [
    ('["bag-count", "what-first"]', '["bag-count"]', "name at least 2 check questions, not 1"),
    ('["bag-count", "what-first"]', '["bag-count", "bag-count"]', "'bag-count' is named 2 times"),
    (
        '["bag-count", "what-first"]',
        '["bag-count", "bag-size"]',
        "no question 'bag-size' in the bank to check with",
    ),
    (
        '["bag-count", "what-first"]',
        '["bag-count", "slab-length"]',
        "'slab-length' asks for slab-size; taught is bag-count",
    ),
    ("## Only in English", "Only in English", "no second-level heading"),
]


@pytest.mark.parametrize(("before", "after", "sentence"), CHECK_QUESTIONS)
def test_check_questions_exist_and_ask_for_what_is_taught(
    changed_course: Callable[..., Library], bank: Bank, before: str, after: str, sentence: str
) -> None:
    library = changed_course("en/second.md", (before, after))
    found = [problem for problem in check_lessons(library, bank) if sentence in problem.sentence]
    assert [(problem.path, problem.line) for problem in found] == [("en/second.md", 9)]


def test_a_lesson_without_check_questions_is_told_and_left_out(
    changed_course: Callable[..., Library],
) -> None:
    library = changed_course("en/second.md", ('check = ["bag-count", "what-first"]\n', ""))
    assert "second" not in library.ids
    assert any("has no 'check'" in problem.sentence for problem in library.problems)


def test_the_shipped_course_passes_its_own_check() -> None:
    library = shipped_lessons()
    assert len(library.ids) >= 6
    assert [str(problem) for problem in check_lessons(library, shipped_bank())] == []
    assert orphans(library, shipped_bank()) == ()


def test_a_lesson_that_teaches_no_skill_is_told(course: Library, bank: Bank) -> None:
    sentence = "no skill of question_bank/skills.toml names this lesson as the one that teaches it."
    assert [str(one) for one in orphans(course, bank)] == [f"en/{id}.md: {sentence}" for id in course.ids]


def test_every_shipped_lesson_holds_what_a_lesson_must() -> None:
    """Things to try, a checklist, a caution, a live example and its sources, in both languages."""
    library = shipped_lessons()
    for language, lessons in library.by_language.items():
        assert set(lessons) == set(library.ids), language
        for lesson in lessons.values():
            assert lesson.sources and lesson.examples, lesson.path
            for fence in ("```try", "```checklist", "```figure"):
                assert fence in lesson.body, f"{lesson.path} has no {fence}"
            assert any(f"```{word}" in lesson.body for word in ("danger", "warning", "caution")), lesson.path
