"""Several that fit: only a full answer is right, and marking at random or marking everything earns nothing."""

from __future__ import annotations

import json
from itertools import product

import pytest

from tests.shipped import shipped_bank
from trainer.languages import Text
from trainer.questions import Draw, draw, grade
from trainer.questions.kinds.options import Option
from trainer.questions.kinds.several import credit

SEEDS = range(200)
SHIPPED = shipped_bank()
QUESTIONS = [id for id, question in SHIPPED.questions.items() if question.kind == "several"]


def options(right: int, wrong: int) -> list[Option]:
    return [Option(f"option-{n}", n < right, Text("", ""), None) for n in range(right + wrong)]


def earnings(right: int, wrong: int, chance: float) -> tuple[float, float]:
    """The expected credit before and after the cut at 0, over every way to mark each option with this chance."""
    made = options(right, wrong)
    before = after = 0.0
    for marks in product((True, False), repeat=len(made)):
        likely = 1.0
        for mark in marks:
            likely *= chance if mark else 1 - chance
        earned = credit(made, {one.id for one, mark in zip(made, marks, strict=True) if mark})
        before += likely * earned
        after += likely * max(0.0, earned)
    return before, after


SHAPES = [(right, total - right) for total in range(5, 9) for right in range(2, total - 1)]


@pytest.mark.parametrize(("right", "wrong"), SHAPES)
def test_marking_at_random_earns_nothing(right: int, wrong: int) -> None:
    for hundredths in range(0, 101, 5):
        before, after = earnings(right, wrong, hundredths / 100)
        assert before == pytest.approx(-1)
        assert 0 <= after <= 0.08
    everything = {one.id for one in options(right, wrong)}
    assert credit(options(right, wrong), everything) == pytest.approx(-1)
    assert credit(options(right, wrong), set()) == pytest.approx(-1)


def test_the_credit_by_hand() -> None:
    """Four fit, three do not: a miss costs 2 · 1/4, a false mark 2 · 1/3."""
    made = options(4, 3)
    ids = [one.id for one in made]
    assert credit(made, set(ids[:4])) == 1
    assert credit(made, set(ids[:3])) == pytest.approx(0.5)
    assert credit(made, set(ids[:5])) == pytest.approx(1 / 3)
    assert credit(made, {*ids[:3], ids[6]}) == pytest.approx(-1 / 6)


@pytest.mark.parametrize("id", QUESTIONS)
def test_only_a_full_answer_is_right(id: str) -> None:
    shown = set()
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        right = [option.letter for option in drawn.body.options if option.right]
        shown.add(tuple(option.id for option in drawn.body.options))
        for typed in (
            ", ".join(right),
            "".join(reversed(right)).lower(),
            " y ".join(right),
            drawn.answer("es"),
        ):
            graded = grade(drawn, typed)
            assert (graded.status, graded.credit, graded.slip) == ("right", 1.0, None), typed
        for option in drawn.body.options:
            moved = set(right) ^ {option.letter}
            graded = grade(drawn, ", ".join(moved))
            assert (graded.status, graded.slip) == ("wrong", option.id)
            assert graded.credit < 1
            (part,) = (part for part in graded.parts if part.state == "wrong")
            assert part.id == option.id and part.said == option.why.en
        assert len(grade(drawn, drawn.body.mistaken()).parts) == len(drawn.body.options)
    assert len(shown) > 100


def test_what_cannot_be_read_is_not_wrong() -> None:
    drawn = draw(SHIPPED.questions["stop-and-call"], 0)
    for typed in ("", "Z", "A, A", "all of them"):
        assert grade(drawn, typed).status == "unreadable"
    assert "ninguna" in grade(drawn, "", "es").refusal


def test_a_draw_goes_to_json_and_back() -> None:
    for id in QUESTIONS:
        drawn = draw(SHIPPED.questions[id], 3)
        again = Draw.from_json(json.loads(json.dumps(drawn.to_json())))
        assert again == drawn and grade(again, "A, B") == grade(drawn, "A, B")
