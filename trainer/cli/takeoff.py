"""`trainer takeoff`: the job sheet of one chimney as text or as plain data."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import click

from trainer import takeoff as core
from trainer.calc import report
from trainer.cli.calc import split
from trainer.errors import Refusal
from trainer.languages import LANGUAGES, Text

HEADINGS = {
    "refused": Text(en="Not worked out", es="Sin calcular"),
    "figures": Text(en="The crown", es="La corona"),
    "materials": Text(en="Materials", es="Materiales"),
    "cuts": Text(en="Cutting plan", es="Plan de corte"),
    "loads": Text(en="Weights and trips", es="Pesos y viajes"),
    "steps": Text(en="Steps and dates", es="Pasos y fechas"),
    "cautions": Text(en="Before you start", es="Antes de empezar"),
}


@click.command()
@click.argument("inputs", nargs=-1, metavar="[FIELD=VALUE ...]")
@click.option("--with", "more", multiple=True, metavar="PART", help="A part of the work to put in.")
@click.option("--without", "less", multiple=True, metavar="PART", help="A part of the work to leave out.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--language", type=click.Choice(LANGUAGES), default="en", help="Language of the words.")
def takeoff(
    inputs: Sequence[str], more: Sequence[str], less: Sequence[str], as_json: bool, language: str
) -> None:
    """Work out a whole job for one chimney; without fields, list the fields and the parts.

    \b
    trainer takeoff chimney_length="40 1/2 in" chimney_width="24 in" flue_1="13 x 13 in" \\
        above_wall_1="12 in" poured_on=2026-12-01 --without coating --without height --without debris
    """
    if not inputs:
        click.echo(listing(language))
        return
    parts = {part.name for part in core.PARTS.values() if part.on} | set(more)
    job = core.read(_once(split(inputs)), parts | set(less), language)  # every part named must exist
    result = core.run(replace(job, parts=job.parts - set(less)))
    if as_json:
        click.echo(json.dumps(as_data(result, language), ensure_ascii=False, indent=2))
    else:
        click.echo("\n".join(as_lines(result, language)))
    if result.refused:
        raise SystemExit(1)


def _once(texts: dict[str, list[str]]) -> dict[str, str]:
    for name, given in texts.items():
        if len(given) > 1:
            raise Refusal(
                Text(
                    en="%(name)s was given %(count)d times; give it once.",
                    es="%(name)s se dio %(count)d veces; délo una vez.",
                ),
                name=name,
                count=len(given),
            )
    return {name: given[0] for name, given in texts.items()}


def listing(language: str) -> str:
    """Every field and every part with one line each."""
    width = max(map(len, core.FIELDS))
    lines = [
        f"{field.name:<{width}}  {core.GROUPS[field.group].in_language(language)}: {field.label.in_language(language)}"
        for field in core.FIELDS.values()
    ]
    parts = [f"{part.name:<{width}}  {part.note.in_language(language)}" for part in core.PARTS.values()]
    return "\n".join([*lines, "", *parts])


def as_lines(result: core.TakeOff, language: str) -> Iterator[str]:
    """The job sheet as text."""
    said = core.sheet
    sections = {
        "refused": list(_refused(result, language)),
        "figures": [f"{what}: {value}" for what, value in said.key_figures(result, language)],
        "materials": [f"{line.shown:>12}  {line.item}" for line in said.materials(result, language)],
        "cuts": [f"{bars} × ({pieces})" for bars, pieces in said.cuts(result, language)],
        "loads": [
            f"{weight:>12}  {what}" + (f" × {trips}" if trips else "")
            for what, weight, trips in said.loads(result, language)
        ],
        "steps": [f"{on.isoformat() if on else '':>12}  {what}" for what, on in said.steps(result, language)],
        "cautions": [sentence for _, sentence in said.cautions(result, language)],
    }
    for name, lines in sections.items():
        if lines:
            yield HEADINGS[name].in_language(language)
            yield from (f"  {line}" for line in lines)


def _refused(result: core.TakeOff, language: str) -> Iterator[str]:
    for one in result.refused:
        assert one.refusal is not None and one.field is not None
        yield f"{one.link.title.in_language(language)}: {one.field.name} – {one.refusal.in_language(language)}"


def as_data(result: core.TakeOff, language: str) -> dict[str, Any]:
    """The whole take-off as plain data, values at full precision."""
    said = core.sheet
    return {
        "links": {name: _link(outcome, language) for name, outcome in result.outcomes.items()},
        "materials": [
            {"item": line.item, "value": line.value, "unit": line.unit, "from": line.link}
            for line in said.materials(result, language)
        ],
        "steps": [
            {"what": what, "on": on.isoformat() if on else None} for what, on in said.steps(result, language)
        ],
        "cautions": [
            {"level": level, "sentence": sentence} for level, sentence in said.cautions(result, language)
        ],
    }


def _link(outcome: core.Outcome, language: str) -> dict[str, Any]:
    if outcome.evaluation is not None:
        return report.as_data(outcome.evaluation, language)
    if outcome.refusal is not None and outcome.field is not None:
        return {"refused": outcome.refusal.in_language(language), "field": outcome.field.name}
    return {"waits_for": outcome.waits_for.name if outcome.waits_for else None}
