"""concrete.strength and concrete.strip against ACI 209R and the calendar."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal

TABLE = [
    ("I", "moist", 4.0, 0.85),
    ("III", "moist", 2.3, 0.92),
    ("I", "steam", 1.0, 0.95),
    ("III", "steam", 0.70, 0.98),
]


def strength(**inputs):
    return calc.evaluate("concrete.strength", inputs).results


@pytest.mark.parametrize(("cement", "curing", "a", "b"), TABLE)
def test_constants_of_all_four_cases(cement, curing, a, b):
    # ACI 209R-92 Table 2.2.1: moist rows as a textbook quotes them, steam rows from memory.
    values = calc.evaluate("concrete.strength", {"age": 28.0, "cement": cement, "curing": curing}).values
    assert (values["gain_a"], values["gain_b"]) == (a, b)


@pytest.mark.parametrize(
    ("cement", "shares"),
    # Worked out by hand from those constants, to the thousandth.
    [
        ("I", {1: 0.206, 3: 0.458, 7: 0.704, 14: 0.881, 28: 1.007, 90: 1.118, 365: 1.161}),
        ("III", {1: 0.311, 3: 0.593, 7: 0.801, 14: 0.922, 28: 0.998}),
    ],
)
def test_shares_by_age(cement, shares):
    for age, share in shares.items():
        assert strength(age=float(age), cement=cement)["fraction"] == pytest.approx(share, abs=6e-4)


def test_two_to_three_weeks_of_moist_cure():
    # Common practice, no source: two to three weeks give about 88 to 96 % of the 28-day strength.
    assert strength(age=14.0)["fraction"] == pytest.approx(0.88, abs=0.005)
    assert strength(age=21.0)["fraction"] == pytest.approx(0.96, abs=0.005)


@settings(max_examples=200, deadline=None)
@given(st.floats(0.01, 3650), st.floats(500, 15000), st.sampled_from(TABLE))
def test_the_age_back_from_the_strength(age, strength_28, row):
    cement, curing, a, b = row
    made = strength(age=age, strength_28=strength_28, cement=cement, curing=curing)
    share = made["strength"] / strength_28
    assert a * share / (1 - b * share) == pytest.approx(age, rel=1e-6)


@settings(max_examples=200, deadline=None)
@given(st.floats(0, 3000), st.floats(0.001, 500), st.sampled_from(TABLE))
def test_it_only_gains(age, more, row):
    kept = {"cement": row[0], "curing": row[1]}
    assert strength(age=age + more, **kept)["fraction"] > strength(age=age, **kept)["fraction"]
    assert strength(age=age, **kept)["fraction"] < 1 / row[3]


class TestStrip:
    def strip(self, **inputs):
        return calc.evaluate("concrete.strip", inputs).results

    def test_two_weeks_by_default(self):
        made = self.strip(poured_on=date(2026, 11, 25))
        assert made["strip_on"] == made["coat_on"] == date(2026, 12, 9)
        assert made["fraction_at_strip"] == strength(age=14.0)["fraction"]

    def test_over_the_end_of_the_year_and_a_leap_day(self):
        assert self.strip(poured_on=date(2026, 12, 28), cure=7.0)["strip_on"] == date(2027, 1, 4)
        assert self.strip(poured_on=date(2028, 2, 22), cure=7.0)["strip_on"] == date(2028, 2, 29)

    def test_a_part_of_a_day_counts_whole(self):
        made = self.strip(poured_on=date(2026, 6, 1), cure=6.5, coat_after=28.0)
        assert (made["strip_on"], made["coat_on"]) == (date(2026, 6, 8), date(2026, 6, 29))

    @settings(max_examples=200, deadline=None)
    @given(st.dates(date(2000, 1, 1), date(2099, 12, 31)), st.integers(0, 90), st.integers(0, 365))
    def test_day_numbers(self, poured, cure, coat):
        made = self.strip(poured_on=poured, cure=float(cure), coat_after=float(coat))
        assert made["strip_on"].toordinal() - poured.toordinal() == cure
        assert made["coat_on"].toordinal() - poured.toordinal() == coat

    def test_typed_and_refused(self):
        assert calc.read_inputs("concrete.strip", {"poured_on": "2026-11-25", "cure": "2 weeks", "curing": "vapor"}) == {
            "poured_on": date(2026, 11, 25), "cure": 14.0, "curing": "steam",
        }  # fmt: skip
        with pytest.raises(Refusal, match=r"poured_on .* “11/25/26” is not a date"):
            calc.read_inputs("concrete.strip", {"poured_on": "11/25/26"})
        with pytest.raises(Refusal, match=r"poured_on .* is missing; give year-month-day"):
            self.strip()
