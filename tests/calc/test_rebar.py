"""rebar.mat against the bar table and against lines cut with shapely."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc import Flue
from trainer.calc.rebar import BARS
from trainer.errors import Refusal


def mat(**inputs):
    return calc.evaluate("rebar.mat", inputs).results


@pytest.mark.parametrize(
    ("bar", "diameter", "area", "weight"),
    # ASTM A615 Table 1 as printed by a concrete trade journal for #3 and #4; #5 from memory.
    [("#3", 0.375, 0.11, 0.376), ("#4", 0.500, 0.20, 0.668), ("#5", 0.625, 0.31, 1.043)],
)
def test_bar_table(bar, diameter, area, weight):
    assert BARS[bar] == (diameter, area, weight)
    # The table's own rule: a round bar of steel at 490 lb/ft³.
    assert math.pi / 4 * diameter**2 == pytest.approx(area, abs=0.005)
    assert math.pi / 4 * diameter**2 / 144 * 490 == pytest.approx(weight, abs=0.002)


def test_depth_for_a_mat_with_full_cover():
    # ACI 318-19 Table 20.5.1.3.1: 1 1/2 in of cover; two #3 bars need 3 3/4 in, so a 2 in edge cannot hold them.
    thin = mat(slab_length=40.0, slab_width=28.0, thickness=2.0, cover=1.5, bar="#3")
    usual = mat(slab_length=40.0, slab_width=28.0, thickness=4.0, cover=1.5, bar="#3")
    assert thin["depth_needed"] == usual["depth_needed"] == 3.75
    assert (thin["fits"], usual["fits"]) == (False, True)


def test_minimum_steel():
    # ACI 318-19 24.4.3, from memory: 0.0018 of the gross section each way.
    result = mat(slab_length=60.0, slab_width=36.0, thickness=6.0, cover=1.5, max_spacing=18.0, bar="#3")
    assert result["steel_ratio_short"] == pytest.approx(result["short_bars"] * 0.11 / (60 * 6))
    assert result["meets_minimum"] is False
    assert mat(slab_length=60.0, slab_width=36.0, thickness=4.0, cover=1.5, max_spacing=8.0, bar="#3")[
        "meets_minimum"
    ]


def has_room(inputs) -> bool:
    """Whether the row of openings leaves concrete at both ends of the slab and between the flues."""
    if len(inputs["flue"]) > 1 and inputs["flue_spacing"] <= 2 * inputs["bond_gap"]:
        return False
    row = sum(f.length for f in inputs["flue"]) + inputs["flue_spacing"] * max(0, len(inputs["flue"]) - 1)
    return row + 2 * inputs["bond_gap"] < inputs["slab_length"] - 0.01


mats = st.fixed_dictionaries(
    {
        "slab_length": st.floats(40, 90),
        "slab_width": st.floats(24, 40),
        "cover": st.floats(0.75, 2),
        "max_spacing": st.floats(4, 12),
        "bar": st.sampled_from(["#3", "#4", "#5"]),
        "flue": st.lists(
            st.tuples(st.sampled_from(["rectangular", "round"]), st.floats(6, 18), st.floats(6, 18)).map(
                lambda g: Flue(g[0], g[1], g[1] if g[0] == "round" else g[2])
            ),
            max_size=3,
        ),
        "bond_gap": st.integers(0, 64).map(lambda n: n / 64),
        "flue_spacing": st.floats(2, 6),
    }
).filter(has_room)


def boxes(inputs):
    start = -(sum(f.length for f in inputs["flue"]) + inputs["flue_spacing"] * (len(inputs["flue"]) - 1)) / 2
    for flue in inputs["flue"]:
        yield shapely.box(start, -flue.width / 2, start + flue.length, flue.width / 2).buffer(
            inputs["bond_gap"], join_style="mitre"
        )
        start += flue.length + inputs["flue_spacing"]


@settings(max_examples=200, deadline=None)
@given(mats)
def test_what_remains_is_line_minus_box(inputs):
    result = mat(**inputs)
    diameter = calc.evaluate("rebar.mat", inputs).values["bar_diameter"]
    keep_out = [box.buffer(inputs["cover"], join_style="mitre") for box in boxes(inputs)]
    remaining, cut = 0.0, 0
    for along, count, spacing, length in (
        (True, result["long_bars"], result["long_spacing"], result["long_length"]),
        (False, result["short_bars"], result["short_spacing"], result["short_length"]),
    ):
        for place in range(int(count)):
            off = (place - (count - 1) / 2) * spacing
            ends = (
                [(-length / 2, off), (length / 2, off)] if along else [(off, -length / 2), (off, length / 2)]
            )
            bar = shapely.LineString(ends)
            left = bar
            for box, zone in zip(boxes(inputs), keep_out, strict=True):
                # The steel comes nearer than the cover when the bar's own width overlaps the zone round the opening.
                steel = bar.buffer(diameter / 2, cap_style="flat")
                wide = box.buffer(inputs["cover"], join_style="mitre")
                if steel.intersection(wide).area > 1e-7:
                    # The piece removed is as long as the zone along the bar, wherever in the zone the bar lies.
                    left = left.difference(
                        shapely.box(zone.bounds[0], -1e3, zone.bounds[2], 1e3)
                        if along
                        else shapely.box(-1e3, zone.bounds[1], 1e3, zone.bounds[3])
                    )
            remaining += left.length
            cut += left.length < bar.length - 1e-9
    assert result["total_length"] * 12 == pytest.approx(remaining, abs=1e-4)
    assert result["bars_cut"] == cut


@settings(max_examples=200, deadline=None)
@given(mats, st.floats(0, 1))
def test_more_cover_never_adds_steel(inputs, more):
    thicker = inputs | {"cover": inputs["cover"] + more}
    assert mat(**thicker)["total_length"] <= mat(**inputs)["total_length"] + 1e-9


@settings(max_examples=200, deadline=None)
@given(mats)
def test_spacing_and_count_agree(inputs):
    result = mat(**inputs)
    assert result["long_spacing"] <= inputs["max_spacing"] + 1e-6
    # One bar fewer would be too far apart.
    if result["long_bars"] > 2:
        clear = result["long_spacing"] * (result["long_bars"] - 1)
        assert clear / (result["long_bars"] - 2) > inputs["max_spacing"] - 1e-6
    assert result["ties"] == result["long_bars"] * result["short_bars"]


def test_too_small_a_slab_is_refused():
    with pytest.raises(Refusal, match="leaves no room for bars"):
        mat(slab_length=40.0, slab_width=10.0, cover=5.0)


@pytest.mark.parametrize("flue", [Flue("rectangular", 36.0, 36.0), Flue("rectangular", 10.0, 23.0)])
def test_an_opening_that_reaches_the_edge_is_refused(flue):
    with pytest.raises(Refusal, match="reach the edge of a slab of 40 x 24 in"):
        mat(slab_length=40.0, slab_width=24.0, flue=[flue], bond_gap=0.5)
