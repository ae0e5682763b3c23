"""Choose one: several options, one of them right, shown in an order that the seed decides."""

from __future__ import annotations

from collections.abc import Mapping
from string import ascii_uppercase
from typing import Any, Final

from trainer.languages import LANGUAGES, Text
from trainer.questions.drawn import Draw, DrawnOption, Given, Grade
from trainer.questions.model import AnyGiven, Option, Question
from trainer.questions.seeds import Seed
from trainer.questions.source import Source
from trainer.questions.writing import fill_both

KEYS: Final = ("option", "because")
OPTION_KEYS: Final = ("right", "en", "es", "why")
UNREADABLE: Final = Text(
    en="%s is none of the options; choose one of %s.", es="%s no es una de las opciones; escoja una de %s."
)


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> dict[str, Any] | None:
    """The options and the reason behind the right one; None, with problems noted, when they cannot stand."""
    tables = source.take(data, "option", list) or []
    options = [_option(source, table, place) for place, table in enumerate(tables)]
    because = source.both(data.get("because"), ("because",))
    if None in options or because is None:
        return None
    found = [option for option in options if option is not None]
    right = [place for place, option in enumerate(found) if option.right]
    if not 2 <= len(found) <= 8 or len(right) != 1:
        source.problem(
            ("option",),
            f"a choice has 2 to 8 options, one of them right; here {len(found)}, {len(right)} right.",
        )
        return None
    for language in LANGUAGES:
        texts = [option.text.in_language(language).casefold() for option in found]
        twice = next((place for place, text in enumerate(texts) if text in texts[:place]), None)
        if twice is not None:
            source.problem(("option", twice, language), f"option {twice + 1} says the same as one above it.")
            return None
    return {"options": tuple(found), "because": because}


def _option(source: Source, table: Any, place: int) -> Option | None:
    where = ("option", place)
    if not isinstance(table, Mapping):
        source.problem(where, "an option must be a table headed [[option]].")
        return None
    source.known(table, OPTION_KEYS, where)
    right = source.take(table, "right", bool, where, default=False)
    text = source.both(table, where)
    why = source.both(table["why"], (*where, "why")) if "why" in table else None
    if not right and "why" not in table:
        source.problem(
            where, f"option {place + 1} is wrong and does not say why; give why = {{ en = ..., es = ... }}."
        )
        return None
    return None if text is None else Option(f"option-{place + 1}", right, text, why)


def draw(
    question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]
) -> dict[str, Any]:
    """The options in the seed's order, lettered A, B, C …"""

    def filled(text: Text | None) -> Text | None:
        return None if text is None else fill_both(text, givens)

    order = seed.shuffled(len(question.options))
    chosen = [question.options[place] for place in order]
    return {
        "options": tuple(
            DrawnOption(letter, option.id, option.right, fill_both(option.text, givens), filled(option.why))
            for letter, option in zip(ascii_uppercase, chosen, strict=False)
        ),
        "because": filled(question.because),
    }


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """An option named by its letter, its id or its own text; a wrong one says why it is wrong."""
    wanted = " ".join(typed.split()).strip(".)").casefold()
    for option in draw.options:
        texts = (option.text.en.casefold().strip("."), option.text.es.casefold().strip("."))
        if wanted and wanted in (option.letter.casefold(), option.id, *texts):
            return _graded(draw, option, language)
    letters = ", ".join(option.letter for option in draw.options)
    shown = repr(typed if len(typed) <= 40 else typed[:37] + "...")
    return Grade("unreadable", refusal=UNREADABLE.in_language(language) % (shown, letters))


def _graded(draw: Draw, option: DrawnOption, language: str) -> Grade:
    because = draw.because.in_language(language) if draw.because else ""
    reading = f"{option.letter}. {option.text.in_language(language)}"
    if option.right:
        return Grade("right", 1.0, reading, because=because)
    why = option.why.in_language(language) if option.why else ""
    return Grade("wrong", 0.0, reading, slip=option.id, slip_text=why, because=because)
