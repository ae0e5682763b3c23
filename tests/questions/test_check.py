"""The bank check finds each fault that drawing shows, with its file and line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from trainer.questions import Bank, load_bank
from trainer.questions.check import check_bank, check_question

LENGTH = "questions/crown/slab-length.toml"
BAGS = "questions/bag-count.toml"
FIRST = "questions/what-first.toml"
LESSONS = {"crown-geometry", "concrete-versus-mortar"}


def test_a_good_bank_has_no_problems(small_bank: Bank) -> None:
    assert check_bank(small_bank, 100, LESSONS) == ()


# (file, replacements, the question, part of the line it is told on, part of the sentence)
FAULTS = [
    (BAGS, [('step = "1 in"', 'step = "24 in"'), ('list = [["13 x 13 in"], ["8 1/2 x 13 in", "8 1/2 x 13 in"], ["10 in dia"]]', 'value = ["13 x 13 in"]'),
            ('round = "0.05 ft3"', 'round = "1.8 ft3"'), ('"60 lb", "80 lb"', '"60 lb"'), ('shop = "waste"', 'value = "0 %"'), ('change = { waste = "zero" }', 'times = "2"')],
     "[given", "finds no good numbers"),
    (LENGTH, [('low = "30 in"', 'low = "62 in"')], "[field]", "most draws give an answer outside the field's range"),
    (LENGTH, [('tolerance = "1/8 in"', 'tolerance = "3 in"')], "tolerance", "the tolerance swallows the slip one-side"),
    (LENGTH, [('change = { overhang = "zero" }', 'result = "net_area"'), ('change = { overhang = "half" }', 'result = "gross_area"')],
     "tolerance", "the tolerance swallows the slip forgotten"),
    (LENGTH, [('shop = "overhang"', 'value = "0 in"'), ('change = { overhang = "half" }', 'result = "slab_width"'), ('change = { overhang = "zero" }', 'times = "2"')],
     "[text]", "the text gives the answer away"),
    (LENGTH, [('change = { overhang = "half" }', 'change = { overhang = "2 in" }')], "[[slip]]", "the slip one-side never has a value"),
    (LENGTH, [('low = "36 in"\nhigh = "60 in"\nstep = "1/2 in"', 'value = "36 in"')], "[answer]", "the answer does not depend on the givens"),
    (LENGTH, [('low = "36 in"', 'low = "35 15/16 in"'), ('step = "1/2 in"', 'step = "77/160 in"'), ('tolerance = "1/8 in"', 'tolerance = "exact"')],
     "tolerance", "is graded wrong"),
    (BAGS, [('value = "24 in"', 'value = "12 in"')],
     "[given", "the core refuses most draws"),
    (LENGTH, [("Both ends hang over.", "None of it is inside.")], "en =", "a place that was not filled"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "replacements", "on", "sentence"), FAULTS)
def test_each_fault_is_found(
    changed_bank: Callable[..., Bank],
    tmp_path: Path,
    file: str,
    replacements: list[tuple[str, str]],
    on: str,
    sentence: str,
) -> None:
    bank = changed_bank(file, *replacements)
    assert bank.problems == ()
    question = next(question for question in bank.questions.values() if question.path == file)
    found = [problem for problem in check_question(question, 60) if sentence in problem.sentence]
    assert found, [str(problem) for problem in check_question(question, 60)]
    assert found[0].path == file
    assert on in (tmp_path / "bank" / file).read_text(encoding="utf-8").splitlines()[found[0].line - 1]


def test_orphans_are_found(changed_bank: Callable[..., Bank], tmp_path: Path) -> None:
    changed_bank(FIRST, ('"slab-size", "bags"', '"slab-size"'))
    bags = tmp_path / "bank" / BAGS
    bags.write_text(bags.read_text(encoding="utf-8").replace('["bags"]', '["slab-size"]'), encoding="utf-8")
    problems = check_bank(load_bank(tmp_path / "bank"), 5, {"crown-geometry"})
    assert [(problem.path, problem.line) for problem in problems] == [("skills.toml", 7)] * 2
    assert [problem.sentence for problem in problems] == [
        "no question tests the skill bags.",
        "the skill bags names a lesson 'concrete-versus-mortar', which does not exist.",
    ]


def test_what_loading_found_is_reported_too(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(FIRST, ("version = 3", "version = 0"))
    assert "the version is 1 or more" in check_bank(bank, 5, LESSONS)[0].sentence
