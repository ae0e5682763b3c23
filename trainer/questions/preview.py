"""Ten draws of a question as a person would meet them, and a question file tried out before it is in the bank.

A file that somebody pastes is read and drawn within limits of length and time, and nothing of it is kept.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError
from trainer.paths import content_dir
from trainer.questions import faults_file
from trainer.questions.bank import Bank, read_question
from trainer.questions.check import check_question
from trainer.questions.draw import MOST_ATTEMPTS, attempt_draw
from trainer.questions.drawn import Draw
from trainer.questions.model import Question
from trainer.questions.seeds import Rejected

SHOWN: Final = 10
MOST_LETTERS: Final = 20_000
CHECKED_DRAWS: Final = 100
SECONDS: Final = 4.0
NAME: Final = "your-question"
PATH: Final = f"questions/{NAME}.toml"
# What drawing a file that was never checked may end in where no sentence was written for it.
UNFORESEEN: Final = (TypeError, ValueError, LookupError, AttributeError, ArithmeticError, RecursionError)


@dataclass(frozen=True, slots=True)
class Tried:
    """A question file tried out. question: None when it could not be read; whole: the time allowed was enough."""

    question: Question | None
    problems: tuple[ContentError, ...]
    draws: tuple[Draw, ...]
    whole: bool = True


def ten(
    question: Question,
    first: int = 0,
    shop: Mapping[str, Any] = DEFAULT_SHOP,
    until: Callable[[], bool] = lambda: False,
) -> tuple[Draw, ...]:
    """The draws of ten seeds from `first` on; a seed that finds no good numbers is passed over."""
    return tuple(
        drawn
        for seed in range(first, first + SHOWN)
        if (drawn := _drawn(question, seed, shop, until)) is not None
    )


def _drawn(question: Question, seed: int, shop: Mapping[str, Any], until: Callable[[], bool]) -> Draw | None:
    for attempt in range(MOST_ATTEMPTS):
        if until():
            return None
        try:
            return attempt_draw(question, seed, attempt, shop)
        except Rejected:
            continue
    return None


def try_out(
    text: str,
    bank: Bank,
    shop: Mapping[str, Any] = DEFAULT_SHOP,
    clock: Callable[[], float] = time.monotonic,
    folder: Path | None = None,
) -> Tried:
    """What the bank check says of a question file, and ten draws of it, in at most a few seconds.

    text: the file, at most MOST_LETTERS long; folder: the bank's, for the words of faults
    """
    end = clock() + SECONDS
    problems: list[ContentError] = []
    if len(text) > MOST_LETTERS:
        problems.append(ContentError(PATH, 0, f"the file is longer than {MOST_LETTERS} letters."))
        return Tried(None, tuple(problems), ())
    beside = {faults_file.NAME: faults_file.load_faults(folder or content_dir("question_bank"), [])}
    question = read_question(NAME, PATH, text.encode(errors="replace"), bank.skills, problems, beside)
    if question is None:
        return Tried(None, tuple(sorted(problems, key=_place)), ())

    late = Late(lambda: clock() > end)
    try:
        problems += check_question(question, CHECKED_DRAWS, shop, late)
        draws = ten(question, 0, shop, late)
    except UNFORESEEN as error:
        problems.append(ContentError(PATH, 0, f"drawing it ends in an error ({error}); look at its numbers."))
        draws = ()
    return Tried(question, tuple(sorted(problems, key=_place)), draws, not late.was)


class Late:
    """Whether the time is up, and whether it ever was."""

    def __init__(self, up: Callable[[], bool]) -> None:
        self._up, self.was = up, False

    def __call__(self) -> bool:
        self.was = self.was or self._up()
        return self.was


def _place(problem: ContentError) -> tuple[int, str]:
    return problem.line, problem.sentence


def slips(drawn: Draw) -> Iterator[tuple[str, Any, str]]:
    """Every slip of a draw: the part it belongs to ("" when there is one number), the slip, the unit it is in."""
    for part in getattr(drawn.body, "parts", ()):
        yield from ((part.id, slip, part.unit) for slip in getattr(part, "slips", ()))
    yield from (("", slip, drawn.body.unit) for slip in getattr(drawn.body, "slips", ()))
