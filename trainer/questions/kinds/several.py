"""Several of the options fit: all that fit are to be marked, and none that does not.

Credit is 2 · (marked rightly / all that fit − marked wrongly / all that do not fit) − 1, never under 0. Marking each
option by the toss of a coin, however weighted, or marking all of them, makes the bracket 0 on average and so earns
nothing before the cut at 0; after it, a random mark earns a few hundredths at most. Only a full answer is right.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from trainer.errors import Unreadable
from trainer.languages import Text
from trainer.questions.drawn import Body, Draw, Given, Grade, GradedPart
from trainer.questions.kinds.kind import Kind
from trainer.questions.kinds.letters import read_letters
from trainer.questions.kinds.options import (
    MOST_OPTIONS,
    DrawnOption,
    Option,
    draw_options,
    option_lines,
    option_texts,
    options_from,
    read_options,
)
from trainer.questions.model import AnyGiven, Question
from trainer.questions.seeds import Seed
from trainer.questions.source import Source

KEYS: Final = ("option",)
FEWEST_OPTIONS: Final = 5
FEWEST_OF_EACH: Final = 2


@dataclass(frozen=True, slots=True)
class Several:
    """What the file holds: the options, each saying why it fits or does not."""

    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class DrawnSeveral(Body):
    """The options in the order shown."""

    options: tuple[DrawnOption, ...]

    def answer(self, language: str) -> str:
        return ", ".join(option.letter for option in self.options if option.right)

    def mistaken(self) -> str:
        return next(option.letter for option in self.options if not option.right)

    def lines(self, language: str) -> list[str]:
        return option_lines(self.options, language)

    def texts(self) -> list[Text]:
        return option_texts(self.options)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> DrawnSeveral:
        return cls(options_from(data["options"]))


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> Several | None:
    """The options; None, with problems noted, when they cannot stand."""
    options = read_options(source, data, givens, each_why=True)
    if options is None:
        return None
    right = sum(option.right for option in options)
    wrong = len(options) - right
    if not FEWEST_OPTIONS <= len(options) <= MOST_OPTIONS or min(right, wrong) < FEWEST_OF_EACH:
        source.problem(
            ("option",),
            f"there must be {FEWEST_OPTIONS} to {MOST_OPTIONS} options, at least {FEWEST_OF_EACH} that fit and "
            f"{FEWEST_OF_EACH} that do not; here {right} fit and {wrong} do not.",
        )
        return None
    return Several(tuple(options))


def draw(
    question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]
) -> DrawnSeveral:
    """The options in the seed's order."""
    several: Several = question.body
    return DrawnSeveral(draw_options(several.options, givens, seed))


def credit(options: Sequence[DrawnOption | Option], marked: Collection[str]) -> float:
    """What marking the options of those ids earns before the cut at 0: 1 for a full answer, down to -3."""
    right = [option.id in marked for option in options if option.right]
    wrong = [option.id in marked for option in options if not option.right]
    return 2 * (sum(right) / len(right) - sum(wrong) / len(wrong)) - 1


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """The letters marked, in any order; every option says whether it was marked rightly, and why."""
    body: DrawnSeveral = draw.body
    try:
        letters = read_letters(typed, [option.letter for option in body.options])
    except Unreadable as refusal:
        return Grade("unreadable", refusal=refusal.in_language(language))
    parts = tuple(_part(option, option.letter in letters, language) for option in body.options)
    reading = ", ".join(sorted(letters))
    missed = [option.id for option, part in zip(body.options, parts, strict=True) if part.state == "wrong"]
    if not missed:
        return Grade("right", 1.0, reading, parts=parts)
    earned = credit(body.options, {option.id for option in body.options if option.letter in letters})
    return Grade("wrong", max(0.0, earned), reading, slip=missed[0], parts=parts)


def _part(option: DrawnOption, marked: bool, language: str) -> GradedPart:
    return GradedPart(
        option.id,
        "right" if marked == option.right else "wrong",
        f"{option.letter}. {option.text.in_language(language)}",
        reading=option.letter if marked else "",
        answer=option.letter if option.right else "",
        said=option.why.in_language(language) if option.why else "",
    )


KIND: Final = Kind(KEYS, read, draw, DrawnSeveral, grade)
