"""fall.clearance against published sums and a fall told step by step; fall.rule against 29 CFR 1926.501."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def results(name, **inputs):
    return calc.evaluate(name, inputs).results


class TestClearance:
    def test_published_sum_a(self):
        # A college's page: free fall 4, deceleration 3, harness 1, lifeline stretch 3, safety 1, in all 12 ft. It leaves
        # out the body below the D-ring.
        result = results("fall.clearance", free_fall=4.0, deceleration=3.0, stretch=1.0 + 3.0, dring_height=0.0,
                         margin=1.0)  # fmt: skip
        assert result["required"] == 12.0

    def test_published_sum_b(self):
        # A maker's guide: lanyard 6, deceleration 3.5, D-ring 5 ft above the feet, margin 2, in all 16.5 ft below the
        # anchorage. It leaves out the stretch of the harness and the D-ring's shift.
        result = results("fall.clearance", free_fall=6.0, stretch=0.0, dring_height=5.0, margin=2.0)
        assert result["required"] == 16.5

    def test_every_term(self):
        # OSHA Technical Manual, section V, chapter 4: free fall, deceleration, D-ring shift, D-ring height, margin; with
        # shift 1 ft and D-ring height 5 ft as commonly printed, and 2 ft of margin (from memory).
        assert results("fall.clearance", free_fall=6.0)["required"] == 6 + 3.5 + 1 + 5 + 2

    def test_enough(self):
        assert results("fall.clearance", free_fall=6.0)["enough"] is None
        assert results("fall.clearance", free_fall=6.0, available=17.5)["enough"] is True
        assert results("fall.clearance", free_fall=6.0, available=17.4)["enough"] is False
        assert "the clear height is enough: –" in calc.working.as_text(
            calc.work("fall.clearance", {"free_fall": 6.0})
        )

    FEET = st.fractions(0, 3, max_denominator=12)

    @settings(max_examples=200, deadline=None)
    @given(FEET, FEET, FEET, st.fractions(3, 6, max_denominator=12), FEET, FEET)
    def test_the_fall_step_by_step(self, slack, stopping, stretch, dring, below, margin):
        # A line as long as the slack, from an anchorage `below` the D-ring: where the feet end, on one plumb line.
        standing = Fraction(0)
        anchorage = standing - below
        line_tight = anchorage - slack
        stopped = line_tight - stopping - stretch
        feet = stopped - dring
        needed = standing - (feet - margin)
        result = results(
            "fall.clearance", free_fall=float(slack), deceleration=float(stopping), stretch=float(stretch),
            dring_height=float(dring), anchor_below=float(below), margin=float(margin), available=float(needed),
        )  # fmt: skip
        assert result["required"] == pytest.approx(float(needed))
        assert result["enough"] is True

    @pytest.mark.parametrize(
        ("change", "sentence"),
        # 29 CFR 1926.502(d)(16): at most 6 ft of free fall and 3.5 ft of deceleration.
        [
            ({"free_fall": 6.5}, r"free_fall .* cannot be 6.5 ft; give 0 to 6 ft"),
            ({"anchor_below": 1.0}, r"make 7 ft together, and 29 CFR 1926.502\(d\)\(16\) allows 6 ft"),
            ({"deceleration": 4.0}, r"deceleration .* give 0 to 3.5 ft"),
        ],
    )
    def test_refusals(self, change, sentence):
        with pytest.raises(Refusal, match=sentence):
            results("fall.clearance", **{"free_fall": 6.0} | change)


class TestRule:
    @pytest.mark.parametrize(
        ("height", "rise", "required", "section"),
        # 29 CFR 1926.501(b): 6 ft or more above the lower level; (b)(11) over 4 in 12, which 1926.500(b) calls steep.
        # Chimney masonry is not named as roofing work (from memory), so a low slope falls under (b)(1), not (b)(10).
        [
            (5.99, 12, False, "1926.501(b):"),
            (6, 12, True, "1926.501(b)(11)"),
            (6, 4, True, "1926.501(b)(1)"),
            (6, 4.0625, True, "1926.501(b)(11)"),
            (30, 0, True, "1926.501(b)(1)"),
            (0, 0, False, "1926.501(b):"),
        ],
    )
    def test_sections(self, height, rise, required, section):
        result = results("fall.rule", height=float(height), rise=float(rise))
        assert result["protection_required"] is required
        for language in ("en", "es"):
            assert section in result["rule"].in_language(language)

    @settings(max_examples=200, deadline=None)
    @given(st.floats(0, 100), st.floats(0, 24))
    def test_agrees_with_roof_slope(self, height, rise):
        result = results("fall.rule", height=height, rise=rise)
        assert result["protection_required"] is (height >= 6)
        if height >= 6:
            assert ("(b)(11)" in result["rule"].en) is not results("roof.slope", rise=rise)["low_slope"]

    def test_typed(self):
        texts = ({"height": "14 ft", "rise": "6 in 12"}, {"height": "14 pies", "rise": "6 en 12"})
        english, spanish = (
            calc.evaluate("fall.rule", calc.read_inputs("fall.rule", each)).results for each in texts
        )
        assert english == spanish and english["protection_required"] is True
