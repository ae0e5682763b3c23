"""roof.protect against a tilted sheet drawn with shapely; roof.debris against exact fractions. roof.slope: test_small."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc import Entry
from trainer.errors import Refusal


def results(name, **inputs):
    return calc.evaluate(name, inputs).results


class TestProtect:
    @pytest.mark.parametrize(
        ("rise", "factor"),
        # Slope factors of a handbook table; 4 and 6 in 12 as printed by a building page.
        [(0, 1.0), (4, 1.0541), (6, 1.1180), (12, 1.4142)],
    )
    def test_published_factors(self, rise, factor):
        result = results(
            "roof.protect", chimney_length=36.0, chimney_width=24.0, margin=48.0, rise=float(rise)
        )
        plan = (11 * 10) - (3 * 2)
        assert result["area"] == pytest.approx(plan * factor, rel=5e-5)
        assert result["sheets"] == math.ceil(plan * factor / 32)

    @settings(max_examples=200, deadline=None)
    @given(
        st.floats(8, 96), st.floats(8, 96), st.floats(6, 120), st.floats(0, 24), st.floats(2, 8), st.floats(2, 12),
    )  # fmt: skip
    def test_the_sheet_drawn_on_the_slope(self, length, width, margin, rise, a, b):
        chimney = shapely.box(0, 0, length, width)
        ring = chimney.buffer(margin, join_style="mitre").difference(chimney)
        on_the_slope = shapely.affinity.scale(ring, yfact=math.hypot(12, rise) / 12)
        result = results("roof.protect", chimney_length=length, chimney_width=width, margin=margin, rise=rise,
                         sheet=(a, b))  # fmt: skip
        assert result["area"] == pytest.approx(on_the_slope.area / 144)
        assert (result["sheets"] - 1) * a * b - 1e-6 <= result["area"] <= result["sheets"] * a * b + 1e-6

    @settings(max_examples=200, deadline=None)
    @given(st.floats(8, 96), st.floats(8, 96), st.floats(6, 120), st.floats(0, 24), st.floats(0, 20))
    def test_more_never_needs_fewer_sheets(self, length, width, margin, rise, more):
        least = results("roof.protect", chimney_length=length, chimney_width=width, margin=margin, rise=rise)
        for change in ({"margin": margin + more}, {"rise": rise + more}):
            inputs = {
                "chimney_length": length,
                "chimney_width": width,
                "margin": margin,
                "rise": rise,
            } | change
            assert results("roof.protect", **inputs)["sheets"] >= least["sheets"]

    def test_typed(self):
        texts = {"chimney_length": "36 in", "chimney_width": "24 in", "margin": "4 ft", "rise": "6 in 12"}
        english = calc.read_inputs("roof.protect", texts | {"sheet": "4 x 8 ft"})
        spanish = calc.read_inputs(
            "roof.protect", texts | {"rise": "6 en 12", "sheet": "48 por 96 pulg"}, "es"
        )
        assert english["sheet"] == Entry(length=4, width=8)
        result = calc.evaluate("roof.protect", english).results
        assert result == calc.evaluate("roof.protect", spanish).results
        assert result == results(
            "roof.protect", chimney_length=36.0, chimney_width=24.0, margin=48.0, rise=6.0
        )

    @pytest.mark.parametrize(
        ("change", "sentence"),
        [
            ({"sheet": (0.0, 8.0)}, r'sheet .* cannot be .*; give for example "4 x 8 ft" \(0.5 to 100 ft\)'),
            ({"rise": None}, r"rise .* is missing; give 0 to 48 in per ft"),
            ({"margin": math.nan}, r"margin .* cannot be nan"),
        ],
    )
    def test_refusals(self, change, sentence):
        inputs = {"chimney_length": 36.0, "chimney_width": 24.0, "rise": 6.0} | change
        with pytest.raises(Refusal, match=sentence):
            results("roof.protect", **inputs)


class TestDebris:
    def test_published_cap(self):
        # USDA Farmers' Bulletin 1889, p. 44: the cap of a chimney holds 4.745 ft³ (its own 3.42 ft³ is a slip). At the
        # usual 145 lb/ft³ and 20 lb/ft² of roof load (ASCE 7, both from memory) it is 688 lb, over 34.4 ft² of roof, and
        # 14 trips of 51 lb, NIOSH 94-110's limit for the best lift.
        result = results("roof.debris", volume=4.745, density=145.0, bucket_load=51.0, allowed_load=20.0)
        assert result["weight"] == pytest.approx(688.0, abs=0.1)
        assert result["stack_area"] == pytest.approx(34.4, abs=0.01)
        assert result["trips"] == 14

    @settings(max_examples=200, deadline=None)
    @given(
        st.fractions(0, 100, max_denominator=16), st.integers(0, 2000), st.fractions(2, 8, max_denominator=4),
        st.integers(20, 100), st.integers(10, 60),
    )  # fmt: skip
    def test_exact_fractions_agree(self, volume, bricks, brick, bucket, allowed):
        weight = volume * 145 + bricks * brick
        result = results("roof.debris", volume=float(volume), brick=float(bricks), brick_weight=float(brick),
                         bucket_load=float(bucket), allowed_load=float(allowed))  # fmt: skip
        assert result["weight"] == pytest.approx(float(weight))
        assert result["trips"] == math.ceil(weight / bucket)
        assert result["stack_area"] == pytest.approx(float(weight / Fraction(allowed)))

    def test_the_bucket_is_the_shop_standard(self):
        shop = {**calc.DEFAULT_SHOP, "carry_limit": 40.0}
        assert calc.evaluate("roof.debris", {"brick": 80.0}, shop).results["trips"] == 9
        assert results("roof.debris")["trips"] == 0

    def test_refusal(self):
        with pytest.raises(Refusal, match=r"brick .* cannot be -1; give 0 to 100,000"):
            results("roof.debris", brick=-1.0)
