"""Linked numbers: each part by itself, and worked on from the person's own earlier value.

What a wrong earlier value leads to is worked out here by hand, from the text of each question.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any

import pytest

from tests.shipped import shipped_bank
from trainer.calc import DEFAULT_SHOP
from trainer.questions import Draw, draw, figure, grade, worked
from trainer.questions.drawn import Grade

SEEDS = range(200)
SHIPPED = shipped_bank()
QUESTIONS = [id for id, question in SHIPPED.questions.items() if question.kind == "linked"]
PER_UNIT = {  # NIST Handbook 44, Appendix C
    "in": {"mm": Fraction("25.4"), "ft": Fraction(1, 12)},
    "ft": {"in": Fraction(12), "m": Fraction("0.3048")},
    "ft3": {"cu ft": Fraction(1), "in3": Fraction(1728), "yd3": Fraction(1, 27)},
    "count": {},
}


def decimal(value: float | Fraction) -> str:
    text = f"{float(value):.9f}".rstrip("0").rstrip(".")
    return text or "0"


def right_values(drawn: Draw) -> list[float]:
    return [part.expected for part in drawn.body.parts]


def typed(values: list[float]) -> str:
    return "\n".join(decimal(value) for value in values)


def given(drawn: Draw, name: str) -> Any:
    return drawn.givens[name].value


def take_off(drawn: Draw, values: list[float]) -> list[float]:
    """Lumber, concrete and bags from the long and short side, and the bags from the concrete, as they were given."""
    length, width, _, concrete, _ = values
    lumber = (2 * length + 2 * (width + 2 * 1.5)) / 12
    (flue,) = given(drawn, "flue")
    gap = given(drawn, "bond_gap")
    opening = (flue.length + 2 * gap) * (flue.width + 2 * gap)
    slab = (length * width - opening) * given(drawn, "edge_thickness") / 1728
    bags = math.ceil(concrete * (1 + given(drawn, "waste") / 100) / given(drawn, "bag_yield"))
    return [values[0], values[1], lumber, slab, bags]


def buckets(drawn: Draw, values: list[float]) -> list[float]:
    volume = values[0]
    bags = math.ceil(volume * (1 + given(drawn, "waste") / 100) / given(drawn, "bag_yield"))
    return [volume, bags, math.ceil(volume / ((given(drawn, "carry_limit") - 2) / 145))]


def bars(drawn: Draw, values: list[float]) -> list[float]:
    length, width, *_ = values
    cover, spacing = given(drawn, "cover"), given(drawn, "max_spacing")
    diameter = int(given(drawn, "bar")[1:]) / 8
    return [
        length,
        width,
        length - 2 * cover,
        math.ceil((width - 2 * cover - diameter) / spacing - 1e-9) + 1,
    ]


BY_HAND: dict[str, Callable[[Draw, list[float]], list[float]]] = {
    "take-off-one-tile": take_off,
    "form-to-buckets": buckets,
    "long-bars-from-the-tape": bars,
}


def states(graded: Grade) -> list[str]:
    return [part.state for part in graded.parts]


def test_every_linked_question_is_worked_by_hand_here() -> None:
    assert set(BY_HAND) <= set(QUESTIONS) and len(QUESTIONS) >= 3


@pytest.mark.parametrize("id", BY_HAND)
def test_the_right_answers_by_hand(id: str) -> None:
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        right = right_values(drawn)
        assert BY_HAND[id](drawn, right) == pytest.approx(right)


def notations(drawn: Draw) -> Iterator[str]:
    yield drawn.answer("en")
    yield drawn.answer("es")
    yield drawn.answer("en").replace("\n", " ; ")
    yield "\r\n".join(drawn.answer("en").split("\n")) + "\r\n"
    yield typed(right_values(drawn))
    for turn in range(2):
        lines = []
        for part in drawn.body.parts:
            units = list(PER_UNIT[part.unit].items())
            unit, factor = units[turn % len(units)] if units else ("", Fraction(1))
            lines.append(f"{decimal(Fraction(part.expected) * factor)} {unit}".strip())
        yield "\n".join(lines)


@pytest.mark.parametrize("id", QUESTIONS)
def test_right_in_every_notation(id: str) -> None:
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        for text in notations(drawn):
            graded = grade(drawn, text)
            assert (graded.status, graded.credit, graded.slip) == ("right", 1.0, None), (text, graded)


@pytest.mark.parametrize("id", QUESTIONS)
def test_one_part_moved_is_wrong_and_costs_that_part(id: str) -> None:
    """The others hold their right values, so they stay right: they are compared with the right answer first."""
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        for place, part in enumerate(drawn.body.parts):
            reach = {
                "absolute": part.tolerance.amount,
                "percent": part.expected * part.tolerance.amount / 100,
            }
            for side in (-2, 2):
                values = right_values(drawn)
                values[place] += side * reach.get(part.tolerance.kind, 1)
                if values[place] <= 0:
                    continue
                graded = grade(drawn, typed(values))
                expected = ["right"] * len(values)
                expected[place] = "wrong"
                assert states(graded) == expected, (seed, place, side)
                assert graded.status == "wrong"
                assert graded.credit == pytest.approx(1 - 1 / len(values))


@pytest.mark.parametrize("id", QUESTIONS)
def test_each_slip_is_named_at_its_part(id: str) -> None:
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        for place, part in enumerate(drawn.body.parts):
            for slip in part.slips:
                if part.unit == "count" and not float(slip.value).is_integer():
                    continue  # cannot be typed as a count
                values = right_values(drawn)
                values[place] = slip.value
                for language in ("en", "es"):
                    graded = grade(drawn, typed(values), language)
                    said = graded.parts[place]
                    assert (said.state, said.slip) == ("wrong", slip.id)
                    assert said.said == slip.text.in_language(language)
                    assert graded.slip == f"{part.id}:{slip.id}"


@pytest.mark.parametrize("id", BY_HAND)
def test_a_part_worked_rightly_from_an_earlier_wrong_value_earns_its_credit(id: str) -> None:
    carried = 0
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        first = drawn.body.parts[0]
        for slip in first.slips:
            values = right_values(drawn)
            values[0] = slip.value
            # Twice, so that a part that follows from a part that follows is worked on as well.
            values = BY_HAND[id](drawn, BY_HAND[id](drawn, values))
            if (not 12 <= slip.value <= 200 and first.unit == "in") or max(values) > 500 or min(values) <= 0:
                continue  # nobody goes on from there, and the core would refuse
            graded = grade(drawn, typed(values))
            assert graded.parts[0].state == "wrong" and graded.parts[0].slip == slip.id
            for part, said, value in zip(drawn.body.parts[1:], graded.parts[1:], values[1:], strict=True):
                right = part.tolerance.accepts(part.expected, value)
                assert said.state == ("right" if right else "carried"), (seed, slip.id, part.id)
                carried += not right
                if not right:
                    assert "own figure" in said.said and said.answer in said.said
            assert graded.status == "wrong"
            assert graded.credit == pytest.approx(1 - 1 / len(values))
    assert carried > 200


def test_a_slip_on_a_carried_value_is_named() -> None:
    """The long side wrong by one overhang, and then the cover of each bar taken off once only."""
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions["long-bars-from-the-tape"], seed)
        values = right_values(drawn)
        values[0] -= given(drawn, "overhang")
        values[2] = values[0] - given(drawn, "cover")
        said = grade(drawn, typed(values)).parts[2]
        if drawn.body.parts[2].tolerance.accepts(drawn.body.parts[2].expected, values[2]):
            assert said.state == "right"  # two slips that cancel give the right length
        elif not any(abs(slip.value - values[2]) < 0.13 for slip in drawn.body.parts[2].slips):
            assert (said.state, said.slip) == ("wrong", "cover-once")


def test_a_unit_slip_on_a_carried_value_is_named() -> None:
    drawn = draw(SHIPPED.questions["take-off-one-tile"], 0)
    values = right_values(drawn)
    values[0] += 7
    values = take_off(drawn, values)
    values[2] *= 12
    said = grade(drawn, typed(values)).parts[2]
    assert (said.state, said.slip) == ("wrong", "inches-for-feet")


def test_rounding_a_right_earlier_value_is_no_mistake() -> None:
    """A volume rounded within its tolerance may make another whole bag; worked from that volume, it is right."""
    found = 0
    for seed in range(600):
        drawn = draw(SHIPPED.questions["form-to-buckets"], seed)
        volume = drawn.body.parts[0].expected
        for rounded in (volume * 0.981, volume * 1.019):
            values = buckets(drawn, [float(f"{rounded:.6f}"), 0, 0])
            graded = grade(drawn, typed(values))
            assert graded.right and graded.credit == 1.0
            found += values[1:] != right_values(drawn)[1:]
    assert found > 20


def test_what_cannot_be_read_is_asked_again_by_itself() -> None:
    drawn = draw(SHIPPED.questions["form-to-buckets"], 0)
    lines = drawn.answer("en").split("\n")
    for place, part in enumerate(drawn.body.parts):
        broken = [*lines[:place], "a lot", *lines[place + 1 :]]
        for language in ("en", "es"):
            graded = grade(drawn, "\n".join(broken), language)
            assert graded.status == "unreadable"
            assert [(one.id, one.state) for one in graded.parts] == [(part.id, "unreadable")]
            assert graded.refusal == graded.parts[0].said != ""


@pytest.mark.parametrize("text", ["", "4", "4\n5", "1\n2\n3\n4", "1;2"])
def test_as_many_lines_as_parts(text: str) -> None:
    graded = grade(draw(SHIPPED.questions["form-to-buckets"], 0), text)
    assert graded.status == "unreadable" and graded.refusal.startswith("There are 3 parts")


def test_weights_count() -> None:
    drawn = draw(SHIPPED.questions["form-to-buckets"], 0)
    data = drawn.to_json()
    data["parts"][0]["weight"] = 2
    values = right_values(drawn)
    values[0] *= 5
    assert grade(Draw.from_json(data), typed(values)).credit == pytest.approx(2 / 4)
    assert grade(drawn, typed(values)).credit == pytest.approx(2 / 3)


def test_a_value_the_core_refuses_carries_nothing() -> None:
    drawn = draw(SHIPPED.questions["form-to-buckets"], 0)
    values = right_values(drawn)
    values[0] = 999_999
    assert states(grade(drawn, typed(values))) == ["wrong", "right", "right"]
    values[1] = 1_000_000
    assert states(grade(drawn, typed(values))) == ["wrong", "wrong", "right"]


@pytest.mark.parametrize("id", QUESTIONS)
def test_grading_needs_only_the_stored_draw(id: str) -> None:
    for seed in range(20):
        drawn = draw(SHIPPED.questions[id], seed)
        stored = Draw.from_json(json.loads(json.dumps(drawn.to_json(), allow_nan=False)))
        assert stored == drawn
        for text in (
            drawn.answer(),
            drawn.body.mistaken(),
            typed([value * 1.3 for value in right_values(drawn)]),
        ):
            assert grade(stored, text) == grade(drawn, text)


@pytest.mark.parametrize("id", QUESTIONS)
def test_the_worked_solution_of_each_part_ends_in_its_answer(id: str) -> None:
    for seed in range(20):
        drawn = draw(SHIPPED.questions[id], seed)
        for part, solution in zip(drawn.body.parts, worked(drawn), strict=True):
            made = solution.values[part.recipe.result] * part.recipe.factor
            assert made == pytest.approx(part.expected, rel=1e-12) and solution.steps


def test_the_drawing_is_of_the_chimney_that_is_asked_about() -> None:
    drawn = draw(SHIPPED.questions["take-off-one-tile"], 4)
    assert drawn.figure is not None
    assert drawn.figure.inputs["chimney_length"] == given(drawn, "chimney_length")
    shown = figure(drawn)
    assert shown is not None and drawn.givens["chimney_length"].text.en in shown.svg


def test_a_shops_own_figures_draw_too() -> None:
    shop = DEFAULT_SHOP | {"waste": 15.0, "cover": 2.0, "carry_limit": 40.0}
    for id in QUESTIONS:
        for seed in range(10):
            drawn = draw(SHIPPED.questions[id], seed, shop)
            assert grade(drawn, drawn.answer()).right
