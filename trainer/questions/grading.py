"""Grading: an answer compared with a draw, and only with the draw, so that the bank may change afterwards."""

from __future__ import annotations

from trainer.questions.drawn import Draw, Grade
from trainer.questions.kinds import KINDS


def grade(draw: Draw, typed: str, language: str = "en") -> Grade:
    """What is said of the answer `typed`; an answer that cannot be read is "unreadable", not wrong."""
    return KINDS[draw.kind].grade(draw, typed, language)
