"""Fifty draws written down once: the same question, version and seed give the same draw for ever, on every machine.

A pin that fails means that people would be asked something else than before. Raise the question's `version`; its pin
then stands for the old version and is passed over, until it is written down again.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.shipped import shipped_bank
from trainer.questions import Bank, Draw, draw, grade

DATA = Path(__file__).parent / "data"
PINS: list[dict[str, Any]] = json.loads((DATA / "fifty_draws.json").read_text(encoding="utf-8"))
FROZEN = sorted((DATA / "frozen").glob("*.json"))


@pytest.fixture(scope="module")
def shipped() -> Bank:
    return shipped_bank()


def in_force(bank: Bank, pin: dict[str, Any]) -> bool:
    question = bank.questions.get(pin["question"])
    return question is not None and question.version == pin["version"]


def test_there_are_fifty_and_most_are_in_force(shipped: Bank) -> None:
    assert len({(pin["question"], pin["seed"]) for pin in PINS}) == 50
    assert sum(in_force(shipped, pin) for pin in PINS) >= 40


@pytest.mark.parametrize("pin", PINS, ids=lambda pin: f"{pin['question']}-{pin['seed']}")
def test_a_pinned_draw_never_changes(shipped: Bank, pin: dict[str, Any]) -> None:
    if not in_force(shipped, pin):
        pytest.skip("the question's version was raised since")
    drawn = draw(shipped.questions[pin["question"]], pin["seed"])
    assert {name: given.text.en for name, given in drawn.givens.items()} == pin["givens"]
    data = drawn.to_json()
    if "options" in pin:
        assert [option["id"] for option in data["options"]] == pin["options"]
    else:
        # Nine figures: what lies behind them may differ with the machine's own sine and square root.
        assert (float(f"{data['expected']:.9g}"), data["unit"]) == (pin["answer"], pin["unit"])


@pytest.mark.parametrize("path", FROZEN, ids=lambda path: path.stem)
def test_a_draw_frozen_in_an_old_store_is_graded_as_it_was(path: Path) -> None:
    """Data written by an earlier version of the engine, with the grades it gave."""
    kept = json.loads(path.read_text(encoding="utf-8"))
    drawn = Draw.from_json(kept["draw"])
    for typed, before in kept["grades"].items():
        now = grade(drawn, typed).to_json()
        assert {name: now[name] for name in before} == before, typed
    again = drawn.to_json()
    assert {name: again[name] for name in again if name in kept["draw"]} == {
        name: kept["draw"][name] for name in again if name in kept["draw"]
    }
    assert Draw.from_json(json.loads(json.dumps(again))) == drawn
