"""Options that a person chooses from: in the file, and lettered in the order that a seed decides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any, Final

from trainer.languages import LANGUAGES, Text
from trainer.questions.drawn import Given, text_from, text_or_none
from trainer.questions.model import AnyGiven
from trainer.questions.places import check_places
from trainer.questions.seeds import Seed
from trainer.questions.source import Source
from trainer.questions.writing import fill_both

OPTION_KEYS: Final = ("right", "en", "es", "why")
MOST_OPTIONS: Final = 8


@dataclass(frozen=True, slots=True)
class Option:
    """One option of the file; a wrong one says why."""

    id: str
    right: bool
    text: Text
    why: Text | None


@dataclass(frozen=True, slots=True)
class DrawnOption:
    """One option, lettered in the order shown."""

    letter: str
    id: str
    right: bool
    text: Text
    why: Text | None = None


def read_options(
    source: Source, data: Mapping[str, Any], givens: Sequence[AnyGiven], *, each_why: bool = False
) -> list[Option] | None:
    """The [[option]] tables; None, with problems noted, when one cannot stand.

    each_why: right options say why too
    """
    known = {given.name for given in givens}
    tables = source.take(data, "option", list) or []
    options = [_option(source, table, place, known, each_why) for place, table in enumerate(tables)]
    found = [option for option in options if option is not None]
    if len(found) < len(options):
        return None
    for language in LANGUAGES:
        texts = [option.text.in_language(language).casefold() for option in found]
        twice = next((place for place, text in enumerate(texts) if text in texts[:place]), None)
        if twice is not None:
            source.problem(("option", twice, language), f"option {twice + 1} says the same as one above it.")
            return None
    return found


def _option(source: Source, table: Any, place: int, known: set[str], each_why: bool) -> Option | None:
    where = ("option", place)
    if not isinstance(table, Mapping):
        source.problem(where, "an option must be a table headed [[option]].")
        return None
    source.known(table, OPTION_KEYS, where)
    right = source.take(table, "right", bool, where, default=False)
    text = source.both(table, where)
    why = source.both(table["why"], (*where, "why")) if "why" in table else None
    if (each_why or not right) and "why" not in table:
        which = "does" if right else "is wrong and does"
        source.problem(where, f"option {place + 1} {which} not say why; give why = {{ en = ..., es = ... }}.")
        return None
    for said, at in ((text, where), (why, (*where, "why"))):
        if said is not None:
            check_places(source, said, known, at)
    return None if text is None else Option(f"option-{place + 1}", right, text, why)


def draw_options(
    options: Sequence[Option], givens: Mapping[str, Given], seed: Seed
) -> tuple[DrawnOption, ...]:
    """The options in the seed's order, lettered A, B, C …"""
    chosen = [options[place] for place in seed.shuffled(len(options))]
    return tuple(
        DrawnOption(
            letter,
            option.id,
            option.right,
            fill_both(option.text, givens),
            None if option.why is None else fill_both(option.why, givens),
        )
        for letter, option in zip(ascii_uppercase, chosen, strict=False)
    )


def options_from(data: Sequence[Mapping[str, Any]]) -> tuple[DrawnOption, ...]:
    """The options that JSON data holds."""
    return tuple(
        DrawnOption(one["letter"], one["id"], one["right"], text_from(one["text"]), text_or_none(one["why"]))
        for one in data
    )


def option_texts(options: Sequence[DrawnOption]) -> list[Text]:
    """Every text of the options."""
    return [text for option in options for text in (option.text, option.why) if text is not None]


def option_lines(options: Sequence[DrawnOption], language: str) -> list[str]:
    """The options as they stand on paper: "A. Two inches."."""
    return [f"{option.letter}. {option.text.in_language(language)}" for option in options]
