"""crown.slab against published figures and against solids built by a geometry library."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold

from trainer import calc
from trainer.calc import Flue
from trainer.errors import Refusal


def slab(**inputs):
    return calc.evaluate("crown.slab", inputs).results


def test_cap_of_a_published_chimney():
    # USDA Farmers' Bulletin 1889, p. 44: cap 4.5 x 2.66 x 0.5 ft less 2.48 ft² of flues. The bulletin takes the area
    # from a volume and prints 3.42 ft³; the same inputs taken rightly give 4.745 ft³.
    result = slab(
        chimney_length=54.0,
        chimney_width=2.66 * 12,
        overhang=0.0,
        edge_thickness=6.0,
        bond_gap=0.0,
        flue=[Flue("rectangular", 20.0, 2.48 * 144 / 20)],
    )
    assert result["volume"] == pytest.approx(4.745, abs=5e-4)
    assert result["volume"] != pytest.approx(3.42, abs=0.5)


def test_oldest_worked_frustum():
    # Moscow Papyrus, problem 14: base 4, top 2, height 6 -> 56 (numbers from memory); here ten times as wide and long.
    result = slab(
        chimney_length=40.0,
        chimney_width=40.0,
        overhang=0.0,
        edge_thickness=1.0,
        flue_thickness=7.0,
        bond_gap=0.0,
        flue=[Flue("rectangular", 20.0, 20.0)],
    )
    assert result["wash_volume"] * 1728 == pytest.approx(5600.0, rel=1e-12)


@pytest.mark.parametrize(
    ("degrees", "inches_per_foot"),
    [(10.0, 2.116), (14.04, 3.0)],  # ASTM C1283 8.1; BIA, Masonry Magazine August 1993 p. 10
)
def test_published_slopes(degrees, inches_per_foot):
    run = (44.0 - 14.0) / 2
    rise = math.tan(math.radians(degrees)) * run
    result = slab(
        chimney_length=40.0,
        chimney_width=40.0,
        overhang=2.0,
        edge_thickness=4.0,
        flue_thickness=4.0 + rise,
        flue=[Flue("rectangular", 13.0, 13.0)],
    )
    assert result["slope_long"] == pytest.approx(inches_per_foot, abs=1e-3)


def test_no_flue_is_a_flat_slab():
    result = slab(
        chimney_length=36.0, chimney_width=24.0, overhang=2.0, edge_thickness=4.0, flue_thickness=6.0
    )
    assert result["volume"] == pytest.approx(40 * 28 * 4 / 1728)
    assert result["slope_long"] == result["slope_short"] == 0


flues = st.lists(
    st.tuples(st.sampled_from(["rectangular", "round"]), st.floats(4, 18), st.floats(4, 18)).map(
        lambda given: Flue(given[0], given[1], given[1] if given[0] == "round" else given[2])
    ),
    min_size=1,
    max_size=4,
)


@st.composite
def crowns(draw):
    row = draw(flues)
    gap, spacing = draw(st.integers(0, 64)) / 64, draw(st.floats(2.5, 8))
    long_side = sum(f.length for f in row) + spacing * (len(row) - 1) + 2 * gap + draw(st.floats(8, 20))
    short_side = max(f.width for f in row) + 2 * gap + draw(st.floats(8, 20))
    edge = draw(st.floats(2, 6))
    return {
        "chimney_length": max(long_side, short_side),
        "chimney_width": min(long_side, short_side) if long_side < short_side else short_side,
        "overhang": draw(st.floats(0, 4)),
        "edge_thickness": edge,
        "flue_thickness": edge + draw(st.floats(0, 5)),
        "flue": row,
        "bond_gap": gap,
        "flue_spacing": spacing,
    }


def fits(inputs):
    row, gap = inputs["flue"], inputs["bond_gap"]
    length = sum(f.length for f in row) + inputs["flue_spacing"] * (len(row) - 1) + 2 * gap
    return (
        length <= inputs["chimney_length"] and max(f.width for f in row) + 2 * gap <= inputs["chimney_width"]
    )


SIDES = 64
# A prism of that many sides with the section of a circle of radius 1.
SAME_AREA = math.sqrt(2 * math.pi / (SIDES * math.sin(2 * math.pi / SIDES)))


def solid_volume(inputs) -> float:
    """Volume of the solid that a geometry library makes: the hull of the slab's corners and the crest's, and each opening
    cut through it from below to above."""
    length, width = (inputs[side] + 2 * inputs["overhang"] for side in ("chimney_length", "chimney_width"))
    edge, top = inputs["edge_thickness"], inputs["flue_thickness"]
    row, gap, spacing = inputs["flue"], inputs["bond_gap"], inputs["flue_spacing"]
    start = start_of_row = -(sum(flue.length for flue in row) + spacing * (len(row) - 1)) / 2
    holes = []
    for flue in row:
        middle = start + flue.length / 2
        if flue.shape == "round":
            radius = flue.length / 2 + gap
            hole = Manifold.cylinder(top + 2, radius * SAME_AREA, radius * SAME_AREA, SIDES, center=True)
        else:
            hole = Manifold.cube((flue.length + 2 * gap, flue.width + 2 * gap, top + 2), center=True)
        holes.append(hole.translate((middle, 0, top / 2)))
        start += flue.length + spacing
    half_row, half_widest = -start_of_row + gap, max(flue.width for flue in row) / 2 + gap
    corners = [(x * length / 2, y * width / 2, z) for x in (-1, 1) for y in (-1, 1) for z in (0, edge)]
    corners += [(x * half_row, y * half_widest, top) for x in (-1, 1) for y in (-1, 1)]
    solid = Manifold.hull_points(np.array(corners))
    for hole in holes:
        solid -= hole
    return solid.volume() / 1728


@settings(max_examples=200, deadline=None)
@given(crowns())
def test_volume_of_the_solid(inputs):
    if not fits(inputs):
        with pytest.raises(Refusal, match="do not fit"):
            slab(**inputs)
        return
    assert slab(**inputs)["volume"] == pytest.approx(solid_volume(inputs), rel=2e-5)


@settings(max_examples=200, deadline=None)
@given(crowns().filter(fits), st.floats(1.0, 1.6))
def test_scaling_every_length_scales_the_volume_cubed(inputs, k):
    scaled = {
        name: value * k
        if isinstance(value, float)
        else [Flue(f.shape, f.length * k, f.width * k) for f in value]
        for name, value in inputs.items()
    }
    assert slab(**scaled)["volume"] == pytest.approx(slab(**inputs)["volume"] * k**3, rel=1e-9)


def test_row_runs_along_the_longer_side():
    two = [Flue("rectangular", 13.0, 13.0)] * 2
    along = slab(chimney_length=48.0, chimney_width=24.0, flue=two)
    turned = slab(chimney_length=24.0, chimney_width=48.0, flue=two)
    assert (along["crest_length"], along["crest_width"]) == (turned["crest_width"], turned["crest_length"])
    assert along["volume"] == pytest.approx(turned["volume"])
    assert along["slope_long"] == turned["slope_long"]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"chimney_width": 12.0}, "do not fit inside the chimney"),
        ({"chimney_length": 14.0, "chimney_width": 14.0, "overhang": 0.0}, "leaves no concrete beside it"),
        ({"flue_thickness": 3.0}, "would drain to the flue"),
        ({"flue": [Flue("round", 8.0, 8.0)] * 2, "flue_spacing": 0.5}, "no concrete between the openings"),
        # Openings that just touch leave no concrete either.
        ({"flue": [Flue("round", 8.0, 8.0)] * 2, "flue_spacing": 1.0}, "more than twice bond_gap, 1 in"),
        ({"overhang": -1.0}, r"overhang .* cannot be -1 in; give 0 to 12 in"),
        ({"overhang": math.nan}, "overhang .* cannot be nan"),
        ({"edge_thickness": math.inf}, "edge_thickness .* cannot be inf"),
        ({"chimney_width": None}, r"chimney_width .* is missing; give 8 to 240 in"),
        ({"colour": 1.0}, "has no input 'colour'"),
    ],
)
def test_refusals(change, sentence):
    inputs = {
        "chimney_length": 40.0,
        "chimney_width": 24.0,
        "flue": [Flue("rectangular", 13.0, 13.0)],
    } | change
    with pytest.raises(Refusal, match=sentence):
        slab(**inputs)


@pytest.mark.parametrize(
    ("rise", "run", "inches_per_foot", "degrees"),
    # ASTM C1283 8.1: 10 degrees is 2.116 in per ft; BIA, Masonry Magazine August 1993 p. 10: 3 in per ft is 14.04 degrees.
    [(2.116, 12.0, 2.116, 10.0), (3.0, 12.0, 3.0, 14.04), (4.5, 18.0, 3.0, 14.04)],
)
def test_published_slopes_from_rise_and_run(rise, run, inches_per_foot, degrees):
    result = calc.evaluate("crown.slope", {"rise": rise, "run": run}).results
    assert result["slope"] == pytest.approx(inches_per_foot)
    assert result["angle"] == pytest.approx(degrees, abs=5e-3)


@settings(max_examples=200, deadline=None)
@given(st.floats(0, 48), st.floats(0.5, 240))
def test_the_sloped_line_drawn(rise, run):
    result = calc.evaluate("crown.slope", {"rise": rise, "run": run}).results
    drawn = shapely.LineString([(0, 0), (run, rise)])
    assert run / drawn.length == pytest.approx(math.cos(math.radians(result["angle"])))
    assert result["percent"] / 100 == pytest.approx(result["slope"] / 12)
