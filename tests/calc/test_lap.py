"""rebar.bar and rebar.lap against the bar table and the lengths that the code's rule gives."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def lap(**inputs):
    return calc.evaluate("rebar.lap", inputs).results


@pytest.mark.parametrize(
    ("bar", "row"),
    # ASTM A615 Table 1 as printed by a concrete trade journal for #3 and #4; #5 from memory.
    [("#3", (0.375, 0.11, 0.376)), ("#4", (0.500, 0.20, 0.668)), ("#5", (0.625, 0.31, 1.043))],
)
def test_bar_table(bar, row):
    assert tuple(calc.evaluate("rebar.bar", {"bar": bar}).results.values()) == row


def test_the_number_counts_eighths():
    for bar in ("#3", "#4", "#5"):
        assert calc.evaluate("rebar.bar", {"bar": bar}).results["diameter"] == int(bar[1:]) / 8


@pytest.mark.parametrize(
    ("strength", "bar", "development", "splice"),
    # ACI 318-19 25.4.2.3 and 25.5.2.1, from memory, worked out for 60 ksi steel.
    [
        (3000.0, "#3", 16.4, 21.4),
        (3000.0, "#4", 21.9, 28.5),
        (4000.0, "#3", 14.2, 18.5),
        (4000.0, "#4", 19.0, 24.7),
        (5000.0, "#3", 12.7, 16.6),
        (5000.0, "#4", 17.0, 22.1),
    ],
)
def test_lengths_of_the_code(strength, bar, development, splice):
    made = lap(bar=bar, strength=strength)
    assert made["development_length"] == pytest.approx(development, abs=0.06)
    assert made["lap_length"] == pytest.approx(splice, abs=0.06)


def test_never_under_twelve_inches():
    made = lap(bar="#3", strength=10000.0, yield_strength=40.0)
    assert made == {"development_length": 12.0, "lap_length": 12.0}


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(["#3", "#4", "#5"]), st.floats(2500, 10000), st.floats(40, 60))
def test_the_metric_rule(bar, strength, grade):
    # ACI 318M, from memory: fy/(2.1·√f'c)·d in newtons and millimetres; its rounded 2.1 stands for 25·√psi.
    newtons = 6.894757e-3
    metric = grade * 1000 * newtons / (2.1 * math.sqrt(strength * newtons)) * int(bar[1:]) / 8
    assert lap(bar=bar, strength=strength, yield_strength=grade)["development_length"] == pytest.approx(
        max(metric, 12), rel=0.02
    )


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(["#3", "#4", "#5"]), st.floats(2500, 9000), st.floats(0, 1000))
def test_stronger_concrete_never_needs_more(bar, strength, more):
    weak, strong = lap(bar=bar, strength=strength), lap(bar=bar, strength=strength + more)
    assert (
        strong["lap_length"] <= weak["lap_length"]
        and strong["development_length"] <= weak["development_length"]
    )
    assert weak["lap_length"] >= weak["development_length"]


def test_units_and_refusal():
    read = calc.read_inputs("rebar.lap", {"yield_strength": "60,000 psi"})
    assert read == {"yield_strength": 60.0}
    with pytest.raises(Refusal, match=r"yield_strength .* cannot be 75 ksi; give 40 to 60 ksi"):
        lap(yield_strength=75.0)
