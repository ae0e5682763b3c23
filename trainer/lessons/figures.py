"""Measurements typed in lesson text, held against the list of those that may be (lessons/figures.toml).

A typed measurement is right when it is on the list for its lesson, or is an example's own. Anything else is either known
to the core or the standard, and must be inserted, or known to nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from trainer import calc
from trainer.calc.sources import SOURCES
from trainer.errors import ContentError, Refusal
from trainer.lessons.library import Lesson, Library
from trainer.paths import content_dir
from trainer.questions.source import Source

FILE: Final = "figures.toml"
KEYS: Final = ("value", "lessons", "meaning", "source", "calculation", "inputs", "result")
CLOSE: Final = 0.02
"""How far a rounded figure may stand from the core's: 10 degrees for 2.116 in to the foot is within 2 percent."""
UNITS: Final = {
    "in": "in|inch|inches|pulgadas?", "ft": "ft|foot|feet|pies?", "in²": "in²|pulgadas cuadradas|square inch|square inches",
    "ft²": "ft²|square foot|square feet|pies? cuadrados?", "ft³": "ft³|cubic foot|cubic feet|pies? cúbicos?",
    "yd³": "yd³|cubic yards?|yardas? cúbicas?", "lb": "lb|pounds?|libras?", "psi": "psi", "°F": "°F", "°C": "°C",
    "%": "%|percent|por ciento", "deg": "degrees?|grados?|deg", "dBA": "dBA", "mm": "mm", "cm": "cm", "kg": "kg",
    "gal": "gal|gallons?|galones|galón", "qt": "qt|quarts?", "h": "h|hours?|horas?", "min": "min|minutes?|minutos?",
    "days": "days?|días?", "weeks": "weeks?|semanas?", "months": "months?|mes|meses", "yr": "years?|años?|yr",
    "mph": "mph", "cfm": "cfm", "lb/ft³": "lb/ft³", "lb/ft²": "lb/ft²", "lb/ft": "lb/ft",
}  # fmt: skip
_NUMBER: Final = r"(?:\d[\d,]*(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+)"
_UNIT: Final = "|".join(
    sorted(
        (spelling for spellings in UNITS.values() for spelling in spellings.split("|")), key=len, reverse=True
    )
)
_CITED: Final = "".join(
    f"(?<!{word} )" for word in ("CFR", "section", "sección", "page", "página", "Table", "Tabla")
)
_AND: Final = "to|and|or|a|y|o"
MEASUREMENT: Final = re.compile(
    rf"(?<![\w.,§/#:-]){_CITED}(?P<first>{_NUMBER})(?:\s+(?:{_AND})\s+(?P<second>{_NUMBER}))?\s?"
    rf"(?P<unit>{_UNIT})(?![\w²³/])"
)
"""A number, or two of a range, with a unit: "1 1/2 in", "60 to 80 lb", "entre 40 y 95 °F"."""
# What is no measurement of the work: places filled in, headings' ids, addresses, and code.
_ASIDE: Final = re.compile(r"\{\{.*?\}\}|\{#.*?\}|\]\([^)]*\)|(?<!`)`[^`\n]+`(?!`)")

