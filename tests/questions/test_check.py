"""The bank check finds each fault that drawing shows, with its file and line."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import SimpleNamespace

import pytest

from trainer.languages import Text
from trainer.questions import Bank, check, draw
from trainer.questions.check import check_bank, check_question
from trainer.questions.check_texts import hint_tells
from trainer.questions.model import Question

LENGTH = "questions/crown/slab-length.toml"
BAGS = "questions/bag-count.toml"
FIRST = "questions/what-first.toml"
LESSONS = {"crown-geometry": ["slab-size"], "concrete-versus-mortar": ["bag-count"]}
LAST = "questions/what-last.toml"
SKILLS = "skills.toml"


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
     "[[slip]]", "the slip forgotten cannot be told from one-side on most draws"),
    (LAST, [("[because]", '[hints]\nen = ["Count.", "You cover the crown."]\nes = ["Cuente.", "Nada."]\n\n[because]')], "[hints]", "a hint gives the answer away"),
    (LENGTH, [("[given.overhang]", '[given.flue]\nlist = [["13 x 13 in"], ["8 1/2 x 8 1/2 in", "8 1/2 x 8 1/2 in"]]\n[given.overhang]')],
     "[given.flue]", "some draws have 1 of flue and others 2, so some are harder than others"),
    (LAST, [('en = "Cover the crown."', 'en = "Cover the crown with wet burlap and plastic until the cure is over."')], "en = \"Cover", "letters long and no other over 15, which gives it away"),
    (LAST, [('es = "¿Qué hace al final?"', 'es = "What do you do last?"')], "es =", "the Spanish is the English again"),
    (LAST, [('es = "Entonces ya es tarde."', 'es = "By then it is too late."')], "kind", "the Spanish is the English again; say it in Spanish. (By then"),
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


# (file, replacements, lessons, line of skills.toml, sentence)
ORPHANS = [
    (BAGS, [('["bag-count"]', '["slab-size"]')], LESSONS, "[bag-count]", "only 2 of the bank's questions test the skill bag-count; there must be 3."),
    (SKILLS, [("[bag-count]", "[mix-water]\nname = { en = \"Water\", es = \"Agua\" }\npurpose = { en = \"Mix.\", es = \"Mezclar.\" }\nlesson = \"crown-geometry\"\n[bag-count]")],
     LESSONS, "[mix-water]", "no question tests the skill mix-water."),
    (SKILLS, [], {"crown-geometry": ["slab-size"]}, "[bag-count]", "the skill bag-count names a lesson 'concrete-versus-mortar', which does not exist."),
    (SKILLS, [], LESSONS | {"concrete-versus-mortar": []}, "[bag-count]", "the lesson concrete-versus-mortar does not name the skill bag-count that it is to teach."),
    (BAGS, [("must_pass = true", "must_pass = false")], LESSONS, "[bag-count]",
     "the skill bag-count has no must-pass question: mark one whose wrong answer can hurt someone, or say in no_must_pass why none can."),
    (LENGTH, [("version = 1\n", "version = 1\nmust_pass = true\n")], LESSONS, "[slab-size]",
     "the skill slab-size says in no_must_pass why none is needed, but it has one; take that line out."),
]  # fmt: skip


@pytest.mark.parametrize(("file", "replacements", "lessons", "on", "sentence"), ORPHANS)
def test_orphans_and_missing_decisions_are_found(
    changed_bank: Callable[..., Bank],
    tmp_path: Path,
    file: str,
    replacements: list[tuple[str, str]],
    lessons: dict[str, list[str]],
    on: str,
    sentence: str,
) -> None:
    bank = changed_bank(file, *replacements)
    assert bank.problems == ()
    found = [problem for problem in check_bank(bank, 2, lessons) if problem.sentence == sentence]
    assert [problem.path for problem in found] == [SKILLS]
    skills = (tmp_path / "bank" / SKILLS).read_text(encoding="utf-8").splitlines()
    assert skills[found[0].line - 1] == on


def test_a_bank_without_lessons_beside_it_is_checked_alone(small_bank: Bank) -> None:
    assert check_bank(small_bank, 60) == ()


def test_what_loading_found_is_reported_too(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(FIRST, ("version = 3", "version = 0"))
    assert any("the version is 1 or more" in problem.sentence for problem in check_bank(bank, 5, LESSONS))


def test_draws_that_take_more_steps_than_others_are_told(
    small_bank: Bank, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No calculation of the core takes more steps for some numbers, so the working is made up here."""
    monkeypatch.setattr(check, "worked", lambda drawn: [SimpleNamespace(steps=range(2 + drawn.seed % 2))])
    found = check_question(small_bank.question("slab-length"), 5)
    assert [problem.sentence for problem in found] == [
        "some draws take 2 steps to work and others 3, so some are harder than others; narrow the givens."
    ]


def test_a_hint_with_the_number_of_the_answer_tells_it(small_bank: Bank) -> None:
    drawn = draw(small_bank.question("slab-length"), 0)
    told, kept = (Text(en=said, es=said) for said in (f"It is {drawn.answer()}.", "It is 3 in."))
    assert hint_tells(drawn, told) and not hint_tells(drawn, kept)


def test_the_check_ends_when_it_is_told_to(small_bank: Bank) -> None:
    """What a page allows in time: it stops in the middle of the draws and blames nobody for it."""
    asked = 0

    def until() -> bool:
        nonlocal asked
        asked += 1
        return asked > 7

    assert check_question(small_bank.question("slab-length"), 10_000, until=until) == []
    assert asked < 20


def test_how_far_the_check_is_can_be_followed(small_bank: Bank) -> None:
    seen: list[str] = []

    def passing(questions: Sequence[Question]) -> Iterator[Question]:
        for question in questions:
            seen.append(question.id)
            yield question

    check_bank(small_bank, 2, None, passing)
    assert seen == list(small_bank.questions)
