"""concrete.bags, flue.cut, roof.slope and ladder.set against published figures and a second method."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc.concrete import BAGS
from trainer.errors import Refusal


def results(name, **inputs):
    return calc.evaluate(name, inputs).results


class TestBags:
    @pytest.mark.parametrize(
        ("bag", "bags"),
        # Bags in a cubic yard: 27 ft³ over the printed yield (web pages of bag suppliers' yields, 40 to 80 lb).
        [("40 lb", 90), ("50 lb", 72), ("60 lb", 60), ("80 lb", 45), ("90 lb", 40)],
    )
    def test_bags_in_a_yard(self, bag, bags):
        assert results("concrete.bags", volume=27.0, waste=0.0, bag=bag)["bags"] == bags

    def test_ten_percent_waste(self):
        # US Navy Engineering Aid manual: 527.40 ft³ and 10 % waste are 580.14 ft³.
        assert results("concrete.bags", volume=527.40, waste=10.0)["volume_needed"] == pytest.approx(580.14)

    def test_water_printed_for_two_bags(self):
        # Printed: 60 lb bag 4 to 7 pints; 80 lb bag 3 to 4.5 quarts. The label on the bag governs.
        sixty = results("concrete.bags", volume=0.4, waste=0.0, bag="60 lb")
        eighty = results("concrete.bags", volume=0.5, waste=0.0, bag="80 lb")
        assert (sixty["water_low"] * 8, sixty["water_high"] * 8) == (4, 7)
        assert (eighty["water_low"] * 4, eighty["water_high"] * 4) == (3, 4.5)

    def test_label_yield_governs(self):
        assert results("concrete.bags", volume=5.0, waste=0.0, bag="90 lb", **{"yield": 0.5})["bags"] == 10

    @settings(max_examples=200, deadline=None)
    @given(
        st.fractions(Fraction(1, 10), 60, max_denominator=64),
        st.integers(0, 40),
        st.sampled_from(sorted(BAGS)),
    )
    def test_exact_fractions_agree(self, volume, waste, bag):
        made = Fraction(str(float(BAGS[bag].volume)))
        needed = volume * (100 + waste) / 100
        bags = math.ceil(needed / made)
        result = results("concrete.bags", volume=float(volume), waste=float(waste), bag=bag)
        assert result["bags"] == bags
        assert result["left_over"] == pytest.approx(float(bags * made - needed), abs=1e-9)

    @settings(max_examples=200, deadline=None)
    @given(st.floats(0.1, 60), st.floats(0, 50), st.floats(0, 50))
    def test_more_waste_never_fewer_bags(self, volume, waste, more):
        less = results("concrete.bags", volume=volume, waste=waste)["bags"]
        assert results("concrete.bags", volume=volume, waste=waste + more)["bags"] >= less


class TestFlue:
    def test_published_limit(self):
        # ASTM C1283 8.5: not more than 4 in above the cap.
        tall = results(
            "flue.cut",
            flue_above_wall=14.0,
            base_thickness=0.5,
            flue_thickness=5.5,
            projection=3.0,
            max_projection=4.0,
        )
        assert tall == {"projection_now": 8.0, "cut_down": 5.0, "extension": 0.0}

    @settings(max_examples=200, deadline=None)
    @given(st.floats(0, 40), st.floats(0, 2), st.floats(2, 8), st.floats(1, 4), st.floats(0, 4))
    def test_after_the_work_it_stands_in_the_range(self, above, base, thickness, wanted, room):
        result = results(
            "flue.cut",
            flue_above_wall=above,
            base_thickness=base,
            flue_thickness=thickness,
            projection=wanted,
            max_projection=wanted + room,
        )
        # A second method: the stack of board, crown and flue as intervals on one line.
        top_of_crown = shapely.LineString([(0, 0), (0, base + thickness)]).length
        stands = above - result["cut_down"] + result["extension"] - top_of_crown
        assert wanted - 1e-9 <= stands <= wanted + room + 1e-9
        assert result["cut_down"] == 0 or result["extension"] == 0

    def test_covered_flue_is_extended(self):
        assert results("flue.cut", flue_above_wall=3.0, flue_thickness=5.0)["projection_now"] == -2.5

    def test_contradictory_range(self):
        with pytest.raises(Refusal, match="max_projection 2 in is under projection 3 in"):
            results("flue.cut", flue_above_wall=10.0, projection=3.0, max_projection=2.0)


class TestRoof:
    @pytest.mark.parametrize(
        ("rise", "factor", "degrees"),
        # Handbook table of roof slope factors; 4 and 6 in 12 as printed by a building page, the rest by the same rule.
        [
            (3, 1.0308, 14.04),
            (4, 1.0541, 18.43),
            (5, 1.0833, 22.62),
            (6, 1.1180, 26.57),
            (7, 1.1577, 30.26),
            (8, 1.2019, 33.69),
            (9, 1.2500, 36.87),
            (10, 1.3017, 39.81),
            (11, 1.3566, 42.51),
            (12, 1.4142, 45.00),
        ],
    )
    def test_table(self, rise, factor, degrees):
        result = results("roof.slope", rise=float(rise))
        assert result["slope_factor"] == pytest.approx(factor, abs=5e-5)
        assert result["angle"] == pytest.approx(degrees, abs=5e-3)

    def test_low_slope_limit(self):
        # 29 CFR 1926.500(b): low-slope is 4 in 12 or less.
        assert results("roof.slope", rise=4.0)["low_slope"] is True
        assert results("roof.slope", rise=4.0625)["low_slope"] is False

    @settings(max_examples=200, deadline=None)
    @given(st.floats(0, 48))
    def test_the_triangle(self, rise):
        result = results("roof.slope", rise=rise)
        assert result["slope_factor"] == pytest.approx(shapely.LineString([(0, 0), (12, rise)]).length / 12)
        assert math.tan(math.radians(result["angle"])) * 12 == pytest.approx(rise, abs=1e-9)


class TestLadder:
    def test_quarter_of_the_working_length(self):
        # 29 CFR 1926.1053(b)(5)(i): the foot stands out a quarter of the working length; (a)(1)(ii) tests ladders
        # at 75 1/2 degrees. A 20 ft working length reaches 19.36 ft.
        result = results("ladder.set", support_height=20 * math.sqrt(15) / 4)
        assert result["working_length"] == pytest.approx(20.0)
        assert result["setback"] == pytest.approx(5.0)
        assert result["angle"] == pytest.approx(75.5, abs=0.05)

    @settings(max_examples=200, deadline=None)
    @given(st.floats(3, 60), st.floats(0, 10))
    def test_the_rails_drawn(self, height, extension):
        result = results("ladder.set", support_height=height, extension=extension, secured="yes")
        rails = shapely.LineString([(0, 0), (result["setback"], height)])
        assert rails.length == pytest.approx(result["working_length"])
        assert result["setback"] == pytest.approx(rails.length / 4)
        # 29 CFR 1926.1053(b)(1): the rails stand that far above the landing.
        top = result["rail_length"] * math.sin(math.radians(result["angle"]))
        assert top - height == pytest.approx(extension, abs=1e-6)

    def test_less_than_three_feet_only_when_secured(self):
        # 29 CFR 1926.1053(b)(1), as an OSHA letter of 22 December 2005 quotes it: 3 ft above the landing, or secured at
        # the top to a rigid support, with a grasping device.
        assert results("ladder.set", support_height=16.0, extension=3.0)["rail_length"] > 0
        for extension in (0.0, 2.0, 2.99):
            with pytest.raises(
                Refusal, match=r"under the 3 ft of 29 CFR 1926\.1053\(b\)\(1\); give 3 ft or more"
            ):
                results("ladder.set", support_height=16.0, extension=extension)
            assert results("ladder.set", support_height=16.0, extension=extension, secured="yes")
