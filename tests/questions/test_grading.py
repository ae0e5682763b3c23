"""Grading against hand values: edges of each tolerance, what is read, which slip is named, what it does on the job."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from trainer.questions import Bank, Draw, draw, grade
from trainer.questions.drawn import Tolerance

LENGTH = "questions/crown/slab-length.toml"
BAGS = "questions/bag-count.toml"


@pytest.fixture
def length(small_bank: Bank) -> Draw:
    """A 45 1/2 in chimney with 2 in of overhang at both ends: the slab is 49 1/2 in, to 1/8 in."""
    drawn = draw(small_bank.question("slab-length"), 0)
    assert drawn.body.expected == 49.5
    return drawn


@pytest.fixture
def bags(small_bank: Bank) -> Draw:
    """2.25 ft³ and 10 % waste from 0.45 ft³ bags: 5.5, so 6 bags."""
    return draw(small_bank.question("bag-count"), 0)


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("49 1/2", True),
        ("49.5", True),
        ("49-1/2 in", True),
        ("4 ft 1 1/2 in", True),
        ("49 5/8", True),  # the edge of the tolerance counts as inside
        ("49 3/8", True),
        ("49 11/16", False),
        ("49 5/16", False),
        ("49.6251", False),
        ("49.625", True),
        ("1257.3 mm", True),  # 49.5 in × 25.4 mm
        ("1257 mm", True),
        ("1250 mm", False),
        ("47 1/2", False),
    ],
)
def test_a_length_to_an_eighth(length: Draw, typed: str, right: bool) -> None:
    given = grade(length, typed)
    assert (given.right, given.credit) == (right, 1.0 if right else 0.0)


@pytest.mark.parametrize(
    ("typed", "right"), [("6", True), ("6 bags", True), ("6.01", False), ("5", False), ("7", False)]
)
def test_a_count_is_exact(bags: Draw, typed: str, right: bool) -> None:
    assert grade(bags, typed).right is right


@pytest.mark.parametrize(
    ("value", "right"),
    [(100, True), (102, True), (98, True), (102.001, False), (97.999, False), (101.9999, True)],
)
def test_a_percent_is_of_the_right_answer(value: float, right: bool) -> None:
    assert Tolerance("percent", 2.0).accepts(100.0, value) is right


def test_what_was_read_is_shown_back(length: Draw) -> None:
    assert grade(length, "4' 1 1/2\"").shown == "4 ft 1 1/2 in"
    assert grade(length, "1257.3 mm").shown == "1,257.3 mm (4 ft 1 1/2 in)"


@pytest.mark.parametrize("typed", ["", "abc", "nan", "1e5", "4,5", "6 lb", "1/0", "²", "9" * 70])
def test_what_cannot_be_read_is_not_wrong(length: Draw, typed: str) -> None:
    given = grade(length, typed)
    assert given.status == "unreadable"
    assert given.refusal and not given.right and given.slip is None


def test_the_refusal_speaks_the_readers_language(length: Draw) -> None:
    assert grade(length, "6 lb", "en").refusal != grade(length, "6 lb", "es").refusal


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ("47 1/2", "one-side"),
        ("45 1/2", "forgotten"),
        ("45 9/16", "forgotten"),
        ("4.125", "feet-for-inches"),
        ("594", "inches-times-12"),
        ("1257.3", "millimeters-for-inches"),
        ("46 1/2", None),
    ],
)
def test_a_wrong_answer_names_its_slip(length: Draw, typed: str, slip: str | None) -> None:
    given = grade(length, typed)
    assert given.status == "wrong"
    assert given.slip == slip
    assert bool(given.slip_text) is (slip is not None)


def test_the_consequence_says_what_it_does_on_the_job(length: Draw) -> None:
    short = grade(length, "47 1/2")
    assert (short.side, short.difference) == ("short", "2 in")
    assert short.consequence == "47 1/2 in is 2 in short of 49 1/2 in: the wall stays wet."
    assert grade(length, "47 1/2", "es").consequence.endswith("la pared queda mojada.")
    over = grade(length, "51")
    assert (over.side, over.difference, over.consequence) == ("over", "1 1/2 in", "")


def test_a_right_answer_says_nothing_more(length: Draw) -> None:
    given = grade(length, "49 1/2")
    assert (given.slip, given.slip_text, given.consequence, given.side) == (None, "", "", "")


def test_grading_needs_only_the_stored_draw(length: Draw) -> None:
    stored = json.loads(json.dumps(length.to_json()))
    for typed in ("49 1/2", "47 1/2", "12"):
        assert grade(Draw.from_json(stored), typed) == grade(length, typed)


def test_a_choice_is_graded_by_letter_id_or_text(small_bank: Bank) -> None:
    drawn = draw(small_bank.question("what-first"), 0)  # shown in the order 2, 1, 3
    for typed in ("B", "b", " b. ", "option-1", "The bond break.", "la separación"):
        assert grade(drawn, typed).right, typed
    wrong = grade(drawn, "A")
    assert (wrong.status, wrong.slip, wrong.slip_text) == ("wrong", "option-2", "They lie on the form.")
    assert wrong.because == "Nothing may stick to the tile."
    assert grade(drawn, "A", "es").slip_text == "Van sobre la cimbra."
    assert wrong.reading == "A. The bars."
    for typed in ("D", "", "AB", "option-9"):
        assert grade(drawn, typed).status == "unreadable"


def test_the_answer_in_another_unit_of_its_kind(changed_bank: Callable[..., Bank]) -> None:
    """49 1/2 in is 4 1/8 ft."""
    bank = changed_bank(
        LENGTH,
        ('unit = "in"', 'unit = "ft"'),
        ('low = "30 in"', 'low = "2 ft"'),
        ('high = "70 in"', 'high = "6 ft"'),
    )
    drawn = draw(bank.question("slab-length"), 0)
    assert drawn.body.expected == pytest.approx(4.125)
    assert grade(drawn, "4 1/8").right
    assert grade(drawn, "49 1/2 in").right
    assert grade(drawn, "49.5").slip == "inches-for-feet"
