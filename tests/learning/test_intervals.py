"""Wilson's interval against published figures and a statistics library."""

from __future__ import annotations

import random

import pytest
from scipy.stats import binomtest

from trainer.learning import wilson

# R. G. Newcombe, Statistics in Medicine 17 (1998), Table I, method 3 (score); the figures are from memory.
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize(("right", "asked", "low", "high"), NEWCOMBE)
def test_newcombes_table(right: int, asked: int, low: float, high: float) -> None:
    found = wilson(right, asked)
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)


def test_every_whole_score_equals_the_library() -> None:
    """scipy.stats.binomtest(...).proportion_ci(method="wilson"), every score of up to 40 questions."""
    for asked in range(1, 41):
        for right in range(asked + 1):
            for sure in (0.8, 0.95, 0.99):
                found = wilson(right, asked, sure)
                expected = binomtest(right, asked).proportion_ci(sure, method="wilson")
                assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-12)


def test_twelve_of_fifteen() -> None:
    found = wilson(12, 15)
    assert (round(100 * found.low), round(100 * found.high)) == (55, 93)
    assert found.holds(0.8) and not found.holds(0.5) and not found.holds(0.95)


def test_the_range_is_the_two_shares_that_a_test_of_the_score_just_accepts() -> None:
    """Wilson's own definition: at each end |seen - true| is z standard errors of the true share."""
    source = random.Random(7)
    for _ in range(300):
        asked = source.randint(2, 60)
        right = source.uniform(0.3, asked - 0.3)
        found = wilson(right, asked)
        for end in (found.low, found.high):
            error = (end * (1 - end) / asked) ** 0.5
            assert abs(right / asked - end) / error == pytest.approx(1.959964, abs=1e-5)


def test_credits_in_parts_lie_between_their_whole_neighbours() -> None:
    below, between, above = wilson(11, 15), wilson(11.5, 15), wilson(12, 15)
    assert below.low < between.low < above.low and below.high < between.high < above.high


@pytest.mark.parametrize(
    ("right", "asked", "sure", "named"),
    [(0, 0, 0.95, "asked"), (4, 3, 0.95, "right"), (-1, 3, 0.95, "right"), (float("nan"), 3, 0.95, "right"),
     (1, 3, 1.0, "sure")],
)  # fmt: skip
def test_what_cannot_be_is_refused(right: float, asked: int, sure: float, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        wilson(right, asked, sure)
