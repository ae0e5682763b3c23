"""Chimneys, mats, flues, roofs and ladders to draw, and a reader of finished drawings."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from tests.drawings.cases import DISTINCT, distinct, extremes, pipe, tile
from trainer import calc, drawings
from trainer.errors import Refusal

SVG = "{http://www.w3.org/2000/svg}"


ROWS = {
    "none": [],
    "one": [tile(13.0, 13.0)],
    "small": [pipe(8.0)],
    "two": [tile(13.0, 13.0), tile(8.5, 13.0)],
    "three": [pipe(10.0), tile(8.5, 8.5), pipe(6.0)],
    "four": [tile(13.0, 13.0), pipe(10.0), tile(8.5, 13.0), tile(8.5, 8.5)],
    "four alike": [tile(13.0, 13.0)] * 4,
}
SIZES = [
    *((16.0, 16.0), (17.5, 33.0), (24.0, 24.0), (40.5, 24.0), (48.0, 32.5), (60.0, 20.0), (24.0, 60.0)),
    *((72.25, 28.0), (96.0, 16.0), (96.0, 48.0), (47.9375, 47.9375)),
]


def chimneys():
    """crown.slab over sizes from 16 x 16 in to 96 x 48 in, with none to four flues where they fit."""
    found = {}
    for length, width in SIZES:
        for row, flues in ROWS.items():
            for thick in (4.0, 5.5):
                given = {
                    "chimney_length": length,
                    "chimney_width": width,
                    "flue": flues,
                    "flue_thickness": thick,
                }
                try:
                    found[f"{length:g} x {width:g}, {row}, {thick:g}"] = calc.evaluate("crown.slab", given)
                except Refusal:
                    continue  # the row does not fit this chimney
    thick = {"chimney_length": 40.0, "chimney_width": 30.0, "edge_thickness": 8.0, "flue_thickness": 12.0}
    found["thick"] = calc.evaluate(
        "crown.slab", thick | {"overhang": 6.0, "bond_gap": 1.0, "flue": ROWS["one"]}
    )
    found["no overhang"] = calc.evaluate("crown.slab", thick | {"overhang": 0.0, "flue": ROWS["one"]})
    return found


def mats():
    found = {}
    for name, chimney in chimneys().items():
        sides = {side: chimney.values[side] for side in ("slab_length", "slab_width", "flue")}
        for bar, spacing in (("#3", 8.0), ("#4", 6.0)):
            found[f"{name}, {bar}"] = calc.evaluate("rebar.mat", sides | {"bar": bar, "max_spacing": spacing})
    return found


def flue_cuts():
    heights = (0.0, 3.0, 4.5, 6.0, 7.75, 8.0, 9.0, 12.0, 18.0, 30.0, 48.0, 120.0)
    found = {f"{high:g} in": calc.evaluate("flue.cut", {"flue_above_wall": high}) for high in heights}
    wide = {"flue_above_wall": 14.0, "projection": 2.0, "max_projection": 6.0, "base_thickness": 0.0}
    return found | {"no board": calc.evaluate("flue.cut", wide)}


def roofs():
    return {
        f"{rise:g} in 12": calc.evaluate("roof.slope", {"rise": rise})
        for rise in (0.0, 0.5, 2.0, 4.0, 7.5, 12.0, 24.0, 48.0)
    }


def ladders():
    heights = (3.0, 4.0, 9.5, 18.0, 32.0, 60.0)
    found = {f"{high:g} ft": calc.evaluate("ladder.set", {"support_height": high}) for high in heights}
    return found | {
        "no rails": calc.evaluate("ladder.set", {"support_height": 12.0, "extension": 0.0, "secured": "yes"})
    }


MAKERS = {
    "crown.plan": chimneys,
    "crown.section": chimneys,
    "rebar.plan": mats,
    "flue.section": flue_cuts,
    "roof.triangle": roofs,
    "ladder.side": ladders,
}


@pytest.fixture(scope="session")
def evaluations():
    """Figure name to case name to evaluation."""
    found = {figure: {"usual": distinct(figure)} | extremes(figure) for figure in DISTINCT}
    found |= {figure: make() for figure, make in MAKERS.items()}
    assert set(found) == set(drawings.FIGURES)
    return found


@dataclass
class Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self):
        return self.right - self.left

    @property
    def height(self):
        return self.bottom - self.top

    @property
    def middle(self):
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2


@dataclass
class Reading:
    """A finished drawing, read back."""

    root: ElementTree.Element

    def parts(self, name: str) -> list[Box]:
        return [_box(each) for each in self.root.iter() if each.get("data-part") == name]

    def part(self, name: str) -> Box:
        (one,) = self.parts(name)
        return one

    def corners(self, name: str) -> list[tuple[float, float]]:
        (one,) = [each for each in self.root.iter() if each.get("data-part") == name]
        return _corners(one.get("d"))

    def strokes(self, name: str) -> list[tuple[tuple[float, float], tuple[float, float]]]:
        """The straight strokes of a path."""
        (one,) = [each for each in self.root.iter() if each.get("data-part") == name]
        return [pair for stroke in one.get("d").split("M")[1:] for pair in pairwise(_corners("M" + stroke))]

    @property
    def texts(self) -> list[ElementTree.Element]:
        return list(self.root.iter(f"{SVG}text"))

    @property
    def said(self) -> str:
        """Everything a reader or a listener gets, one text; but for the numbers printed on a tape."""
        found = [each for each in self.root.iter() if each.tag.split("}")[1] in ("title", "desc", "text")]
        return " | ".join(each.text or "" for each in found if each.get("data-part") != "numeral")


def _corners(data: str) -> list[tuple[float, float]]:
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", data)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _box(each: ElementTree.Element) -> Box:
    if each.tag == f"{SVG}rect":
        x, y, width, height = (float(each.get(name)) for name in ("x", "y", "width", "height"))
        return Box(x, y, x + width, y + height)
    if each.tag == f"{SVG}circle":
        x, y, r = (float(each.get(name)) for name in ("cx", "cy", "r"))
        return Box(x - r, y - r, x + r, y + r)
    xs, ys = zip(*_corners(each.get("d")), strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


@pytest.fixture(scope="session")
def read():
    """Draws and reads back: read(figure, evaluation, ...) -> Reading."""

    def reader(figure, evaluation, *args, **kwargs):
        return Reading(ElementTree.fromstring(drawings.draw(figure, evaluation, *args, **kwargs).svg))

    return reader
