"""What answers tell: how sure a score is, how questions do their work, what fades. Pure: numbers in, numbers out.

    intervals   how far the true share right may lie from the one seen (Wilson's score interval)
    figures     questions at work: share right, discrimination, reliability, what looks faulty
    deciding    a quiz that asks until it is clear (Wald's sequential test)
    estimates   how well someone has a skill now, from answers of all ages
    schedule    when a skill comes back
    parameters  the figures of question_bank/learning.toml

Nothing here knows of people or papers; each formula names its published source.
"""

from __future__ import annotations

from trainer.learning.deciding import Course, Terms, course, fixed_length, wald_length
from trainer.learning.estimates import Estimate, Seen, Tally, estimate, weight_of
from trainer.learning.figures import FAULTY, LOOKS, Pairs, QuestionFigures, kr20
from trainer.learning.intervals import Interval, wilson
from trainer.learning.parameters import (
    BadParameters,
    Deciding,
    Estimating,
    Parameters,
    Reviewing,
    load_parameters,
)
from trainer.learning.schedule import Standing, due_today, standing

__all__ = [
    "FAULTY",
    "LOOKS",
    "BadParameters",
    "Course",
    "Deciding",
    "Estimate",
    "Estimating",
    "Interval",
    "Pairs",
    "Parameters",
    "QuestionFigures",
    "Reviewing",
    "Seen",
    "Standing",
    "Tally",
    "Terms",
    "course",
    "due_today",
    "estimate",
    "fixed_length",
    "kr20",
    "load_parameters",
    "standing",
    "wald_length",
    "weight_of",
    "wilson",
]
