"""Givens of every form as a question writes them, and a draw with such givens stored and read back."""

from __future__ import annotations

import json
from datetime import date

import pytest

from tests.shipped import shipped_bank
from trainer import calc
from trainer.calc import Flue
from trainer.calc.entries import Entry
from trainer.questions import Draw, draw
from trainer.questions.writing import written_input


@pytest.mark.parametrize(
    ("calculation", "name", "value", "feet", "en", "es"),
    [
        ("crown.slab", "flue", [Flue("rectangle", 13.0, 13.0)], False, "13 x 13 in", "13 x 13 in"),
        (
            "crown.slab",
            "flue",
            [Flue("round", 10.0, 10.0), Flue("rectangle", 8.5, 13.0)],
            False,
            "10 in dia and 8 1/2 x 13 in",
            "10 in diám y 8 1/2 x 13 in",
        ),
        (
            "rebar.stock",
            "piece",
            [Entry(count=8.0, length=49.0), Entry(count=5.0, length=29.5)],
            False,
            "8 @ 49 in and 5 @ 29 1/2 in",
            "8 @ 49 in y 5 @ 29 1/2 in",
        ),
        (
            "tape.add",
            "length",
            [14.0, 7.5, 30.0],
            False,
            "14 in, 7 1/2 in and 30 in",
            "14 in, 7 1/2 in y 30 in",
        ),
        ("tape.add", "length", [30.0], True, "2 ft 6 in", "2 ft 6 in"),
        ("concrete.batch", "parts", Entry(cement=1.0, sand=2.0, stone=3.0), False, "1:2:3", "1:2:3"),
        ("concrete.strip", "poured_on", date(2026, 11, 25), False, "2026-11-25", "2026-11-25"),
        ("rebar.mat", "bar", "#3", False, "#3", "#3"),
    ],
)
def test_a_value_is_written_as_the_trade_writes_it(calculation, name, value, feet, en, es):
    written = written_input(calc.get(calculation).input(name), value, feet)

    assert (written.en, written.es) == (en, es)


def test_a_draw_with_pieces_comes_back_equal_from_its_json():
    drawn = draw(shipped_bank().questions["fewest-bars-to-buy"], 7)

    assert isinstance(drawn.body.inputs["piece"][0], Entry)
    assert Draw.from_json(json.loads(json.dumps(drawn.to_json()))) == drawn
