"""Choose one: several options, one of them right, shown in an order that the seed decides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from trainer.languages import LANGUAGES, Text
from trainer.questions.drawn import Body, Draw, Given, Grade, text_from
from trainer.questions.kinds.kind import Kind, Note
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
from trainer.questions.writing import fill_both

KEYS: Final = ("option", "because")
# How much longer than the longest wrong option the right one may be, and the letters below which nobody looks.
MOST_LONGER: Final = 1.4
SHORT: Final = 40
UNREADABLE: Final = Text(
    en="%s is none of the options; choose one of %s.", es="%s no es una de las opciones; escoja una de %s."
)


@dataclass(frozen=True, slots=True)
class Choice:
    """What the file holds: the options, and the reason behind the right one."""

    options: tuple[Option, ...]
    because: Text


@dataclass(frozen=True, slots=True)
class DrawnChoice(Body):
    """The options in the order shown."""

    options: tuple[DrawnOption, ...]
    because: Text

    def answer(self, language: str) -> str:
        return next(option.text.in_language(language) for option in self.options if option.right)

    def mistaken(self) -> str:
        return next(option.letter for option in self.options if not option.right)

    def lines(self, language: str) -> list[str]:
        return option_lines(self.options, language)

    def texts(self) -> list[Text]:
        return [*option_texts(self.options), self.because]

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> DrawnChoice:
        return cls(options_from(data["options"]), text_from(data["because"]))


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> Choice | None:
    """The options and the reason behind the right one; None, with problems noted, when they cannot stand."""
    options = read_options(source, data, givens)
    because = source.both(data.get("because"), ("because",))
    if options is None or because is None:
        return None
    right = sum(option.right for option in options)
    if not 2 <= len(options) <= MOST_OPTIONS or right != 1:
        source.problem(
            ("option",),
            f"a choice has 2 to {MOST_OPTIONS} options, one of them right; here {len(options)}, {right} right.",
        )
        return None
    return Choice(tuple(options), because)


def draw(question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]) -> DrawnChoice:
    """The options in the seed's order."""
    choice: Choice = question.body
    return DrawnChoice(draw_options(choice.options, givens, seed), fill_both(choice.because, givens))


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """An option named by its letter, its id or its own text; a wrong one says why it is wrong."""
    body: DrawnChoice = draw.body
    wanted = " ".join(typed.split()).strip(".)").casefold()
    for option in body.options:
        texts = (option.text.en.casefold().strip("."), option.text.es.casefold().strip("."))
        if wanted and wanted in (option.letter.casefold(), option.id, *texts):
            return _graded(body, option, language)
    letters = ", ".join(option.letter for option in body.options)
    shown = repr(typed if len(typed) <= 40 else typed[:37] + "...")
    return Grade("unreadable", refusal=UNREADABLE.in_language(language) % (shown, letters))


def _graded(body: DrawnChoice, option: DrawnOption, language: str) -> Grade:
    because = body.because.in_language(language)
    reading = f"{option.letter}. {option.text.in_language(language)}"
    if option.right:
        return Grade("right", 1.0, reading, because=because)
    why = option.why.in_language(language) if option.why else ""
    return Grade("wrong", 0.0, reading, slip=option.id, slip_text=why, because=because)


def check(question: Question, draws: Sequence[Draw], note: Note) -> None:
    """A right option so much longer than the others that its length gives it away."""
    options = question.body.options
    for language in LANGUAGES:
        lengths = [len(option.text.in_language(language)) for option in options]
        right = next(place for place, option in enumerate(options) if option.right)
        longest = max(length for place, length in enumerate(lengths) if place != right)
        if lengths[right] > max(SHORT, MOST_LONGER * longest):
            note(
                ("option", right, language),
                f"the right option is {lengths[right]} letters long and no other over {longest}, which gives it away; "
                "say less in it or more in another.",
            )


KIND: Final = Kind(KEYS, read, draw, DrawnChoice, grade, check)
