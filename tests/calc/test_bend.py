"""crown.bend against beam tables and a slice-by-slice sum."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def bend(**inputs):
    return calc.evaluate("crown.bend", inputs).results


@pytest.mark.parametrize(("strength", "rupture"), [(3000.0, 411), (4000.0, 474), (5000.0, 530)])
def test_modulus_of_rupture(strength, rupture):
    # ACI 318 19.2.3.1, 7.5·√f'c for normal-weight concrete, as handbooks tabulate it: from memory.
    assert bend(strength=strength)["rupture"] == pytest.approx(rupture, abs=0.5)


def test_cantilevers_of_the_beam_tables():
    # AISC Manual, beam tables: a uniform load gives w·l²/2, a load at the free end P·l. From memory.
    own = bend(overhang=6.0, edge_thickness=4.0, density=144.0)["moment"]
    assert own == pytest.approx(
        144 * (4 / 12) * 0.5**2 / 2 * 12
    )  # 48 lb/ft² over half a foot, in in-lb per ft
    loaded = bend(overhang=6.0, edge_thickness=4.0, density=144.0, edge_load=200.0)["moment"]
    assert loaded - own == pytest.approx(200 * 6)


def test_section_of_a_strip():
    # Section modulus of a rectangle b·t²/6 (geometry): 12 x 4 in has 32 in³, so 320 in-lb make 10 psi.
    result = bend(overhang=2.0, edge_thickness=4.0, density=60.0, edge_load=200.0)
    assert result["stress"] == pytest.approx(result["moment"] / 32)
    assert result["ratio"] == pytest.approx(result["stress"] / result["rupture"])


cases = {
    "overhang": st.floats(0.5, 12),
    "edge_thickness": st.floats(1, 12),
    "density": st.floats(60, 200),
    "edge_load": st.floats(0, 500),
}


@settings(max_examples=200, deadline=None)
@given(st.fixed_dictionaries(cases))
def test_sum_over_slices(inputs):
    slices, arm = 2000, inputs["overhang"] / 2000
    of_one = inputs["density"] / 1728 * inputs["edge_thickness"] * 12 * arm  # [lb] in a slice a foot wide
    own = math.fsum(of_one * (n + 0.5) * arm for n in range(slices))
    expected = own + inputs["edge_load"] * inputs["overhang"]
    assert bend(**inputs)["moment"] == pytest.approx(expected, rel=1e-9)


@settings(max_examples=200, deadline=None)
@given(st.fixed_dictionaries(cases), st.floats(1.0, 2.0))
def test_more_overhang_never_less_stress_and_more_thickness_never_more_from_a_load(inputs, k):
    base = bend(**inputs)
    assert bend(**inputs | {"overhang": inputs["overhang"] * k})["stress"] >= base["stress"] - 1e-9
    assert (
        bend(**inputs | {"edge_thickness": inputs["edge_thickness"] * k})["stress"] <= base["stress"] + 1e-9
    )


def test_no_overhang_does_not_bend():
    assert bend(overhang=0.0, edge_load=500.0)["stress"] == 0


def test_refusal():
    with pytest.raises(Refusal, match=r"strength .* cannot be 500 psi; give 2,000 to 10,000 psi"):
        bend(strength=500.0)
