"""The skill estimate: fresh answers by the library's beta distribution, and forgetting by its own definition."""

from __future__ import annotations

import pytest
from scipy.stats import beta, binomtest

from trainer.learning import Estimating, Seen, Tally, estimate, weight_of

GIVEN = Estimating(half_life=60, practice_weight=0.5)


def test_fresh_answers_are_the_rule_of_succession() -> None:
    """Beta(1 + right, 1 + wrong) by scipy.stats.beta; the range by scipy's Wilson interval."""
    for right in range(11):
        found = estimate([Seen(float(n < right), 0.0) for n in range(10)], GIVEN)
        assert found is not None
        assert found.share == pytest.approx(beta(1 + right, 1 + 10 - right).mean())
        expected = binomtest(right, 10).proportion_ci(method="wilson")
        assert (found.low, found.high) == pytest.approx((expected.low, expected.high))
        assert (found.weight, found.answers, found.newest) == (10.0, 10, 0.0)


def test_an_answer_loses_half_its_weight_every_half_life() -> None:
    weights = [estimate([Seen(1.0, age)], GIVEN).weight for age in (0, 60, 120, 180)]  # type: ignore[union-attr]
    assert weights == pytest.approx([1, 1 / 2, 1 / 4, 1 / 8])
    # Four answers of one half-life ago weigh as two of today.
    assert estimate([Seen(1.0, 60)] * 4, GIVEN).share == estimate([Seen(1.0, 0)] * 2, GIVEN).share  # type: ignore[union-attr]
    assert estimate([Seen(1.0, 0, practice=True)] * 4, GIVEN).weight == 2.0  # type: ignore[union-attr]


def test_what_is_old_goes_back_to_not_known() -> None:
    ranges = []
    for age in (0, 100, 300, 1000, 100_000):
        found = estimate([Seen(1.0, age)] * 20, GIVEN)
        assert found is not None and found.newest == age
        ranges.append((found.share, found.high - found.low))
    assert ranges == sorted(ranges, key=lambda one: -one[0]) == sorted(ranges, key=lambda one: one[1])
    assert ranges[-1][0] == pytest.approx(0.5) and ranges[-1][1] == pytest.approx(1.0)


def test_new_answers_outweigh_old_ones() -> None:
    before, after = [Seen(0.0, 120)] * 6, [Seen(1.0, 1)] * 6
    found = estimate(before + after, GIVEN)
    assert found is not None and found.share > 0.65
    assert estimate([], GIVEN) is None and estimate([Seen(1.0, -3)], GIVEN).newest == 0.0  # type: ignore[union-attr]


def test_answers_of_one_time_may_be_added_at_once() -> None:
    apart = [Seen(0.0, 4.0, practice=True), Seen(1.0, 30.0), Seen(0.5, 30.0), Seen(1.0, 4.0, practice=True)]
    tally = Tally()
    tally.add((1.0, 0.5), 30.0, weight_of(30.0, False, GIVEN))
    tally.add((0.0, 1.0), 4.0, weight_of(4.0, True, GIVEN))
    assert tally.estimate() == estimate(apart, GIVEN)
