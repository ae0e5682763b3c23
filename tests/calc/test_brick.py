"""brick.courses and brick.count against modular coursing and published brick per square foot."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def courses(**inputs):
    return calc.evaluate("brick.courses", inputs).results


def count(**inputs):
    return calc.evaluate("brick.count", inputs).results


def test_three_courses_make_eight_inches():
    # BIA Technical Note 10, from memory: three courses of 2 1/4 in modular brick are laid to 8 in.
    assert courses(height=8.0) == {"courses": 3.0, "joint_for_fit": pytest.approx(8 / 3 - 2.25)}
    assert courses(height=16.0)["courses"] == 6.0


def test_an_exact_fit_stays():
    # 37 courses of 2 5/8 in are 97 1/8 in (arithmetic): none is lost to rounding.
    assert courses(height=97.125) == {"courses": 37.0, "joint_for_fit": pytest.approx(0.375)}


@settings(max_examples=200, deadline=None)
@given(
    st.fractions(12, 400, max_denominator=16),
    st.fractions(Fraction(3, 2), 8, max_denominator=16),
    st.fractions(Fraction(1, 8), 1, max_denominator=16),
)
def test_courses_stacked_one_by_one(height, brick, joint):
    made = courses(height=float(height), brick_height=float(brick), joint=float(joint))
    stacked, top = 0, Fraction(0)
    while top + brick + joint <= height:
        stacked, top = stacked + 1, top + brick + joint
    assert made["courses"] == stacked
    assert stacked * (brick + Fraction(made["joint_for_fit"])) == pytest.approx(float(height))
    assert made["joint_for_fit"] >= float(joint) - 1e-9


def test_less_than_a_course():
    with pytest.raises(Refusal, match=r"height 2 in is less than one course of 2\.625 in"):
        courses(height=2.0)


def test_modular_brick_per_square_foot():
    # A builders' page: 6.75 modular brick in a square foot (675 in 100 ft²): faces of 8 x 2 2/3 in, joints included.
    made = count(wall_length=120.0, wall_height=120.0, brick_height=8 / 3 - 0.375, waste=0.0)
    assert made["bricks_per_area"] == pytest.approx(6.75)
    assert made["bricks"] == 675


def test_breakage():
    # An old building trades pocketbook: 5 % more for breakage.
    assert count(wall_length=120.0, wall_height=120.0, brick_height=8 / 3 - 0.375)["bricks"] == math.ceil(
        675 * 1.05
    )


@settings(max_examples=200, deadline=None)
@given(st.integers(1, 40), st.integers(1, 60), st.fractions(4, 12, max_denominator=16), st.fractions(2, 8, max_denominator=16),
       st.fractions(Fraction(1, 8), 1, max_denominator=16))  # fmt: skip
def test_whole_brick_counted(across, up, length, height, joint):
    made = count(
        wall_length=float(across * (length + joint)), wall_height=float(up * (height + joint)),
        brick_length=float(length), brick_height=float(height), joint=float(joint), waste=0.0,
    )  # fmt: skip
    assert made["bricks"] == across * up


@settings(max_examples=200, deadline=None)
@given(st.floats(12, 400), st.floats(12, 400), st.floats(0, 50), st.floats(0, 20))
def test_more_waste_never_fewer(length, height, waste, more):
    less = count(wall_length=length, wall_height=height, waste=waste)["bricks"]
    assert count(wall_length=length, wall_height=height, waste=waste + more)["bricks"] >= less
