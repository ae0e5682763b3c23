"""`trainer calc`: list the calculations, do one, show its working."""

from __future__ import annotations

import json
from collections.abc import Sequence

import click

from trainer import calc as core
from trainer.calc import report
from trainer.calc.spec import REQUIRED, Evaluation
from trainer.errors import Refusal
from trainer.languages import LANGUAGES, Text


@click.command()
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=VALUE ...]")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--working", is_flag=True, help="Print the worked solution, step by step.")
@click.option(
    "--report", "as_report", is_flag=True, help="Print what was given, the working, results and sources."
)
@click.option("--explain", is_flag=True, help="Print its inputs, results and sources, and a call to try.")
@click.option("--language", type=click.Choice(LANGUAGES), default="en", help="Language of the words.")
def calc(
    name: str | None,
    inputs: Sequence[str],
    as_json: bool,
    working: bool,
    as_report: bool,
    explain: bool,
    language: str,
) -> None:
    """Do the calculation NAME; without a name, list them all; without inputs that it needs, say which.

    A value is written as on site: 40 1/2 in, 3' 6", 115 mm, 9.5 ft3; without a unit it is in the unit that --explain
    names. Repeat a key to give several: flue="13 x 13 in" flue="8 1/2 x 13 in"; none leaves it empty.

    \b
    trainer calc crown.slab chimney_length="40 1/2 in" chimney_width="24 in" flue="13 x 13 in" --working
    trainer calc crown.slab --explain
    """
    try:
        click.echo(
            answer(
                name,
                inputs,
                language,
                as_json=as_json,
                working=working,
                as_report=as_report,
                explain=explain,
            )
        )
    except Refusal as refusal:
        click.echo(f"trainer: {refusal.in_language(language)}", err=True)
        raise SystemExit(2) from None


def answer(
    name: str | None,
    inputs: Sequence[str],
    language: str = "en",
    *,
    as_json: bool = False,
    working: bool = False,
    as_report: bool = False,
    explain: bool = False,
) -> str:
    """What is printed for these arguments. Raises Refusal."""
    if name is None:
        return listing(language)
    calculation = core.get(name)
    asks_nothing = not (inputs or as_json or working or as_report)
    if explain or (asks_nothing and any(each.default is REQUIRED for each in calculation.inputs)):
        return report.explained(calculation, language)
    evaluation = core.work(name, core.read_inputs(name, split(inputs), language))
    if as_json:
        return json.dumps(report.as_data(evaluation, language), ensure_ascii=False, indent=2)
    if as_report:
        return report.as_text(evaluation, language).rstrip("\n")
    if working:
        return "\n".join([core.working.as_text(evaluation, language), *report.notes(calculation, language)])
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


def results_text(evaluation: Evaluation, language: str) -> str:
    """The results, one a line."""
    show = core.working.shown
    results = evaluation.calculation.results
    width = max(len(each.name) for each in results)
    return "\n".join(
        f"{each.name:<{width}}  {show(evaluation.results[each.name], each, language)}" for each in results
    )
