"""How well someone has a skill now, from all their answers on it, each weighing less the older it is.

Basis: the beta distribution updated by right and wrong answers from a flat start (T. Bayes 1763; P. S. Laplace's rule
of succession, 1774), with past evidence discounted by a constant factor a day, as M. West and J. Harrison do in
Bayesian Forecasting and Dynamic Models (Springer, 2nd ed. 1997, chapter 6: discount factors; from memory). So a skill
that nobody has asked about for long goes back to "not known" rather than staying good for ever. The range is Wilson's
score interval with the added weights in place of the number of questions (an effective sample size, as E. L. Korn and
B. I. Graubard use it in Survey Methodology 24 (1998) 193-201; from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import NamedTuple

from trainer.learning.intervals import wilson_of
from trainer.learning.parameters import Estimating


class Seen(NamedTuple):
    """One answer on a skill. credit: 0 to 1; age [days]; practice: whether it was practice rather than a paper."""

    credit: float
    age: float
    practice: bool = False


@dataclass(frozen=True, slots=True)
class Estimate:
    """share: the expected share right, 0 to 1, with its range; answers: on which it rests; newest [days ago].

    weight: what the answers still weigh together, in fresh answers on a paper
    """

    share: float
    low: float
    high: float
    weight: float
    answers: int
    newest: float


def weight_of(age: float, practice: bool, given: Estimating) -> float:
    """What an answer still weighs, in fresh answers on a paper. An age below 0 counts as 0."""
    return float(0.5 ** (max(age, 0.0) / given.half_life)) * (given.practice_weight if practice else 1.0)


class Tally:
    """Answers on one skill added up, in any order."""

    __slots__ = ("answers", "newest", "right", "weight")

    def __init__(self) -> None:
        self.right = self.weight = 0.0
        self.answers, self.newest = 0, float("inf")

    def add(self, credits: Collection[float], age: float, weight: float) -> None:
        """Answers given at one time: their credits, 0 to 1 each; age [days]; weight: as `weight_of` gives it for each."""
        self.right += weight * sum(credits)
        self.weight += weight * len(credits)
        self.answers += len(credits)
        if age < self.newest:
            self.newest = max(age, 0.0)

    def estimate(self) -> Estimate | None:
        """None when there are no answers."""
        if not self.answers:
            return None
        share = (self.right + 1) / (self.weight + 2)
        low, high = wilson_of(self.right / self.weight, self.weight) if self.weight > 0 else (0.0, 1.0)
        return Estimate(share, low, high, self.weight, self.answers, self.newest)


def estimate(seen: Iterable[Seen], given: Estimating) -> Estimate | None:
    """The estimate from all answers on one skill; None when there are none."""
    tally = Tally()
    for one in seen:
        tally.add((one.credit,), one.age, weight_of(one.age, one.practice, given))
    return tally.estimate()
