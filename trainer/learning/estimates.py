"""How well someone has a skill now, from all their answers on it, each weighing less the older it is.

Basis: the beta distribution updated by right and wrong answers from a flat start (T. Bayes 1763; P. S. Laplace's rule
of succession, 1774), with past evidence discounted by a constant factor a day, as M. West and J. Harrison do in
Bayesian Forecasting and Dynamic Models (Springer, 2nd ed. 1997, chapter 6: discount factors; from memory). So a skill
that nobody has asked about for long goes back to "not known" rather than staying good for ever. The range is Wilson's
score interval with the added weights in place of the number of questions (an effective sample size, as E. L. Korn and
B. I. Graubard use it in Survey Methodology 24 (1998) 193-201; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
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


def estimate(seen: Iterable[Seen], given: Estimating) -> Estimate | None:
    """The estimate from all answers on one skill; None when there are none. An age below 0 counts as 0."""
    right = weight = 0.0
    newest, answers = float("inf"), 0
    for one in seen:
        age = max(one.age, 0.0)
        part = 0.5 ** (age / given.half_life) * (given.practice_weight if one.practice else 1.0)
        right, weight = right + part * one.credit, weight + part
        newest, answers = min(newest, age), answers + 1
    if not answers:
        return None
    share = (right + 1) / (weight + 2)
    low, high = wilson_of(right / weight, weight) if weight > 0 else (0.0, 1.0)
    return Estimate(share, low, high, weight, answers, newest)
