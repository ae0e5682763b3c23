"""concrete.batch and concrete.buckets against published weights and sums in exact fractions."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc import Entry
from trainer.errors import Refusal


def batch(**inputs):
    return calc.evaluate("concrete.batch", inputs).results


def buckets(**inputs):
    return calc.evaluate("concrete.buckets", inputs).results


def test_a_bag_of_cement_fills_less_than_half_a_cubic_foot():
    # Portland cement handbooks, from memory: 94 lb of specific gravity 3.15 displace 0.478 ft³.
    neat = batch(volume=0.478, parts=(1.0, 0.0, 0.0), water_cement=0.25, air=0.0)
    # Cement and a quarter of its weight in water fill 0.478 + 23.5/62.4 ft³.
    assert neat["cement"] == pytest.approx(94 * 0.478 / (0.478 + 23.5 / 62.4), rel=1e-3)


def test_an_old_table_of_materials():
    # A carpentry book of about 1910: a cubic foot of 1:2 1/2:5 concrete takes 0.048 barrel of cement, 0.0170 yd³ of sand
    # and 0.0341 yd³ of stone; a barrel is four bags. Materials of that time were lighter: within 15 %.
    made = batch(volume=1.0, parts=(1.0, 2.5, 5.0), water_cement=0.6, air=0.0)
    assert made["cement"] / 94 == pytest.approx(0.048 * 4, rel=0.15)
    assert made["sand"] / 100 / 27 == pytest.approx(0.0170, rel=0.15)
    assert made["stone"] / 100 / 27 == pytest.approx(0.0341, rel=0.15)


def test_weight_of_plain_concrete():
    # 145 lb/ft³ for plain concrete, from memory; 6 % of air takes a little off.
    assert batch(volume=27.0)["fresh_density"] == pytest.approx(145, rel=0.03)


@settings(max_examples=200, deadline=None)
@given(
    st.fractions(Fraction(1, 10), 100, max_denominator=32),
    st.tuples(*[st.integers(1, 16).map(lambda n: Fraction(n, 2))] * 3),
    st.integers(30, 80),
    st.integers(0, 10),
)
def test_everything_fills_the_volume(volume, parts, hundredths, air):
    made = batch(
        volume=float(volume), parts=tuple(map(float, parts)), water_cement=hundredths / 100, air=float(air)
    )
    # A second method, in exact fractions: the mix for one bag, scaled.
    weights = [parts[0] * 94, parts[1] * 100, parts[2] * 100]
    weights.append(weights[0] * hundredths / 100)
    filled = sum(
        w / g for w, g in zip(weights, (Fraction("3.15"), Fraction("2.65"), Fraction("2.65"), 1), strict=True)
    )
    times = volume * (100 - air) / 100 / (filled / Fraction("62.4"))
    for name, weight in zip(("cement", "sand", "stone", "water"), weights, strict=True):
        assert made[name] == pytest.approx(float(weight * times), rel=1e-9)
    assert made["cement_bags"] == math.ceil(weights[0] * times / 94)
    assert made["fresh_density"] == pytest.approx(float(sum(weights) * times / volume), rel=1e-9)


@settings(max_examples=200, deadline=None)
@given(st.floats(0.1, 100), st.floats(1, 5), st.floats(0, 10), st.floats(0.1, 5))
def test_scaling_and_air(volume, k, air, more):
    base = batch(volume=volume, air=air)
    assert batch(volume=volume * k, air=air)["sand"] == pytest.approx(base["sand"] * k)
    assert batch(volume=volume, air=air + more)["cement"] < base["cement"]


def test_parts_typed_and_refused():
    assert calc.read_inputs("concrete.batch", {"parts": "1:2 1/2:3"}) == {
        "parts": Entry(cement=1, sand=Fraction(5, 2), stone=3)
    }
    with pytest.raises(
        Refusal, match=r"parts .* “1:2” is not 3 parts; type them with : between, such as 1:2:3"
    ):
        calc.read_inputs("concrete.batch", {"parts": "1:2"})
    with pytest.raises(Refusal, match=r"parts .* cannot be '0:2:3'"):
        batch(volume=1.0, parts=(0.0, 2.0, 3.0))


class TestBuckets:
    def test_a_bucket_of_water(self):
        # A farm-mechanics lesson: 7.48 gal in a cubic foot, 8.33 lb in a gallon of water; so 5 gal weigh 41.7 lb.
        made = buckets(volume=1.0, density=62.4, carry_limit=60.0, bucket_weight=0.0)
        assert made["fill"] == 5.0
        assert made["load"] == pytest.approx(5 * 8.33, abs=0.1)
        assert made["trips"] == math.ceil(7.48 / 5)

    def test_the_lifting_limit_for_concrete(self):
        # NIOSH 94-110, p. 7: the load constant is 51 lb; a 5 gal bucket of concrete is near twice that.
        full = buckets(volume=3.0, carry_limit=200.0)
        assert full["load"] > 95
        assert buckets(volume=3.0, carry_limit=51.0)["load"] == pytest.approx(51.0)

    @settings(max_examples=200, deadline=None)
    @given(st.floats(0.1, 50), st.floats(60, 160), st.floats(20, 100), st.floats(1, 10), st.floats(0, 5))
    def test_loads_and_trips(self, volume, density, limit, holds, empty):
        made = buckets(
            volume=volume, density=density, carry_limit=limit, bucket_volume=holds, bucket_weight=empty
        )
        assert made["load"] <= limit + 1e-9 and made["fill"] <= holds
        assert made["load"] == pytest.approx(limit) or made["fill"] == holds
        gallons = volume * 1728 / 231
        assert (made["trips"] - 1) * made["fill"] < gallons * (1 + 1e-9)
        assert made["trips"] * made["fill"] >= gallons * (1 - 1e-9)

    @settings(max_examples=200, deadline=None)
    @given(st.floats(0.1, 50), st.floats(20, 80), st.floats(0, 40))
    def test_a_lower_limit_never_fewer_trips(self, volume, limit, more):
        assert (
            buckets(volume=volume, carry_limit=limit)["trips"]
            >= buckets(volume=volume, carry_limit=limit + more)["trips"]
        )

    def test_a_bucket_too_heavy(self):
        with pytest.raises(Refusal, match="bucket_weight 50 lb leaves nothing of carry_limit 50 lb"):
            buckets(volume=1.0, carry_limit=50.0, bucket_weight=50.0)
