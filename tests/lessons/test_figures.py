"""Measurements typed in lesson text: found in both languages, held against the list, and the list against the core."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from tests.shipped import shipped_lessons
from trainer.calc import chimney, fall, lifting, noise
from trainer.errors import ContentError
from trainer.lessons import Library
from trainer.lessons.figures import amounts, figure_problems, load_figures, read_figures

AMOUNTS = [
    ("It is 2 in deep.", [(2, "in")]),
    ("1 1/2 in, 3/8 in and 0.68 ft³", [(1.5, "in"), (0.375, "in"), (0.68, "ft³")]),
    ("60 to 80 lb", [(60, "lb"), (80, "lb")]),
    ("between 40 and 95 °F", [(40, "°F"), (95, "°F")]),
    ("entre 40 y 95 °F", [(40, "°F"), (95, "°F")]),
    ("de 60 a 80 lb", [(60, "lb"), (80, "lb")]),
    ("5,000 lb for each", [(5000, "lb")]),
    ("25 percent, 25 por ciento, 25 %", [(25, "%")] * 3),
    ("4 hours, 4 horas, 4 h", [(4, "h")] * 3),
    ("10 degrees, 10 grados", [(10, "deg")] * 2),
    ("30 years, 30 años", [(30, "yr")] * 2),
    ("6 feet, 6 pies, 6 ft", [(6, "ft")] * 3),
    ("20 square feet, 20 pies cuadrados", [(20, "ft²")] * 2),
    ("**6 ft** up", [(6, "ft")]),
    # no measurements
    ("29 CFR 1926.501 in construction", []),
    ("section 8.3 in the standard", []),
    ("R1003.9 in", []),
    ("4 to 1, 6/12, #3", []),
    ("{{ shop.overhang }} in", []),
    ("`2 in` and [a](lesson:x-2) in", []),
    ("12 inside", []),
]


@pytest.mark.parametrize(("text", "found"), AMOUNTS)
def test_measurements_are_found(text: str, found: list[tuple[float, str]]) -> None:
    assert [(float(number), unit) for (number, unit), _words, _start in amounts(text)] == found


LIST = """\
[[figure]]
value = "10 ft"
lessons = ["first"]
meaning = "distance from a power line"
source = "common-practice"
"""


def problems(library: Library, tmp_path: Path, text: str = LIST) -> list[str]:
    (tmp_path / "figures.toml").write_text(text, encoding="utf-8")
    return [str(problem) for problem in figure_problems(library, tmp_path)]


def test_a_course_that_types_only_what_is_listed(course: Library, tmp_path: Path) -> None:
    assert problems(course, tmp_path) == []


@pytest.mark.parametrize(
    ("file", "before", "after", "typed"),
    [
        ("en/first.md", "The tile is", "It is 3 in. The tile is", "3 in"),
        ("en/first.md", "Stay 10 ft away", "Stay 11 ft away", "11 ft"),
        ("en/first.md", "Stay 10 ft away", "Stay 10 in away", "10 in"),
        ("es/first.md", "Quédese a 10 ft", "Quédese a 1 ft", "1 ft"),
        ("es/first.md", "Quédese a 10 ft", "Quédese a 10 pulgadas", "10 pulgadas"),
    ],
)
def test_a_figure_that_nobody_listed_is_told_with_its_line(
    changed_course: Callable[..., Library], tmp_path: Path, file: str, before: str, after: str, typed: str
) -> None:
    library = changed_course(file, (before, after))
    lesson = library.lesson("first", file[:2])
    (said,) = [one for one in problems(library, tmp_path) if "is typed here" in one]
    line = int(said.split(":")[1])
    assert said.startswith(f"{file}:") and f": {typed} is typed here" in said
    assert after.split("{{")[0] in lesson.body.split("\n")[line - lesson.first]


def test_an_example_s_own_figure_may_be_typed(changed_course: Callable[..., Library], tmp_path: Path) -> None:
    library = changed_course("en/first.md", ("The tile is", "It is 40 1/2 in long. The tile is"))
    assert problems(library, tmp_path) == []


def test_a_listed_figure_that_is_typed_nowhere_is_told(course: Library, tmp_path: Path) -> None:
    more = LIST + LIST.replace("10 ft", "2 1/2 in")
    assert problems(course, tmp_path, more) == [
        "figures.toml:6: 2 1/2 in is not typed in first; take it off the list."
    ]
    assert problems(course, tmp_path, LIST.replace('"first"', '"first", "third"')) == [
        "figures.toml:1: there is no lesson 'third'."
    ]


MISTAKES = [
    ('"10 ft"', '"ten feet"', 2, "is no figure with a unit"),
    ('"10 ft"', '"10"', 2, "is no figure with a unit"),
    ('"common-practice"', '"grandpa"', 5, "there is no source 'grandpa'"),
    ("meaning", "meanng", 4, "there is no 'meanng'"),
    ('["first"]', '"first"', 3, "must be a list"),
    ("[[figure]]", "[[figur]]", 1, "there is no 'figur'"),
    ("[[figure]]", "[[figure]", 1, "the file is not TOML here"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "line", "sentence"), MISTAKES)
def test_a_mistake_in_the_list_is_told_with_its_line(
    before: str, after: str, line: int, sentence: str
) -> None:
    _figures, found = read_figures(LIST.replace(before, after, 1))
    said = [problem for problem in found if sentence in problem.sentence]
    assert said and isinstance(said[0], ContentError), [str(problem) for problem in found]
    assert (said[0].path, said[0].line) == ("figures.toml", line)


SUM = 'calculation = "crown.slope"\ninputs = { rise = "3 in", run = "12 in" }\nresult = "angle"\n'


@pytest.mark.parametrize(
    ("value", "result", "said"),
    [
        ("14 deg", "angle", ""),  # 3 in to the foot: 14.04 degrees
        ("10 deg", "angle", "crown.slope gives 14.0362 for angle, not 10 deg"),
        ("14 deg", "volume", "crown.slope gives no 'volume' here"),
    ],
)
def test_a_figure_with_a_sum_must_come_to_the_same(value: str, result: str, said: str) -> None:
    text = LIST.replace("10 ft", value) + SUM.replace('"angle"', f'"{result}"')
    _figures, found = read_figures(text)
    assert [said in problem.sentence for problem in found] == ([True] if said else [])


def test_the_shipped_list_is_sound() -> None:
    figures, found = load_figures()
    assert found == [] and len(figures) > 50
    assert [str(problem) for problem in figure_problems(shipped_lessons())] == []


def listed(lesson: str, unit: str) -> set[Fraction]:
    figures, _problems = load_figures()
    return {figure.value[0] for figure in figures if lesson in figure.lessons and figure.value[1] == unit}


def test_what_the_core_holds_as_a_constant_is_typed_as_it_holds_it() -> None:
    """29 CFR 1926.501(b) and .502(d)(16); IRC R1003.9; NIOSH 94-110; 29 CFR 1910.95 Table G-16."""
    assert listed("getting-up-safely", "ft") == {Fraction(6)}
    assert fall.TRIGGER_HEIGHT == fall.FREE_FALL_LIMIT == 6
    assert Fraction(chimney.NEARBY) in listed("flue-cutting", "ft")
    assert Fraction(chimney.ABOVE_ROOF) / 12 in listed("flue-cutting", "ft")
    assert listed("tear-off", "lb") >= {Fraction(lifting.LOAD_CONSTANT)}
    assert listed("tear-off", "dBA") >= {Fraction(noise.REFERENCE_LEVEL), Fraction(noise.HALVING)}
    assert listed("tear-off", "h") == {Fraction(noise.REFERENCE_TIME)}
