"""Dimensioned drawings made from a calculation's own inputs and results, as SVG.

    FIGURES     the figures there are, by name, each with the calculation it is drawn from
    draw        one of them in one language, with only the values that may be written

A figure family is one module; sheet, dimensions, hatching and words are the kit they share.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from trainer.calc import Evaluation
from trainer.drawings import (
    crown_plan,
    crown_section,
    cutting_plan,
    flue_section,
    ladder_side,
    rebar_plan,
    roof_triangle,
)
from trainer.drawings.figure import Drawing, Figure
from trainer.drawings.words import Words
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text

__all__ = ["FIGURES", "Drawing", "Figure", "draw"]

_FAMILIES: Final = (
    crown_plan,
    crown_section,
    rebar_plan,
    cutting_plan,
    flue_section,
    roof_triangle,
    ladder_side,
)
FIGURES: Final[dict[str, Figure]] = {family.FIGURE.name: family.FIGURE for family in _FAMILIES}


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
