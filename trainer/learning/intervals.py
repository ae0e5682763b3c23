"""How sure a share right is: the score interval of E. B. Wilson.

Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the
American Statistical Association 22 (1927) 209-212; compared with other intervals in R. G. Newcombe, "Two-sided
confidence intervals for the single proportion", Statistics in Medicine 17 (1998) 857-872, method 3.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, sqrt
from statistics import NormalDist
from typing import Final

SURE: Final = 0.95  # how often a range made this way holds the true share


@dataclass(frozen=True, slots=True)
class Interval:
    """A share and its range, each 0 to 1. asked: how many questions it rests on."""

    share: float
    low: float
    high: float
    asked: int

    def holds(self, mark: float) -> bool:
        """Whether a mark of 0 to 1 lies within the range: then the questions do not settle on which side one is."""
        return self.low <= mark <= self.high


def wilson(right: float, asked: int, sure: float = SURE) -> Interval:
    """The range in which the true share right most likely lies, having seen `right` of `asked` [-].

    right: 0 to asked; credits in parts may be added up: marks of 0 to 1 never spread more than marks of 0 and 1 with
    the same mean do, so the range is then, if anything, too wide
    sure: how often such a range holds the true share, between 0 and 1
    Raises ValueError when nothing was asked or `right` or `sure` cannot be.
    """
    if asked < 1:
        raise ValueError(f"asked={asked} cannot be less than 1")
    if not (isfinite(right) and 0 <= right <= asked):
        raise ValueError(f"right={right} must lie between 0 and asked={asked}")
    if not 0 < sure < 1:
        raise ValueError(f"sure={sure} must lie between 0 and 1")
    low, high = wilson_of(right / asked, asked, sure)
    return Interval(right / asked, low, high, asked)


def wilson_of(share: float, weight: float, sure: float = SURE) -> tuple[float, float]:
    """(low, high) for a share seen in evidence that weighs as much as `weight` questions, above 0."""
    z = NormalDist().inv_cdf((1 + sure) / 2)
    spread = z * z / weight
    middle = (share + spread / 2) / (1 + spread)
    half = z * sqrt(share * (1 - share) / weight + spread / weight / 4) / (1 + spread)
    # At none or all right the formula ends at exactly 0 or 1; the float beside it does not.
    low = 0.0 if share <= 0 else middle - half
    high = 1.0 if share >= 1 else middle + half
    return max(0.0, low), min(1.0, high)
