"""What answers tell: how sure a score is, how questions do their work. Pure: numbers in, numbers out.

    intervals   how far the true share right may lie from the one seen (Wilson's score interval)
    figures     questions at work: share right, discrimination, reliability, what looks faulty

Nothing here knows of people, papers or files; each formula names its published source.
"""

from __future__ import annotations

from trainer.learning.figures import FAULTY, LOOKS, Pairs, QuestionFigures, kr20
from trainer.learning.intervals import Interval, wilson

__all__ = ["FAULTY", "LOOKS", "Interval", "Pairs", "QuestionFigures", "kr20", "wilson"]
