"""A mended question on the numbers that were drawn before: same givens, same letters, the new answer."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.shipped import shipped_bank
from trainer.calc import DEFAULT_SHOP
from trainer.questions import Bank, corrected, draw, grade


@pytest.fixture(scope="module")
def bank() -> Bank:
    return shipped_bank()


def of_kind(bank: Bank, kind: str) -> list[Any]:
    return [one for one in bank.questions.values() if one.kind == kind]


@pytest.mark.parametrize("kind", ["number", "linked", "choose", "several", "order"])
def test_a_question_that_did_not_change_gives_the_same_answer(bank: Bank, kind: str) -> None:
    """Every question of the bank, seen through its next version: only the version and the hash differ."""
    asked = of_kind(bank, kind)
    assert asked
    for question in asked:
        for seed in range(3):
            frozen = draw(question, seed)
            newer = replace(question, version=question.version + 1, hash="newer")
            found = corrected(frozen, newer, DEFAULT_SHOP)
            assert found is not None, question.id
            assert (found.version, found.hash) == (newer.version, "newer")
            assert (found.givens, found.body, found.text) == (frozen.givens, frozen.body, frozen.text), (
                question.id
            )


def test_the_right_number_follows_the_mended_calculation(bank: Bank) -> None:
    """crown-slab-length asks chimney + two overhangs; mended to ask for the width instead, by the same core."""
    question = bank.questions["crown-slab-length"]
    frozen = draw(question, 5)
    body = replace(question.body, answer=replace(question.body.answer, result="slab_width"), slips=())
    found = corrected(frozen, replace(question, version=2, body=body), DEFAULT_SHOP)
    assert found is not None
    # The core is asked a second way: width of the wall plus an overhang on each side.
    inputs = frozen.body.inputs
    assert found.body.expected == pytest.approx(inputs["chimney_width"] + 2 * inputs["overhang"])
    assert not grade(found, frozen.answer()).right and grade(found, found.answer()).right


def test_options_keep_their_letters_when_the_file_puts_them_in_another_order(bank: Bank) -> None:
    question = of_kind(bank, "choose")[0]
    frozen = draw(question, 1)
    turned = tuple(
        replace(one, id=f"option-{place}", right=place == 1)
        for place, one in enumerate(reversed(question.body.options), start=1)
    )
    found = corrected(frozen, replace(question, body=replace(question.body, options=turned)), DEFAULT_SHOP)
    assert found is not None
    assert [(one.letter, one.text) for one in found.body.options] == [
        (one.letter, one.text) for one in frozen.body.options
    ]
    right = next(one for one in found.body.options if one.right)
    assert right.text.en == turned[0].text.en
    assert grade(found, right.letter).right


def test_what_asks_something_else_is_not_guessed(bank: Bank) -> None:
    number, choose = bank.questions["crown-slab-length"], of_kind(bank, "choose")[0]
    frozen = draw(number, 3)
    other_unit = replace(number.body, answer=replace(number.body.answer, unit="ft", factor=1 / 12))
    renamed = tuple(replace(one, name=one.name + "_x") for one in number.givens)
    fewer = replace(choose.body, options=choose.body.options[1:])
    assert corrected(frozen, replace(number, id="other"), DEFAULT_SHOP) is None
    assert corrected(frozen, replace(number, kind="choose", body=choose.body), DEFAULT_SHOP) is None
    assert corrected(frozen, replace(number, body=other_unit), DEFAULT_SHOP) is None
    assert corrected(frozen, replace(number, givens=renamed), DEFAULT_SHOP) is None
    assert corrected(draw(choose, 1), replace(choose, body=fewer), DEFAULT_SHOP) is None
    for faults in of_kind(bank, "faults")[:1]:  # it draws its own chimney top
        assert corrected(draw(faults, 1), faults, DEFAULT_SHOP) is None
