"""A chimney top cut through its flues, with the face below, faults and numbered places: what "find the faults" shows."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from trainer.drawings.chimney_top.crown import draw_middle, draw_side
from trainer.drawings.chimney_top.description import FAULTS, PLACES, SHAPES, ChimneyTop, neighbourhood, places
from trainer.drawings.chimney_top.flues import draw_flue
from trainer.drawings.chimney_top.layout import Layout
from trainer.drawings.chimney_top.marks import draw_marks, ring
from trainer.drawings.chimney_top.wall import draw_cut, draw_face
from trainer.drawings.figure import Drawing
from trainer.drawings.sheet import MARGIN, Point, Sheet, text_width
from trainer.languages import Text

__all__ = [
    "FAULTS",
    "PLACES",
    "SHAPES",
    "ChimneyTop",
    "Mark",
    "MarkedDrawing",
    "draw",
    "neighbourhood",
    "places",
]

TITLE: Final = Text(en="Chimney top", es="Parte alta de la chimenea")
FACE: Final = Text(en="the face from outside", es="la cara por fuera")
KEY: Final = (
    ("filler", Text(en="filler or strip", es="relleno o tira")),
    ("sealant", Text(en="sealant", es="sellador")),
    ("wood", Text(en="board", es="tabla")),
    ("bar", Text(en="steel", es="acero")),
)
ABOUT: Final = Text(
    en="A chimney top, cut through its flues, and the brick face below as it is seen from outside.",
    es="La parte alta de una chimenea, en corte por los tubos, y abajo la cara de ladrillo vista por fuera.",
)


@dataclass(frozen=True, slots=True)
class Mark:
    """A number at a place; said: the place's name and what is seen there, for whoever cannot see the drawing."""

    number: int
    place: str
    said: str


@dataclass(frozen=True, slots=True)
class MarkedDrawing(Drawing):
    """A drawing with the middle of each mark on it, in the units of its view box."""

    spots: dict[int, Point]
    view_box: str


def draw(
    top: ChimneyTop, marks: Sequence[Mark], language: str = "en", ringed: Collection[int] = ()
) -> MarkedDrawing:
    """The chimney top with its marks; those in `ringed` have a ring round what they point at."""
    lay, sheet = Layout(top), Sheet()
    sheet.reach(lay.view.y(lay.top_height) - 6)  # the same room above, whatever stands there
    draw_cut(sheet, lay)
    for side in ("left", "right"):
        draw_side(sheet, lay, side)
    if top.flues == 2:
        draw_middle(sheet, lay)
    for flue in top.flue_names:
        draw_flue(sheet, lay, flue)
    draw_face(sheet, lay)
    base = lay.view.y((lay.cut_bottom + lay.face_top) / 2) + 4
    sheet.write(lay.view.x(-lay.half), base, FACE.in_language(language))
    _key(sheet, language)
    spots = draw_marks(sheet, lay, {mark.place: mark.number for mark in marks})
    for mark in marks:
        if mark.number in ringed:
            ring(sheet, lay, mark.place)
    title = TITLE.in_language(language)
    description = " ".join([ABOUT.in_language(language), *(f"{mark.number}, {mark.said}." for mark in marks)])
    return MarkedDrawing(sheet.finish(title, description), title, description, spots, sheet.view_box)


def _key(sheet: Sheet, language: str) -> None:
    """What the small things in the cut are, on one line below everything."""
    x, base = 2 * MARGIN, sheet.bottom + 22
    for look, name in KEY:
        text = name.in_language(language)
        sheet.rect(look, (x, base), (x + 10, base - 10))
        sheet.write(x + 15, base, text)
        x += 15 + text_width(text) + 8
