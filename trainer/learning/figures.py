"""How questions do their work: share right, discrimination, reliability, and what makes one look faulty.

Sources: discrimination is the point-biserial correlation of a question with the rest of its paper, the question
itself left out (S. Henrysson, "Correction of item-total correlations in item analysis", Psychometrika 28 (1963)
211-218). Reliability is formula 20 of G. F. Kuder and M. W. Richardson, "The theory of the estimation of test
reliability", Psychometrika 2 (1937) 151-160, with the variance of all the papers (divided by their number).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atanh, isfinite, sqrt, tanh
from statistics import NormalDist
from typing import Final

from trainer.learning.intervals import SURE, Interval, wilson

FEWEST: Final = (
    20  # answers below which a figure is shown with no judgement of the question (shop practice, no source)
)
NEARLY_ALL: Final = 0.95
HARDLY_ANY: Final = 0.20  # about what guessing one of five would give
EXACT: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Pairs:
    """Sums over pairs (x, y): how many, of each, of their squares and of their products."""

    count: int
    x: float
    y: float
    xx: float
    yy: float
    xy: float

    @classmethod
    def of(cls, xs: Sequence[float], ys: Sequence[float]) -> Pairs:
        """The sums of the pairs of two lists of the same length."""
        if len(xs) != len(ys):
            raise ValueError(f"{len(xs)} values cannot be paired with {len(ys)}")
        return cls(
            len(xs),
            sum(xs),
            sum(ys),
            sum(x * x for x in xs),
            sum(y * y for y in ys),
            sum(x * y for x, y in zip(xs, ys, strict=True)),
        )

    @property
    def correlation(self) -> float | None:
        """The product-moment correlation, -1 to 1; None when either side does not vary."""
        if self.count < 2:
            return None
        spread_x = self.xx - self.x * self.x / self.count
        spread_y = self.yy - self.y * self.y / self.count
        if spread_x <= EXACT * self.count or spread_y <= EXACT * self.count:
            return None
        together = self.xy - self.x * self.y / self.count
        return max(-1.0, min(1.0, together / sqrt(spread_x * spread_y)))


def correlation_range(correlation: float, count: int, sure: float = SURE) -> tuple[float, float]:
    """The range of a correlation seen in `count` pairs, by R. A. Fisher's transformation (Metron 1 (1921) 3-32)."""
    if count < 4 or abs(correlation) >= 1.0:
        return (-1.0, 1.0) if count < 4 else (correlation, correlation)
    half = NormalDist().inv_cdf((1 + sure) / 2) / sqrt(count - 3)
    return tanh(atanh(correlation) - half), tanh(atanh(correlation) + half)


def item_rest(papers: Sequence[Sequence[float]], item: int) -> float | None:
    """The corrected point-biserial of one question over papers that all asked the same ones.

    papers: a row of credits (0 to 1) for each paper; item: the question's place in the rows
    """
    own = [row[item] for row in papers]
    rest = [sum(row) - row[item] for row in papers]
    return Pairs.of(own, rest).correlation


def kr20(papers: Sequence[Sequence[bool]]) -> float | None:
    """Kuder-Richardson formula 20 of papers that all asked the same questions; None when the totals do not vary.

    papers: for each paper, whether each question was right; two questions at least
    """
    if not papers or len(papers[0]) < 2:
        return None
    asked, count = len(papers[0]), len(papers)
    if any(len(row) != asked for row in papers):
        raise ValueError("every paper must have the same questions")
    totals = [sum(row) for row in papers]
    mean = sum(totals) / count
    variance = sum((total - mean) ** 2 for total in totals) / count
    if variance <= EXACT:
        return None
    shares = [sum(column) / count for column in zip(*papers, strict=True)]
    spread: float = sum(share * (1 - share) for share in shares)
    return asked / (asked - 1) * (1 - spread / variance)


@dataclass(frozen=True, slots=True)
class QuestionFigures:
    """What the answers to one question show.

    drawn: on how many papers; answered, right: of those; rest: pairs of (credit, mean credit of the paper's others)
    slips: of the wrong answers, those that a known slip explains
    """

    drawn: int
    answered: int
    right: int
    rest: Pairs
    slips: int

    @property
    def share(self) -> Interval | None:
        """The share right with its range; None when nobody answered."""
        return wilson(self.right, self.answered) if self.answered else None

    @property
    def discrimination(self) -> float | None:
        """The corrected point-biserial, -1 to 1; None when it cannot be worked out."""
        found = self.rest.correlation
        return found if found is None or isfinite(found) else None

    @property
    def looks(self) -> tuple[str, ...]:
        """What makes the question look faulty, or of little use: names of `LOOKS`, the gravest first."""
        share = self.share
        if share is None or self.answered < FEWEST:
            return ()
        found = []
        strength = self.discrimination
        if strength is not None and strength < 0:
            surely = correlation_range(strength, self.rest.count)[1] < 0
            found.append("reversed" if surely else "perhaps reversed")
        wrong = self.answered - self.right
        if share.high < HARDLY_ANY:
            found.append("hardly any right")
        if wrong >= FEWEST // 2 and self.slips < wrong / 2:
            found.append("wrong for no known reason")
        if share.low > NEARLY_ALL:
            found.append("nearly all right")
        return tuple(found)


LOOKS: Final = (
    "reversed",
    "perhaps reversed",
    "hardly any right",
    "wrong for no known reason",
    "nearly all right",
)
FAULTY: Final = frozenset({"reversed", "perhaps reversed", "hardly any right"})
