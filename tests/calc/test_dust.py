"""dust.shroud against 29 CFR 1926.1153, Table 1; dust.exposure against its limits and exact fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def results(name, **inputs):
    return calc.evaluate(name, inputs).results


class TestShroud:
    @pytest.mark.parametrize(
        ("task", "short", "long"),
        # 29 CFR 1926.1153, Table 1: (xi) mortar removal; (xii) other grinding, outdoors and indoors. Up to 4 h a shift,
        # and longer.
        [
            ("mortar removal", "APF 10", "APF 25"),
            ("other grinding, outdoors", "none", "none"),
            ("other grinding, indoors", "none", "APF 10"),
        ],
    )
    def test_table_rows(self, task, short, long):
        assert results("dust.shroud", wheel_diameter=5.0, task=task, hours=4.0)["respirator"] == short
        assert results("dust.shroud", wheel_diameter=5.0, task=task, hours=4.1)["respirator"] == long

    def test_airflow(self):
        # 25 cfm an inch: 125 cfm for a 5 in wheel, as a tool rental's article on the rule works it out.
        assert results("dust.shroud", wheel_diameter=5.0, hours=1.0)["airflow"] == 125

    @settings(max_examples=200, deadline=None)
    @given(st.fractions(1, 24, max_denominator=16), st.floats(0, 24))
    def test_exact_fractions_agree(self, wheel, hours):
        result = results("dust.shroud", wheel_diameter=float(wheel), hours=hours)
        assert result["airflow"] == pytest.approx(float(25 * wheel))
        assert result["respirator"] == ("APF 25" if hours > 4 else "APF 10")

    def test_words(self):
        work = calc.work(
            "dust.shroud", {"wheel_diameter": 5.0, "task": "other grinding, outdoors", "hours": 1.0}
        )
        assert ": ninguno" in calc.working.as_text(work, "es")
        read = calc.read_inputs(
            "dust.shroud", {"wheel_diameter": "5 pulg", "task": "quitar mortero", "hours": "5 horas"}, "es"
        )
        assert calc.evaluate("dust.shroud", read).results == {"airflow": 125.0, "respirator": "APF 25"}
        with pytest.raises(
            Refusal, match="one of mortar removal, other grinding, outdoors, other grinding, indoors"
        ):
            results("dust.shroud", wheel_diameter=5.0, task="sanding", hours=1.0)


class TestExposure:
    @pytest.mark.parametrize(
        ("level", "over_action", "over_limit"),
        # 29 CFR 1926.1153(b): action level 25 µg/m³, reached at 25; (d): limit 50 µg/m³, passed over 50; 8 h averages.
        [(24.9, False, False), (25.0, True, False), (50.0, True, False), (50.1, True, True)],
    )
    def test_limits(self, level, over_action, over_limit):
        result = results("dust.exposure", sample=[(480.0, level)])
        assert result["average_8h"] == pytest.approx(level)
        assert (result["over_action"], result["over_limit"]) == (over_action, over_limit)

    def test_unsampled_time_is_clean_and_a_long_shift_counts_in_full(self):
        assert results("dust.exposure", sample=[(240.0, 50.0)])["average_8h"] == 25
        assert results("dust.exposure", sample=[(600.0, 48.0)])["average_8h"] == 60

    SAMPLES = st.lists(
        st.tuples(st.fractions(0, 120, max_denominator=4), st.fractions(0, 900, max_denominator=8)),
        min_size=1,
        max_size=12,
    )

    @settings(max_examples=200, deadline=None)
    @given(SAMPLES)
    def test_exact_fractions_agree(self, samples):
        average = sum(time * dust for time, dust in samples) / Fraction(480)
        result = results("dust.exposure", sample=[(float(time), float(dust)) for time, dust in samples])
        assert result["average_8h"] == pytest.approx(float(average))
        assert result["over_action"] is (average >= 25)
        assert result["over_limit"] is (average > 50)

    def test_typed(self):
        texts = ["90 min @ 120 ug/m3", "1 h @ 80 ug/m3"]
        read = calc.read_inputs("dust.exposure", {"sample": texts})
        milligrams = calc.read_inputs(
            "dust.exposure", {"sample": ["1.5 h @ 0.12 mg/m3", "60 min @ 0.08 mg/m3"]}, "es"
        )
        result = calc.evaluate("dust.exposure", read).results
        assert result["average_8h"] == 32.5
        assert calc.evaluate("dust.exposure", milligrams).results["average_8h"] == pytest.approx(
            32.5, rel=1e-9
        )

    @pytest.mark.parametrize(
        ("samples", "sentence"),
        [
            (
                [(800.0, 10.0), (800.0, 10.0)],
                "sample times make 1600 min, more than a day; give 1440 min at most",
            ),
            ([], r'sample .* is missing; give for example "90 min @ 120 ug/m3"'),
            ([(90.0, -1.0)], "sample .* cannot be"),
        ],
    )
    def test_refusals(self, samples, sentence):
        with pytest.raises(Refusal, match=sentence):
            results("dust.exposure", sample=samples)
