"""A quiz that asks until it is clear whether someone is above or below the mark.

Source: A. Wald, "Sequential tests of statistical hypotheses", Annals of Mathematical Statistics 16 (1945) 117-186,
and Sequential Analysis (Wiley, 1947), chapters 3 and 5: after each answer the likelihood of what was seen, if the
person knew `high`, is set against that if they knew `low`; the quiz ends when one outweighs the other enough.

Where the questions run out first nothing is decided, and undecided counts as not above.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, comb, exp, log
from typing import Final

EXACT: Final = 1e-12  # slack for logarithms added up as floats


@dataclass(frozen=True, slots=True)
class Terms:
    """What is to be told apart, and how often the answer may be wrong. All are shares of 1.

    low, high: someone who gets `low` of all questions right is below the mark, someone who gets `high` above it
    wrongly_above: how often someone at `low` may be called above; wrongly_below: someone at `high` below
    Raises ValueError when they cannot be.
    """

    low: float
    high: float
    wrongly_above: float
    wrongly_below: float

    def __post_init__(self) -> None:
        if not 0 < self.low < self.high < 1:
            raise ValueError(f"low={self.low} and high={self.high} must lie between 0 and 1, low first")
        for name in ("wrongly_above", "wrongly_below"):
            if not 0 < getattr(self, name) < 0.5:
                raise ValueError(f"{name}={getattr(self, name)} must lie between 0 and 0.5")

    @property
    def upper(self) -> float:
        """The evidence from which on someone is above: the logarithm of Wald's A."""
        return log((1 - self.wrongly_below) / self.wrongly_above)

    @property
    def lower(self) -> float:
        """The evidence down to which someone is below: the logarithm of Wald's B."""
        return log(self.wrongly_below / (1 - self.wrongly_above))

    @property
    def gain(self) -> float:
        """What a right answer adds to the evidence."""
        return log(self.high / self.low)

    @property
    def loss(self) -> float:
        """What an answer that is not right takes from it."""
        return log((1 - self.low) / (1 - self.high))

    @property
    def lines(self) -> tuple[float, float, float]:
        """(h0, h1, s): below when right answers <= h0 + s·asked, above when >= h1 + s·asked."""
        step = self.gain + self.loss
        return self.lower / step, self.upper / step, self.loss / step

    @property
    def shortest(self) -> int:
        """How many questions it takes at least to be called above, all of them right."""
        return ceil(self.upper / self.gain - EXACT)

    def evidence(self, right: int, asked: int) -> float:
        """The logarithm of the likelihood ratio after `right` of `asked`."""
        return right * self.gain - (asked - right) * self.loss

    def verdict(self, right: int, asked: int) -> str | None:
        """ "above", "below", or None when it is not clear yet."""
        seen = self.evidence(right, asked)
        if seen >= self.upper - EXACT:
            return "above"
        return "below" if seen <= self.lower + EXACT else None

    def least_right(self, asked: int) -> int:
        """How many of `asked` must be right to be above; one more than `asked` when it cannot be."""
        return next((n for n in range(asked + 1) if self.verdict(n, asked) == "above"), asked + 1)


@dataclass(frozen=True, slots=True)
class Course:
    """How a quiz goes for someone who knows a share: the chances of each end, and the mean number of questions."""

    above: float
    below: float
    undecided: float
    length: float


def course(terms: Terms, share: float, most: int, least: int = 0) -> Course:
    """Worked out exactly, question by question. most: where the questions run out; least: asked in any case."""
    going, above, below, length = {0: 1.0}, 0.0, 0.0, 0.0
    for asked in range(1, most + 1):
        following: dict[int, float] = {}
        for right, chance in going.items():
            for got, part in ((right + 1, share), (right, 1 - share)):
                following[got] = following.get(got, 0.0) + chance * part
        length += sum(going.values())
        going = {}
        for right, chance in following.items():
            verdict = terms.verdict(right, asked) if asked >= least else None
            if verdict == "above":
                above += chance
            elif verdict == "below":
                below += chance
            else:
                going[right] = chance
    return Course(above, below, sum(going.values()), length)


def wald_length(terms: Terms, share: float) -> float:
    """Wald's approximation to the mean number of questions, without an end to them (1945, equations 4.8 and 5.2)."""
    upper, lower = terms.upper, terms.lower
    drift = share * terms.gain - (1 - share) * terms.loss
    if abs(drift) < 1e-9:
        return -upper * lower / (share * terms.gain**2 + (1 - share) * terms.loss**2)
    below = wald_below(terms, share)
    return (below * lower + (1 - below) * upper) / drift


def wald_below(terms: Terms, share: float) -> float:
    """Wald's approximation to the chance that someone who knows `share` is called below (1945, equation 3.43)."""
    power = _power(terms, share)
    if abs(power) < 1e-9:
        return terms.upper / (terms.upper - terms.lower)
    big, small = exp(power * terms.upper), exp(power * terms.lower)
    return (big - 1) / (big - small)


def _power(terms: Terms, share: float) -> float:
    """The h other than 0 for which the mean of (likelihood ratio)^h is 1."""

    def mean(power: float) -> float:
        return share * exp(power * terms.gain) + (1 - share) * exp(-power * terms.loss) - 1

    drift = share * terms.gain - (1 - share) * terms.loss
    if abs(drift) < 1e-9:
        return 0.0
    far = -1e-9 if drift > 0 else 1e-9  # on the side where the mean falls below 0 before it rises for good
    while mean(far) < 0:
        far *= 2
    near, far = far / 2, far
    for _ in range(200):
        middle = (near + far) / 2
        near, far = (middle, far) if mean(middle) < 0 else (near, middle)
    return (near + far) / 2


def fixed_length(terms: Terms, most: int = 2000) -> tuple[int, int]:
    """(questions, right answers needed) of the shortest quiz of fixed length with the same error rates."""
    for asked in range(1, most + 1):
        for needed in range(asked + 1):
            if _at_least(needed, asked, terms.low) <= terms.wrongly_above:
                if 1 - _at_least(needed, asked, terms.high) <= terms.wrongly_below:
                    return asked, needed
                break
    raise ValueError(f"no quiz of up to {most} questions tells {terms.low} from {terms.high} so surely")


def _at_least(right: int, asked: int, share: float) -> float:
    return sum(comb(asked, n) * share**n * (1 - share) ** (asked - n) for n in range(right, asked + 1))
