"""Dimensioned drawings made from a calculation's own inputs and results, as SVG.

    FIGURES     the figures there are, by name, each with the calculation it is drawn from
    figures_of  those of one calculation, for its reference page
    draw        one of them in one language, with only the values that may be written

A figure family is one module; sheet, dimensions, hatching and words are the kit they share.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from trainer import calc
from trainer.calc import Evaluation
from trainer.drawings import (
    bar_lap,
    brick_wall,
    chimney_height,
    crown_bend,
    crown_fall,
    crown_plan,
    crown_section,
    fall_clearance,
    flue_cutline,
    flue_section,
    flue_tile,
    form_boards,
    joint_sections,
    ladder_side,
    lift_side,
    loads,
    rebar_plan,
    rebar_stock,
    roof_protection,
    roof_triangle,
    sealant_joint,
    tape_parts,
    tape_reading,
)
from trainer.drawings.figure import Drawing, Figure
from trainer.drawings.words import Words
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text

__all__ = ["FIGURES", "Drawing", "Figure", "draw", "figures_of"]

_FAMILIES: Final = (
    crown_plan,
    crown_section,
    crown_fall,
    crown_bend,
    form_boards,
    rebar_plan,
    rebar_stock,
    bar_lap,
    brick_wall,
    flue_section,
    flue_cutline,
    flue_tile,
    joint_sections,
    sealant_joint,
    chimney_height,
    roof_triangle,
    roof_protection,
    ladder_side,
    fall_clearance,
    lift_side,
    loads,
    tape_reading,
    tape_parts,
)
FIGURES: Final[dict[str, Figure]] = {each.name: each for family in _FAMILIES for each in family.FIGURES}


def figures_of(calculation: str) -> tuple[Figure, ...]:
    """The figures that can be drawn of a calculation, none for one without geometry; UnknownName when there is no such
    calculation."""
    name = calc.get(calculation).name
    return tuple(each for each in FIGURES.values() if each.calculation == name)


def draw(
    name: str,
    evaluation: Evaluation,
    language: str = "en",
    shown: Collection[str] | None = None,
    projection: float | None = None,
) -> Drawing:
    """The figure `name` drawn from `evaluation`.

    shown: names of the quantities whose value may be written; the others get a question mark; None shows all
    projection: how far the flues stand above the crown [in], for "crown.section" (crown.slab does not hold it)
    Raises UnknownName for a figure there is not, Refusal when the evaluation is of another calculation.
    """
    if name not in FIGURES:
        raise UnknownName(
            Text(
                en="there is no figure %(name)s; there are %(known)s.",
                es="no hay figura %(name)s; hay %(known)s.",
            ),
            name=repr(name),
            known=", ".join(sorted(FIGURES)),
        )
    figure, calculation = FIGURES[name], evaluation.calculation
    if calculation.name != figure.calculation:
        raise Refusal(
            Text(
                en="the figure %(figure)s is drawn from %(needed)s, not from %(given)s.",
                es="la figura %(figure)s se dibuja con %(needed)s, no con %(given)s.",
            ),
            figure=name,
            needed=figure.calculation,
            given=calculation.name,
        )
    units = {each.name: each.unit for each in calculation.inputs}
    units |= {each.name: each.unit for each in calculation.quantities.values()}
    values = dict(evaluation.values)
    if projection is not None:
        values["projection"] = projection
    words = Words(language, values, {"projection": "in"} | units, shown)
    sheet, description = figure.make(words)
    title = figure.title.in_language(language)
    return Drawing(sheet.finish(title, description), title, description)
