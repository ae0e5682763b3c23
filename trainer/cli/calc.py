"""`trainer calc`: list the calculations, do one, show its working."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Sequence
from typing import Any

import click

from trainer import calc as core
from trainer.calc import notation
from trainer.calc.entries import as_data, written_entry
from trainer.calc.sources import source
from trainer.calc.spec import REQUIRED, Calculation, Evaluation, Same, Shop, allowed
from trainer.errors import Refusal
from trainer.languages import LANGUAGES, Text


@click.command()
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=VALUE ...]")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--working", is_flag=True, help="Print the worked solution, step by step.")
@click.option("--language", type=click.Choice(LANGUAGES), default="en", help="Language of the words.")
def calc(name: str | None, inputs: Sequence[str], as_json: bool, working: bool, language: str) -> None:
    """Do the calculation NAME; without a name, list them all; without inputs that it needs, say which.

    Repeat a key to give several: flue="13 x 13 in" flue="8 1/2 x 13 in"

    \b
    trainer calc crown.slab chimney_length="40 1/2 in" chimney_width="24 in" flue="13 x 13 in" --working
    """
    try:
        click.echo(answer(name, inputs, as_json, working, language))
    except Refusal as refusal:
        click.echo(f"trainer: {refusal.in_language(language)}", err=True)
        raise SystemExit(2) from None


def answer(name: str | None, inputs: Sequence[str], as_json: bool, working: bool, language: str) -> str:
    """What is printed for these arguments. Raises Refusal."""
    if name is None:
        return listing(language)
    calculation = core.get(name)
    if not inputs and not as_json and any(each.default is REQUIRED for each in calculation.inputs):
        return description(calculation, language)
    evaluation = core.work(name, core.read_inputs(name, split(inputs), language))
    if as_json:
        return json.dumps(whole(evaluation, language), ensure_ascii=False, indent=2)
    if working:
        return "\n".join([core.working.as_text(evaluation, language), *notes(calculation, language)])
    return results_text(evaluation, language)


def split(inputs: Sequence[str]) -> dict[str, list[str]]:
    """NAME=VALUE texts gathered by name; Refusal when one has no equals sign."""
    texts: dict[str, list[str]] = {}
    for each in inputs:
        name, found, value = each.partition("=")
        if not found:
            raise Refusal(
                Text(
                    en='%(given)s is not INPUT=VALUE; write for example overhang="2 in".',
                    es='%(given)s no es ENTRADA=VALOR; escriba por ejemplo overhang="2 in".',
                ),
                given=repr(each[:60]),
            )
        texts.setdefault(name.strip(), []).append(value)
    return texts


def listing(language: str) -> str:
    """Every calculation with one line each."""
    width = max(map(len, core.names()))
    return "\n".join(
        f"{name:<{width}}  {core.get(name).purpose.in_language(language)}" for name in core.names()
    )


def description(calculation: Calculation, language: str) -> str:
    """What the calculation takes, gives and rests on."""
    lines = [f"{calculation.name}: {calculation.purpose.in_language(language)}", ""]
    for each in calculation.inputs:
        note = f"{each.meaning.in_language(language)}; {allowed(each).in_language(language)}{_default(each, language)}"
        lines.append(f"  {each.name:<16} {note}")
    lines.append("")
    lines += [
        f"  → {each.name:<17} {each.meaning.in_language(language)}{f' [{each.unit}]' if each.unit else ''}"
        for each in calculation.results
    ]
    lines += notes(calculation, language)
    lines += ["", *(f"  {source(id).title.in_language(language)}" for id in calculation.sources)]
    return "\n".join(lines)


def notes(calculation: Calculation, language: str) -> list[str]:
    """What a reader of the number must know, a line each after an empty one."""
    return [
        line
        for note in calculation.notes
        for line in (
            "",
            *textwrap.wrap(note.in_language(language), 100, initial_indent="* ", subsequent_indent="  "),
        )
    ]


def _default(each: core.Input, language: str) -> str:
    default = each.default
    if default is REQUIRED or default is None:
        return ""
    if isinstance(default, Shop):
        return f"; = {'taller' if language == 'es' else 'shop'} {default.field}"
    if isinstance(default, Same):
        return f"; = {default.input}"
    if isinstance(default, core.Entry):
        return f"; = {written_entry(each.kind, each.parts, default, language)}"
    if isinstance(default, float):
        inches = each.unit == "in"
        written = notation.write_inches(default) if inches else notation.write(default, each.unit, language)
        return f"; = {written}"
    word = each.words.get(default) if each.kind == "choice" else Text(en="none", es="ninguno")
    return f"; = {word.in_language(language) if word else default}"


def results_text(evaluation: Evaluation, language: str) -> str:
    """The results, one a line."""
    show = core.working.shown
    results = evaluation.calculation.results
    width = max(len(each.name) for each in results)
    return "\n".join(
        f"{each.name:<{width}}  {show(evaluation.results[each.name], each, language)}" for each in results
    )


def whole(evaluation: Evaluation, language: str) -> dict[str, Any]:
    """The whole evaluation as plain data, values at full precision."""
    calculation = evaluation.calculation
    return {
        "calculation": calculation.name,
        "inputs": {
            each.name: {"value": _plain(evaluation.inputs[each.name]), "unit": each.unit}
            for each in calculation.inputs
        },
        "results": {
            each.name: {"value": as_data(evaluation.results[each.name], language), "unit": each.unit}
            for each in calculation.results
        },
        "steps": core.working.as_json(evaluation, language),
        "sources": [
            {"id": id, "title": source(id).title.in_language(language)} for id in calculation.sources
        ],
    }


def _plain(value: Any) -> Any:
    if isinstance(value, list):
        return [_plain(one) for one in value]
    return str(value) if isinstance(value, core.Flue) else as_data(value)
