"""crown.movement against published coefficients and two bodies grown apart."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def movement(**inputs):
    return calc.evaluate("crown.movement", inputs).results


def test_five_feet_of_concrete_a_hundred_degrees_warmer():
    # Concrete at 5.5 millionths per °F (from memory): 60 in over 100 °F grow 0.033 in.
    grown = movement(dimension=60.0, temperature_rise=0.0, crown_rise=100.0)["growth"]
    assert -grown == pytest.approx(0.033)


@pytest.mark.parametrize(("expansion", "growth"), [(1.7e-6, 0.0102), (6.9e-6, 0.0414)])
def test_published_range_of_clay_brick(expansion, growth):
    # A building handbook: clay brick expands 1.7 millionths (fireclay) to 6.9 millionths (surface clay) per °F.
    made = movement(dimension=12.0, temperature_rise=500.0, flue_expansion=expansion)
    assert made["growth"] == pytest.approx(growth)


def test_class_25_joint():
    # ASTM C920 class 25 moves 25 % of the joint each way (Michigan R 408.30547b asks for it): 4 times the movement.
    made = movement(dimension=13.0, temperature_rise=400.0)
    assert made["joint_width"] == pytest.approx(4 * made["growth_each_side"])


@settings(max_examples=200, deadline=None)
@given(
    st.fractions(1, 48, max_denominator=16),
    st.integers(0, 1500),
    st.integers(0, 100),
    st.integers(1, 100),
    st.integers(1, 150),
    st.integers(1, 150),
)
def test_two_bodies_grown_apart(size, hot, warm, capability, clay, concrete):
    # A second method: the flue and its hole at their new sizes, in exact fractions.
    flue = size * (1 + hot * Fraction(clay, 10**7))
    hole = size * (1 + warm * Fraction(concrete, 10**7))
    made = movement(
        dimension=float(size),
        temperature_rise=float(hot),
        crown_rise=float(warm),
        flue_expansion=clay / 1e7,
        crown_expansion=concrete / 1e7,
        joint_capability=float(capability),
    )
    assert made["growth"] == pytest.approx(float(flue - hole), abs=1e-12)
    assert made["joint_width"] == pytest.approx(float(abs(flue - hole) / 2 * 100 / capability), abs=1e-12)


def test_celsius_and_fahrenheit_agree():
    typed = {"dimension": "13 in", "flue_expansion": "2.5 millionths per F"}
    results = [
        calc.evaluate(
            "crown.movement", calc.read_inputs("crown.movement", typed | {"temperature_rise": rise})
        ).results
        for rise in ("360 F", "200 C")
    ]
    assert results[0] == pytest.approx(results[1], rel=1e-9)


def test_refusal():
    with pytest.raises(Refusal, match=r"joint_capability .* cannot be 0 %; give 1 to 100 %"):
        movement(dimension=13.0, temperature_rise=100.0, joint_capability=0.0)
