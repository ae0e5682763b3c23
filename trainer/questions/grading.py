"""Grading: an answer compared with a draw, and only with the draw, so that the bank may change afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.errors import Unreadable
from trainer.languages import Text
from trainer.questions.drawn import Draw, Grade
from trainer.questions.kinds import KINDS


def grade(draw: Draw, typed: str, language: str = "en") -> Grade:
    """What is said of the answer `typed`; an answer that cannot be read is "unreadable", not wrong."""
    return KINDS[draw.kind].grade(draw, typed, language)


def grade_stored(data: Mapping[str, Any], typed: str, language: str = "en") -> Grade:
    """The same for a draw stored as plain data; raises Unreadable where `grade` says "unreadable"."""
    given = grade(Draw.from_json(data), typed, language)
    if given.status == "unreadable":
        # The sentence is whole already; it may hold a percent sign of its own.
        sentence = given.refusal.replace("%", "%%")
        raise Unreadable(Text(en=sentence, es=sentence))
    return given
