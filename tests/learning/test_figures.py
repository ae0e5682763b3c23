"""Question statistics against published data sets and a statistics library."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.stats import pearsonr, pointbiserialr

from trainer.learning.figures import LOOKS, Pairs, QuestionFigures, correlation_range, item_rest, kr20

# Ten students, ten items, printed with the working of KR-20 at https://core.ecu.edu/wuenschk/StatHelp/KR20.txt
PRINTED = [
    "1111110110", "1011011101", "1111011001", "0010001000", "0000010010",
    "1110111111", "1101110111", "1111111101", "0101111101", "1101101110",
]  # fmt: skip

# Section 6 of the law school admission test, 1000 people and five items: R. D. Bock and M. Lieberman, Psychometrika
# 35 (1970) 179-197; the patterns as the open data set "lsat6" of the R package psych holds them.
PATTERNS = (
    "00000:3 00001:6 00010:2 00011:11 00100:1 00101:1 00110:3 00111:4 01000:1 01001:8 01011:16 01101:3 01110:2 "
    "01111:15 10000:10 10001:29 10010:14 10011:81 10100:3 10101:28 10110:15 10111:80 11000:16 11001:56 11010:21 "
    "11011:173 11100:11 11101:61 11110:28 11111:298"
)


def rows(texts: list[str]) -> list[list[bool]]:
    return [[mark == "1" for mark in text] for text in texts]


@pytest.fixture(scope="module")
def lsat() -> list[list[bool]]:
    pairs = (one.split(":") for one in PATTERNS.split())
    return [row for pattern, count in pairs for row in rows([pattern]) * int(count)]


def test_kr20_of_the_printed_example() -> None:
    """Printed: totals 8 7 7 2 2 9 8 9 7 7, sum of pq 2.18, variance 5.84; 10/9 (1 - 2.18/5.84) = .6963."""
    papers = rows(PRINTED)
    assert [sum(row) for row in papers] == [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
    found = kr20(papers)
    assert found is not None and round(found, 4) == 0.6963


def test_the_admission_test(lsat: list[list[bool]]) -> None:
    """Correct answers by item as the data set's description prints them; reliability .295 and the point-biserials
    with the rest as commonly printed for these data (from memory), and worked out here by the library."""
    assert len(lsat) == 1000
    assert [sum(row[item] for row in lsat) for item in range(5)] == [924, 709, 553, 763, 870]
    found = kr20(lsat)
    assert found is not None and round(found, 4) == 0.2950
    strengths = [item_rest(lsat, item) for item in range(5)]
    assert [round(one or 0, 4) for one in strengths] == [0.1128, 0.1532, 0.1728, 0.1444, 0.1216]
    for item, strength in enumerate(strengths):
        own = np.array([row[item] for row in lsat])
        rest = np.array([sum(row) - row[item] for row in lsat])
        assert strength == pytest.approx(pointbiserialr(own, rest).statistic, abs=1e-12)


def test_kr20_is_alpha_from_the_covariance_matrix() -> None:
    """Cronbach's alpha, k/(k-1) (1 - trace/sum of the covariance matrix), is the same number for marks of 0 and 1."""
    source = np.random.default_rng(3)
    for _ in range(20):
        ability = source.normal(size=(60, 1))
        marks = source.random((60, 8)) < 1 / (1 + np.exp(-ability))
        covariance = np.cov(marks.T.astype(float))
        alpha = 8 / 7 * (1 - np.trace(covariance) / covariance.sum())
        assert kr20(marks.tolist()) == pytest.approx(alpha, abs=1e-12)


def test_the_range_of_a_correlation_equals_the_library() -> None:
    source = random.Random(5)
    for _ in range(100):
        count = source.randint(5, 80)
        xs = [source.random() for _ in range(count)]
        ys = [x * source.uniform(-1, 1) + source.random() for x in xs]
        expected = pearsonr(xs, ys)
        found = Pairs.of(xs, ys).correlation
        assert found == pytest.approx(expected.statistic, abs=1e-9)
        limits = expected.confidence_interval(0.95)
        assert correlation_range(found or 0.0, count) == pytest.approx((limits.low, limits.high), abs=1e-9)


def test_what_does_not_vary_has_no_figure() -> None:
    assert kr20([]) is None and kr20([[True]]) is None and kr20(rows(["11", "11"])) is None
    assert item_rest([[1.0, 0.0], [1.0, 1.0]], 0) is None and Pairs.of([1.0], [1.0]).correlation is None
    with pytest.raises(ValueError, match="same questions"):
        kr20([[True, False], [True]])


def figures(marks: list[tuple[bool, float]], slips: int = 0) -> QuestionFigures:
    pairs = Pairs.of([float(right) for right, _ in marks], [rest for _, rest in marks])
    return QuestionFigures(len(marks), len(marks), sum(right for right, _ in marks), pairs, slips)


@pytest.mark.parametrize(
    ("marks", "slips", "looks"),
    [
        # The strong are wrong and the weak are right: a wrong key looks so.
        ([(True, 0.2)] * 15 + [(False, 0.9)] * 15, 15, ("reversed",)),
        ([(True, 0.5), (False, 0.6)] * 8 + [(True, 0.9), (False, 0.85)] * 7, 14, ("perhaps reversed",)),
        ([(True, 0.9)] * 20 + [(False, 0.3)] * 10, 10, ()),
        ([(True, 0.9)] + [(False, 0.8 - n / 100) for n in range(49)], 40, ("hardly any right",)),
        ([(True, 0.9)] * 20 + [(False, 0.3)] * 12, 5, ("wrong for no known reason",)),
        ([(True, 0.5 + n / 1000) for n in range(120)] + [(False, 0.1)], 1, ("nearly all right",)),
        # Too few to say anything.
        ([(True, 0.2)] * 9 + [(False, 0.9)] * 10, 0, ()),
        ([], 0, ()),
    ],
)  # fmt: skip
def test_what_looks_faulty(marks: list[tuple[bool, float]], slips: int, looks: tuple[str, ...]) -> None:
    assert figures(marks, slips).looks == looks and set(looks) <= set(LOOKS)
