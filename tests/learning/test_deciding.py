"""Wald's sequential test: published thresholds, a statistics library, the exact course, and simulated people."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import binom

from trainer.learning.deciding import Terms, course, fixed_length, wald_below, wald_length

# low, high, wrongly above, wrongly below; A, B, h0, h1, s; expected length at low, at high, at s.
# The first is Wald's own worked example of a lot of 10 against 30 per cent (from memory), the others by his formulas.
WALD = [
    ((0.1, 0.3, 0.02, 0.03), (48.5, 0.0306, -2.583, 2.875, 0.1862), (28.7, 23.8, 49.0)),
    ((0.6, 0.85, 0.05, 0.05), (19.0, 0.0526, -2.215, 2.215, 0.7379), (14.45, 17.79, 25.38)),
    ((0.7, 0.9, 0.05, 0.10), (18.0, 0.1053, -1.668, 2.141, 0.8138), (12.98, 20.43, 23.57)),
]
QUIZ = Terms(0.7, 0.9, 0.05, 0.10)
MOST = 40


@pytest.mark.parametrize(("given", "lines", "lengths"), WALD)
def test_thresholds_and_expected_lengths(given, lines, lengths) -> None:
    terms = Terms(*given)
    found = (math.exp(terms.upper), math.exp(terms.lower), *terms.lines)
    assert found == pytest.approx(lines, rel=2e-3)
    slope = terms.lines[2]
    assert [wald_length(terms, share) for share in (terms.low, terms.high, slope)] == pytest.approx(
        lengths, rel=2e-3
    )
    # At the two ends the chances are the error rates themselves.
    assert wald_below(terms, terms.low) == pytest.approx(1 - terms.wrongly_above, abs=1e-6)
    assert wald_below(terms, terms.high) == pytest.approx(terms.wrongly_below, abs=1e-6)


@pytest.mark.parametrize("share", [0.55, 0.65, 0.75, 0.8, 0.85, 0.95])
def test_the_chance_between_the_ends_by_the_librarys_root(share: float) -> None:
    """Wald's h found by scipy.optimize.brentq from his equation for the share."""
    low, high = QUIZ.low, QUIZ.high

    def apart(h: float) -> float:
        wrong, right = ((1 - high) / (1 - low)) ** h, (high / low) ** h
        return (1 - wrong) / (right - wrong) - share

    h = brentq(apart, 1e-6, 60) if apart(1e-6) * apart(60) < 0 else brentq(apart, -60, -1e-6)
    a, b = 18.0, 0.1 / 0.95
    assert wald_below(QUIZ, share) == pytest.approx((a**h - 1) / (a**h - b**h), abs=1e-6)


def test_the_verdict_is_the_ratio_of_two_binomial_likelihoods() -> None:
    """scipy.stats.binom gives the likelihoods; the thresholds are Wald's."""
    for asked in range(1, 41):
        for right in range(asked + 1):
            ratio = binom.pmf(right, asked, QUIZ.high) / binom.pmf(right, asked, QUIZ.low)
            expected = "above" if ratio >= 18 else "below" if ratio <= 0.1 / 0.95 else None
            assert QUIZ.verdict(right, asked) == expected
        least = QUIZ.least_right(asked)
        assert QUIZ.verdict(least, asked) == "above" or least == asked + 1
        assert QUIZ.verdict(least - 1, asked) != "above"
    assert QUIZ.shortest == 12 and QUIZ.least_right(12) == 12 and QUIZ.least_right(11) == 12


def test_the_quiz_of_fixed_length_is_the_shortest_by_the_library() -> None:
    asked, needed = fixed_length(QUIZ)
    assert binom.sf(needed - 1, asked, 0.7) <= 0.05 and binom.cdf(needed - 1, asked, 0.9) <= 0.10
    for fewer in range(1, asked):
        ok = [
            binom.sf(n - 1, fewer, 0.7) <= 0.05 and binom.cdf(n - 1, fewer, 0.9) <= 0.10
            for n in range(fewer + 2)
        ]
        assert not any(ok)


