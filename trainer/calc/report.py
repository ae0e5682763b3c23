"""A calculation, or one evaluation of it, whole: as plain data for other programs and as plain text to read or print.

as_data         the evaluation: inputs, results, steps, sources
as_text         the same to read: what was given, the working, the results, sources, cautions
explained       the calculation before any number: what it takes, gives and rests on
notes           what a reader of its numbers must know
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import Any

from trainer.calc import entries, working
from trainer.calc.allowed import allowed
from trainer.calc.openings import Flue
from trainer.calc.sources import source
from trainer.calc.spec import REQUIRED, Calculation, Evaluation, Input, Same, Shop
from trainer.calc.standard import DEFAULT_SHOP
from trainer.calc.typed import typed_input
from trainer.languages import Text

GIVEN = Text(en="Given", es="Datos")
WORKING = Text(en="Working", es="Desarrollo")
RESULTS = Text(en="Results", es="Resultados")
SOURCES = Text(en="Sources", es="Fuentes")
EXAMPLE = Text(en="Example", es="Ejemplo")
NONE = Text(en="none", es="ninguno")
MUST = Text(en="must be given", es="hay que darlo")
LEFT_OUT = Text(en="may be left out", es="se puede omitir")
SEVERAL = Text(en="may be given several times", es="se puede dar varias veces")
FROM_SHOP = Text(en="%s, the shop standard", es="%s, el estándar del taller")
AS_INPUT = Text(en="the same as %s (%s)", es="igual que %s (%s)")
LEFT_EMPTY = Text(en="left out: %s", es="si se omite: %s")


def as_data(evaluation: Evaluation, language: str = "en") -> dict[str, Any]:
    """The whole evaluation as JSON holds it, values at full precision in the declared units."""
    calculation = evaluation.calculation
    return {
        "calculation": calculation.name,
        "inputs": {
            each.name: {"value": _plain(evaluation.inputs[each.name]), "unit": each.unit}
            for each in calculation.inputs
        },
        "results": {
            each.name: {"value": entries.as_data(evaluation.results[each.name], language), "unit": each.unit}
            for each in calculation.results
        },
        "steps": working.as_json(evaluation, language),
        "sources": [
            {"id": id, "title": source(id).title.in_language(language)} for id in calculation.sources
        ],
    }


def as_text(evaluation: Evaluation, language: str = "en") -> str:
    """The whole evaluation to read, one thing a line."""
    calculation = evaluation.calculation
    parts = {
        GIVEN: [
            f"{each.meaning.in_language(language)}: {_symbol(each, ' = ')}{text}"
            for each, text in given(evaluation, language)
        ],
        WORKING: working.as_text(evaluation, language).split("\n"),
        RESULTS: [
            f"{each.meaning.in_language(language)}: "
            + working.shown(evaluation.results[each.name], each, language)
            for each in calculation.results
        ],
        SOURCES: [source(id).title.in_language(language) for id in calculation.sources],
    }
    lines = [calculation.title.in_language(language), calculation.purpose.in_language(language)]
    for title, inside in parts.items():
        lines += ["", title.in_language(language), *(f"  {line}" for line in inside)]
    lines += notes(calculation, language)
    lines += ["", *(caution.in_language(language) for caution in calculation.cautions)]
    return "\n".join(lines).rstrip() + "\n"


def notes(calculation: Calculation, language: str = "en") -> list[str]:
    """What a reader of the number must know, in lines, each note after an empty one."""
    return [
        line
        for note in calculation.notes
        for line in (
            "",
            *textwrap.wrap(note.in_language(language), 100, initial_indent="* ", subsequent_indent="  "),
        )
    ]


def given(evaluation: Evaluation, language: str = "en") -> list[tuple[Input, str]]:
    """Every input with its value in words, defaults among them."""
    inputs = evaluation.calculation.inputs
    return [(each, written(each, evaluation.inputs[each.name], language)) for each in inputs]


def written(each: Input, value: Any, language: str = "en") -> str:
    """The value of an input in words: several one after the other, a chosen word in the reader's language."""
    if value is None:
        return "–"
    if isinstance(value, list | tuple):
        return "; ".join(written(each, one, language) for one in value) or NONE.in_language(language)
    if value in each.words:
        return each.words[value].in_language(language)
    return typed_input(each, value, language)


def explained(calculation: Calculation, language: str = "en") -> str:
    """What the calculation takes (with symbol, range and default), gives and rests on, and a call to try."""
    lines = [f"{calculation.name}: {calculation.purpose.in_language(language)}", ""]
    for each in calculation.inputs:
        takes = [
            allowed(each).in_language(language),
            default_in_words(calculation, each, DEFAULT_SHOP, language),
        ]
        if each.many:
            takes.append(SEVERAL.in_language(language))
        lines += [
            f"  {each.name:<16} {_symbol(each, ': ')}{each.meaning.in_language(language)}",
            f"  {'':<16} {'; '.join(takes)}",
        ]
    lines += ["", RESULTS.in_language(language)]
    for result in calculation.results:
        unit = f" [{result.unit}]" if result.unit else ""
        lines.append(f"  {result.name:<16} {result.symbol}: {result.meaning.in_language(language)}{unit}")
    lines += notes(calculation, language)
    lines += ["", SOURCES.in_language(language)]
    lines += [f"  {source(id).title.in_language(language)}" for id in calculation.sources]
    lines += ["", EXAMPLE.in_language(language), f"  {_call(calculation)}"]
    if calculation.cautions:
        lines += ["", *(caution.in_language(language) for caution in calculation.cautions)]
    return "\n".join(lines)


def default_in_words(
    calculation: Calculation, each: Input, shop: Mapping[str, Any], language: str = "en"
) -> str:
    """What is taken when the input is left out in a shop with the standard `shop`."""
    if each.default is REQUIRED:
        return MUST.in_language(language)
    if each.default is None:
        return LEFT_OUT.in_language(language)
    if isinstance(each.default, Shop):
        taken = FROM_SHOP.in_language(language) % written(each, shop[each.default.field], language)
    elif isinstance(each.default, Same):
        other = calculation.input(each.default.input)
        taken = AS_INPUT.in_language(language) % (other.meaning.in_language(language), other.symbol)
    else:
        taken = written(each, each.default, language)
    return LEFT_EMPTY.in_language(language) % taken


def _symbol(each: Input, then: str) -> str:
    """The input's symbol and what follows it; nothing on the board stands for a choice."""
    return "" if each.kind == "choice" else each.symbol + then


def _call(calculation: Calculation) -> str:
    texts = (
        f'{name}="{one}"'
        for name, given in calculation.sample.items()
        for one in ([given] if isinstance(given, str) else given)
    )
    return " ".join(["trainer calc", calculation.name, *texts])


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        return [_plain(one) for one in value]
    return str(value) if isinstance(value, Flue) else entries.as_data(value)