Amount = tuple[Fraction, str]


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure that lessons may type, with what it is and where it comes from; `sum`: how the core comes to it."""

    value: Amount
    lessons: tuple[str, ...]
    meaning: str
    source: str
    line: int
    sum: tuple[str, dict[str, Any], str] | None = None


def amounts(text: str) -> list[tuple[Amount, str, int]]:
    """Every measurement typed in a text: what it is, as it is typed, and where it starts."""
    plain = _ASIDE.sub(lambda aside: " " * len(aside[0]), text)
    found = []
    for match in MEASUREMENT.finditer(plain):
        unit = _unit(match["unit"])
        for part in ("first", "second"):
            if match[part]:
                found.append(
                    ((_number(match[part]), unit), f"{match[part]} {match['unit']}", match.start(part))
                )
    return found


def load_figures(folder: Path | None = None) -> tuple[list[Figure], list[ContentError]]:
    """The list in `folder` (the shipped lessons by default) and its mistakes; no figures where there is no file."""
    path = (content_dir("lessons") if folder is None else folder) / FILE
    return read_figures(path.read_text(encoding="utf-8")) if path.is_file() else ([], [])


def read_figures(text: str) -> tuple[list[Figure], list[ContentError]]:
    source = Source(FILE, text)
    data = source.tables()
    source.known(data, ("figure",))
    figures = []
    for place, table in enumerate(source.take(data, "figure", list, default=[]) or []):
        figure = _figure(source, ("figure", place), table)
        if figure is not None:
            figures.append(figure)
    return figures, source.problems


def _figure(source: Source, where: tuple[str, int], table: Any) -> Figure | None:
    if not isinstance(table, Mapping):
        source.problem(where, "a figure is a table headed [[figure]].")
        return None
    before = len(source.problems)
    source.known(table, KEYS, where)
    value, meaning, origin = (source.take(table, key, str, where) for key in ("value", "meaning", "source"))
    lessons = tuple(source.texts(table, "lessons", where))
    read = amounts(value or "")
    if value and (len(read) != 1 or read[0][1].replace(" ", "") != value.replace(" ", "")):
        source.problem(
            (*where, "value"), f"{value!r} is no figure with a unit; the units are {', '.join(UNITS)}."
        )
    if origin is not None and origin not in SOURCES:
        source.problem(
            (*where, "source"), f"there is no source {origin!r}; there are {', '.join(sorted(SOURCES))}."
        )
    worked = None
    if "calculation" in table:
        named = source.take(table, "calculation", str, where)
        inputs = source.take(table, "inputs", dict, where)
        result = source.take(table, "result", str, where)
        if named and inputs is not None and result:
            worked = (named, inputs, result)
    if len(source.problems) > before or meaning is None or origin is None:
        return None
    figure = Figure(read[0][0], lessons, meaning, origin, source.line(where), worked)
    if worked is not None and (wrong := _disagreement(figure)):
        source.problem((*where, "value"), wrong)
    return figure


def _disagreement(figure: Figure) -> str:
    """What the core says against a figure; nothing when both agree."""
    assert figure.sum is not None
    name, texts, result = figure.sum
    try:
        value = calc.work(name, calc.read_inputs(name, texts)).values[result]
    except (Refusal, KeyError) as wrong:
        return f"{name} gives no {result!r} here: {wrong}."
    number, unit = figure.value
    in_unit = float(number) * (12 if unit == "ft" else 1)
    if abs(in_unit - float(value)) <= CLOSE * abs(float(value)):
        return ""
    return f"{name} gives {float(value):g} for {result}, not {float(number):g} {unit}."


def figure_problems(library: Library, folder: Path | None = None) -> list[ContentError]:
    """Every typed measurement that is not on the list and no example's own, and everything on the list that is not typed."""
    figures, problems = load_figures(folder)
    typed: dict[tuple[Amount, str], int] = {}
    for lessons in library.by_language.values():
        for lesson in lessons.values():
            listed = {figure.value for figure in figures if lesson.id in figure.lessons}
            own = _of_examples(lesson)
            for amount, words, line in _typed(lesson):
                typed[(amount, lesson.id)] = line
                if amount not in listed and amount not in own:
                    problems.append(
                        ContentError(
                            lesson.path,
                            line,
                            f"{words} is typed here; insert it from the standard or an example, or give it with its "
                            f"source in {FILE}.",
                        )
                    )
    for figure in figures:
        for id in figure.lessons:
            if id not in library.ids:
                problems.append(ContentError(FILE, figure.line, f"there is no lesson {id!r}."))
            elif (figure.value, id) not in typed:
                problems.append(
                    ContentError(
                        FILE,
                        figure.line,
                        f"{_said(figure.value)} is not typed in {id}; take it off the list.",
                    )
                )
    return problems


def _typed(lesson: Lesson) -> Iterator[tuple[Amount, str, int]]:
    """The measurements of a lesson's text, but for the list of its sources, with their lines."""
    text = re.split(r"(?m)^## .*\{#sources\}\s*$", lesson.body)[0]
    for amount, words, start in amounts(text):
        yield amount, " ".join(words.split()), lesson.first + text.count("\n", 0, start)


def _of_examples(lesson: Lesson) -> set[Amount]:
    """What the lesson's examples are given, as it is typed in the front matter."""
    texts = [
        str(text)
        for example in lesson.examples.values()
        for value in example.texts.values()
        for text in (value if isinstance(value, list) else [value])
    ]
    return {amount for text in texts for amount, _words, _start in amounts(text)}


def _number(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.replace(",", "").split()), Fraction(0))


def _unit(text: str) -> str:
    return next(unit for unit, spellings in UNITS.items() if re.fullmatch(spellings, text))


def _said(amount: Amount) -> str:
    number, unit = amount
    return f"{calc.notation.write(float(number), 'in').rpartition(' ')[0] if unit == 'in' else f'{float(number):g}'} {unit}"