def test_simulated_people(capsys: pytest.CaptureFixture[str]) -> None:
    """People of known ability sit the quiz: how often it is wrong about them, and how long it is.

    Printed beside the exact course, Wald's expectation, and the quiz of fixed length with the same error rates.
    """
    fixed, needed = fixed_length(QUIZ)
    source, people = np.random.default_rng(1945), 20_000
    report = [
        f"told apart: 70 % and 90 %; wrongly above 5 %, wrongly below 10 %; at most {MOST} questions",
        f"fixed length with the same errors: {needed} of {fixed}",
        "knows   above   below  undecided  questions   exact   Wald without an end",
    ]
    seen = {}
    for share in (0.5, 0.6, 0.7, 0.8, 0.9, 0.95):
        marks = (source.random((people, MOST)) < share).cumsum(axis=1)
        asked = np.arange(1, MOST + 1)
        evidence = marks * QUIZ.gain - (asked - marks) * QUIZ.loss
        above, below = evidence >= QUIZ.upper - 1e-12, evidence <= QUIZ.lower + 1e-12
        ended = above | below
        last = np.where(ended.any(axis=1), ended.argmax(axis=1), MOST - 1)
        row = np.arange(people)
        ends = (
            above[row, last].mean(),
            below[row, last].mean(),
            (~ended[row, last]).mean(),
            (last + 1).mean(),
        )
        exact = course(QUIZ, share, MOST)
        seen[share] = (*ends, exact)
        report.append(
            f"{share:5.0%} {ends[0]:7.3f} {ends[1]:7.3f} {ends[2]:10.3f} {ends[3]:10.2f} {exact.length:7.2f} "
            f"{wald_length(QUIZ, share):8.2f}"
        )
        # Four standard errors of a share and of a mean.
        for got, chance in zip(ends[:3], (exact.above, exact.below, exact.undecided), strict=True):
            assert abs(got - chance) <= 4 * math.sqrt(chance * (1 - chance) / people) + 1e-9
        assert abs(ends[3] - exact.length) <= 4 * (last + 1).std() / math.sqrt(people)
    with capsys.disabled():
        print("\n" + "\n".join(report))
    # The stated error rates hold, with the questions running out counted against the person.
    assert seen[0.7][0] <= QUIZ.wrongly_above and seen[0.9][1] <= QUIZ.wrongly_below
    # Shorter on average than the fixed quiz, and no longer than Wald expects plus what one answer overshoots.
    for share, (*_rates, length, _exact) in seen.items():
        assert length < fixed
        assert (
            length <= wald_length(QUIZ, share) + 1 / abs(share * QUIZ.gain - (1 - share) * QUIZ.loss or 1) + 3
        )


def test_without_an_end_the_exact_length_is_near_walds() -> None:
    """His figures leave out how far the last answer overshoots, so they lie a little below."""
    for share in (0.7, 0.9):
        exact, expected = course(QUIZ, share, 600), wald_length(QUIZ, share)
        assert exact.undecided < 1e-9 and expected <= exact.length <= expected + 4
        # Wald's inequalities for the true rates: a' <= a/(1-b), b' <= b/(1-a).
        assert course(QUIZ, 0.7, 600).above <= 0.05 / 0.9 and course(QUIZ, 0.9, 600).below <= 0.10 / 0.95


def test_asking_some_in_any_case_keeps_the_rate() -> None:
    """Wald's bound on being wrongly above holds for any rule that ends on the same evidence."""
    for least in (0, 5, 13, 20):
        assert course(QUIZ, 0.7, MOST, least).above <= 0.05 / 0.9
        found = course(QUIZ, random.Random(least).random(), MOST, least)
        assert found.above + found.below + found.undecided == pytest.approx(1) and found.length >= least


@pytest.mark.parametrize("given", [(0.9, 0.7, 0.05, 0.1), (0.0, 0.7, 0.05, 0.1), (0.7, 0.9, 0.0, 0.1), (0.7, 0.9, 0.05, 0.5)])  # fmt: skip
def test_terms_that_cannot_be(given) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        Terms(*given)
