"""What a value is typed as reads back as the same value, in both languages."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc import Entry, Flue, typed
from trainer.calc.allowed import allowed
from trainer.calc.reading import read_input
from trainer.calc.spec import checked

INPUTS = [(name, each) for name in calc.names() for each in calc.get(name).inputs]
LANGUAGES = st.sampled_from(["en", "es"])


@st.composite
def values(draw, each):
    """Any value that the input takes, numbers on the tape and off it."""

    def number(low, high, whole=False):
        if whole:
            return float(draw(st.integers(math.ceil(low), math.floor(high))))
        sixteenths = st.integers(math.ceil(low * 16), math.floor(high * 16)).map(lambda n: n / 16)
        return draw(st.one_of(sixteenths, st.floats(low, high)) if high - low >= 1 else st.floats(low, high))

    if each.kind == "choice":
        return draw(st.sampled_from(each.choices))
    if each.kind == "date":
        return draw(st.dates(date(2000, 1, 1), date(2099, 12, 31)))
    if each.kind == "flue":
        length, width = number(each.low, each.high), number(each.low, each.high)
        return draw(st.sampled_from([Flue("rectangular", length, width), Flue("round", length, length)]))
    if each.parts:
        return Entry(**{part.name: number(part.low, part.high, part.unit == "count") for part in each.parts})
    return number(each.low, each.high, each.unit == "count")


@pytest.mark.parametrize(("name", "each"), INPUTS, ids=[f"{name}-{each.name}" for name, each in INPUTS])
@settings(max_examples=40, deadline=None)
@given(st.data())
def test_every_value_reads_back(name, each, data):
    value = data.draw(values(each))
    text = typed.typed_input(each, value, data.draw(LANGUAGES))
    assume(
        len(text) <= 60
    )  # the most that is read; only pairs of numbers with seventeen figures each are longer
    read = read_input(each, text)
    again = checked(each, float(read) if isinstance(read, Fraction) else read)
    if isinstance(value, Entry):
        assert again.numbers() == pytest.approx(value.numbers(), rel=1e-15, abs=1e-15)
    else:
        assert again == value, text


def test_lengths_are_typed_as_on_the_tape():
    length = calc.get("crown.slab").input("chimney_length")
    assert typed.typed_input(length, 40.5) == "40 1/2 in"
    assert typed.typed_input(length, 40.3) == "40.3 in"
    support = calc.get("ladder.set").input("support_height")
    assert typed.typed_input(support, 16.5) == "16 ft 6 in"
    flue = calc.get("crown.slab").input("flue")
    assert typed.typed_input(flue, Flue("rectangular", 8.5, 13.0)) == "8 1/2 x 13 in"
    assert typed.typed_input(flue, Flue("round", 10.0, 10.0), "es") == "10 in diám"


@pytest.mark.parametrize("name", calc.names())
def test_what_would_be_taken_anyway_is_left_out(name):
    calculation = calc.get(name)
    shop = calc.DEFAULT_SHOP
    evaluation = calc.work(name, calc.read_inputs(name, calculation.sample), shop)
    texts = typed.typed_inputs(evaluation, shop)
    assert set(texts) <= set(calculation.sample)
    assert calc.evaluate(name, calc.read_inputs(name, texts), shop).values == evaluation.values


def test_another_shops_figure_is_kept():
    sizes = {"chimney_length": 40.0, "chimney_width": 24.0}
    evaluation = calc.work("crown.slab", sizes, calc.DEFAULT_SHOP | {"overhang": 3.0})
    assert typed.typed_inputs(evaluation, calc.DEFAULT_SHOP)["overhang"] == ["3 in"]
    assert "overhang" not in typed.typed_inputs(evaluation, calc.DEFAULT_SHOP | {"overhang": 3.0})
    assert typed.query(evaluation, calc.DEFAULT_SHOP) == (
        "chimney_length=40+in&chimney_width=24+in&overhang=3+in"
    )


@pytest.mark.parametrize(
    ("name", "input", "words"),
    [
        ("crown.slab", "chimney_length", "8 to 240 in"),
        ("sealant.bead", "width", "1/16 to 4 in"),
        ("mortar.repoint", "joint_length", "0.1 to 100,000 ft"),
        ("crown.movement", "flue_expansion", "0 to 0.00002 per °F"),
        ("tape.add", "length", "−12,000 to 12,000 in"),
    ],
)
def test_ranges_are_written_as_the_trade_writes_numbers(name, input, words):
    assert allowed(calc.get(name).input(input)).en == words
