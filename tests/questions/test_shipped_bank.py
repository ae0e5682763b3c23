"""The bank that ships: every question keeps the promises of the engine over many seeds.

Right answers are typed in every notation of the trade, made here with exact fractions and the standards' factors.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shipped import shipped_bank, shipped_lessons
from trainer.calc import DEFAULT_SHOP
from trainer.calc.units import convert
from trainer.questions import Bank, Draw, draw, figure, grade, worked
from trainer.questions.check import check_bank

# NIST Handbook 44, Appendix C.
PER_UNIT = {
    "in": {"mm": Fraction("25.4"), "cm": Fraction("2.54"), "ft": Fraction(1, 12)},
    "ft": {"in": Fraction(12), "m": Fraction("0.3048"), "yd": Fraction(1, 3)},
    "ft2": {"in2": Fraction(144), "sq ft": Fraction(1), "ft²": Fraction(1)},
    "ft3": {"cu ft": Fraction(1), "ft³": Fraction(1), "yd3": Fraction(1, 27), "in3": Fraction(1728)},
    "yd3": {"ft3": Fraction(27), "cu yd": Fraction(1)},
    "lb": {"lbs": Fraction(1), "libras": Fraction(1), "kg": Fraction("0.45359237")},
    "gal": {"galones": Fraction(1), "quarts": Fraction(4)},
    "bags": {"bags": Fraction(1), "sacos": Fraction(1), "bag": Fraction(1)},
    "percent": {"%": Fraction(1), "percent": Fraction(1)},
    "degree": {"degrees": Fraction(1), "grados": Fraction(1)},
    "day": {"days": Fraction(1), "días": Fraction(1)},
}


@cache
def shipped() -> Bank:
    return shipped_bank()


NUMBERS = [id for id, question in shipped().questions.items() if question.kind == "number"]
CHOICES = [id for id, question in shipped().questions.items() if question.kind == "choose"]


def decimal(value: Fraction, digits: int = 8) -> str:
    return f"{float(value):.{digits}f}"


def notations(drawn: Draw) -> Iterator[str]:
    """The right answer in the ways a person may type it."""
    value = Fraction(drawn.body.expected)
    yield decimal(value)
    yield drawn.answer("en")
    yield drawn.answer("es")
    if value >= 1000:
        yield f"{float(value):,.6f}"
    if value.denominator == 1:
        yield str(value)
    for unit, factor in PER_UNIT.get(drawn.body.unit, {}).items():
        if unit != "quarts":
            yield f"{decimal(value * factor)} {unit}"
    if drawn.body.unit in ("in", "ft"):
        yield from tape(value * (12 if drawn.body.unit == "ft" else 1), drawn)


def tape(inches: Fraction, drawn: Draw) -> Iterator[str]:
    """A length as a tape shows it, where a sixteenth is fine enough for the question."""
    sixteenths = round(inches * 16)
    if abs(Fraction(sixteenths, 16) - inches) > Fraction(drawn.body.tolerance.reach(drawn.body.expected)):
        return
    whole, part = divmod(sixteenths, 16)
    feet, rest = divmod(whole, 12)
    fraction = Fraction(part, 16)
    yield f"{whole} {fraction} in" if part else f"{whole} in"
    yield f'{whole}-{fraction}"' if part else f'{whole}"'
    yield f"{feet} ft {rest} {fraction} in" if part else f"{feet} ft {rest} in"
    yield f"{feet}'-{rest} {fraction}\"" if part else f"{feet}' {rest}\""
    yield f"{feet} pies {float(rest + fraction)} pulg"


@pytest.mark.parametrize("id", NUMBERS)
@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_the_right_answer_is_right_in_every_notation(id: str, seed: int) -> None:
    drawn = draw(shipped().questions[id], seed)
    for typed in notations(drawn):
        assert grade(drawn, typed).right, f"{typed} for {drawn.body.expected} {drawn.body.unit}"


@pytest.mark.parametrize("id", NUMBERS)
@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_twice_the_tolerance_off_is_wrong(id: str, seed: int) -> None:
    drawn = draw(shipped().questions[id], seed)
    tolerance = drawn.body.tolerance
    amount = {"absolute": tolerance.amount, "percent": abs(drawn.body.expected) * tolerance.amount / 100}.get(
        tolerance.kind, 1 / 16 if drawn.body.unit == "in" else 1
    )
    for moved in (drawn.body.expected - 2 * amount, drawn.body.expected + 2 * amount):
        if moved > 0:
            assert grade(drawn, decimal(Fraction(moved))).status == "wrong"


@pytest.mark.parametrize("id", NUMBERS)
@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_every_slip_is_wrong_and_named(id: str, seed: int) -> None:
    drawn = draw(shipped().questions[id], seed)
    for slip in drawn.body.slips:
        if slip.value < 0:
            continue  # no such answer can be typed
        for language in ("en", "es"):
            graded = grade(drawn, decimal(Fraction(slip.value)), language)
            assert (graded.status, graded.slip) == ("wrong", slip.id)
            assert graded.slip_text == slip.text.in_language(language)


@pytest.mark.parametrize("id", CHOICES)
def test_one_option_is_right_whatever_the_order(id: str) -> None:
    firsts = set()
    for seed in range(60):
        drawn = draw(shipped().questions[id], seed)
        graded = [grade(drawn, option.letter) for option in drawn.body.options]
        assert sum(one.right for one in graded) == 1
        assert all(one.right or one.slip_text for one in graded)
        firsts.add(drawn.body.options[0].id)
    assert len(firsts) == len(drawn.body.options)  # every option comes first sometimes


def test_the_shipped_bank_passes_its_own_check() -> None:
    library = shipped_lessons()
    lessons = {id: library.lesson(id).skills for id in library.ids}
    assert [str(problem) for problem in check_bank(shipped(), 40, lessons)] == []


def test_the_shipped_bank_covers_its_calculations() -> None:
    """At least 14 questions, each of the six calculations asked, both kinds present."""
    asked = {shipped().questions[id].body.answer.calculation.name for id in NUMBERS}
    assert asked >= {"crown.slab", "concrete.bags", "rebar.mat", "flue.cut", "roof.slope", "ladder.set"}
    assert len(shipped().questions) >= 14
    assert len(NUMBERS) >= 6 and len(CHOICES) >= 2


SHOPS = {
    "strict": {"overhang": 2.5, "edge_thickness": 5.0, "bond_gap": 0.625, "cover": 2.0, "max_spacing": 6.0, "waste": 15.0},
    "loose": {"cover": 1.0, "max_spacing": 12.0, "waste": 5.0, "projection": 2.0, "max_projection": 6.0, "bond_gap": 0.25},
    "heavy": {"overhang": 3.0, "edge_thickness": 4.5, "bar": "#4", "cure": 21.0, "carry_limit": 40.0, "projection": 4.0},
}  # fmt: skip


@pytest.mark.parametrize("shop", SHOPS)
def test_every_question_still_draws_in_another_shop(shop: str) -> None:
    for question in shipped().questions.values():
        for seed in range(25):
            drawn = draw(question, seed, DEFAULT_SHOP | SHOPS[shop])
            assert grade(drawn, drawn.answer()).right, question.id


@pytest.mark.parametrize("id", [id for id, question in shipped().questions.items() if question.figure])
def test_no_drawing_shows_the_answer_before_it_is_given(id: str) -> None:
    """The answer's text may stand on the drawing only where the question's own text has it too."""
    for seed in range(6):
        drawn = draw(shipped().questions[id], seed)
        for language in ("en", "es"):
            shown, revealed = figure(drawn, language), figure(drawn, language, reveal=True)
            assert shown is not None and revealed is not None and "<title" in revealed.svg
            answer = drawn.answer(language)
            if drawn.kind == "number" and not any(answer in given.text.en for given in drawn.givens.values()):
                assert answer not in shown.svg


@pytest.mark.parametrize("id", NUMBERS)
def test_the_worked_solution_ends_in_the_graded_answer(id: str) -> None:
    for seed in range(6):
        drawn = draw(shipped().questions[id], seed)
        (solution,) = worked(drawn)
        unit = solution.calculation.quantities[drawn.body.result].unit
        made = solution.values[drawn.body.result]
        assert drawn.body.expected == pytest.approx(convert(made, unit, drawn.body.unit), rel=1e-12)


@pytest.mark.parametrize("id", list(shipped().questions))
def test_both_languages_hold_the_same_figures(id: str) -> None:
    question = shipped().questions[id]
    for text in (
        question.text,
        *question.hints,
        *(slip.text for slip in getattr(question.body, "slips", ())),
    ):
        found = [sorted(re.findall(r"\d+(?:[.,/]\d+)*|\{\{ *\w+ *\}\}", one)) for one in (text.en, text.es)]
        assert found[0] == found[1], text
