"""mortar.joints and mortar.repoint against published mortar quantities and a wall drawn with shapely."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def joints(**inputs):
    return calc.evaluate("mortar.joints", inputs).results


def repoint(**inputs):
    return calc.evaluate("mortar.repoint", inputs).results


@pytest.mark.parametrize(
    ("brick", "joint", "wythe", "cubic_feet"),
    # BIA Technical Note 10, from memory: mortar for 1,000 modular brick, one wythe, full joints, without waste.
    [((7.625, 2.25), 0.375, 3.625, 8.1), ((7.5, 13 / 6), 0.5, 3.5, 10.3)],
)
def test_mortar_for_a_thousand_brick(brick, joint, wythe, cubic_feet):
    length, height = brick
    wall = joints(
        wall_length=100 * (length + joint), wall_height=10 * (height + joint),
        brick_length=length, brick_height=height, joint=joint,
    )  # fmt: skip
    filled = repoint(joint_length=wall["total_length"], joint_width=joint, depth=wythe, waste=0.0)
    assert filled["volume"] == pytest.approx(cubic_feet, abs=0.06)


@settings(max_examples=200, deadline=None)
@given(st.integers(1, 5), st.integers(1, 4), st.floats(4, 12), st.floats(2, 8), st.floats(0.2, 1))
def test_a_wall_in_running_bond_drawn(across, pairs, length, height, joint):
    wide, tall = across * (length + joint), 2 * pairs * (height + joint)
    wall = shapely.box(0, 0, wide, tall)
    bricks = []
    for course in range(2 * pairs):
        shift = -(length + joint) / 2 if course % 2 else 0.0
        base = course * (height + joint)
        bricks += [
            shapely.box(x, base, x + length, base + height)
            for x in (shift + n * (length + joint) for n in range(across + 1))
        ]
    face = wall.difference(shapely.union_all(bricks))
    made = joints(wall_length=wide, wall_height=tall, brick_length=length, brick_height=height, joint=joint)
    assert made["joint_area_ratio"] == pytest.approx(face.area / wall.area, rel=1e-6)
    assert made["total_length"] * 12 * joint == pytest.approx(face.area, rel=1e-6)
    assert made["bed_length"] * 12 == pytest.approx(2 * pairs * wide)
    assert made["head_length"] * 12 == pytest.approx(2 * pairs * across * height)


def test_rake_depth():
    # A masonry trade journal on restoring joints in historic buildings: 2 to 2 1/2 times the joint width.
    made = repoint(joint_length=100.0, joint_width=0.5)
    assert (made["depth_low"], made["depth_high"]) == (1.0, 1.25)


@settings(max_examples=200, deadline=None)
@given(
    st.fractions(1, 2000, max_denominator=8),
    st.fractions(Fraction(1, 8), 1, max_denominator=16),
    st.none() | st.fractions(Fraction(1, 4), 3, max_denominator=16),
    st.integers(0, 100),
    st.integers(10, 100),
)
def test_exact_fractions_agree(length, width, depth, waste, hundredths):
    made = repoint(
        joint_length=float(length), joint_width=float(width), depth=None if depth is None else float(depth),
        waste=float(waste), bag_yield=hundredths / 100,
    )  # fmt: skip
    deep = width * 5 / 2 if depth is None else depth
    volume = length * width * deep / 144 * (100 + waste) / 100
    assert made["volume"] == pytest.approx(float(volume), rel=1e-12)
    assert made["bags"] == math.ceil(volume / Fraction(hundredths, 100))


def test_refusal():
    with pytest.raises(Refusal, match=r"joint_length .* is missing; give 0\.1 to 100,000 ft"):
        repoint()
