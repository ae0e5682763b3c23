"""Numbered marks beside the places of a drawn chimney top, each with a line to what it means.

Marks lie at least 48 px apart on a page 340 px wide, whichever of them are drawn, so that a gloved finger meets one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from trainer.drawings.chimney_top.crown import bearing, flue_side, steel_ends
from trainer.drawings.chimney_top.description import PLACES, neighbourhood, places
from trainer.drawings.chimney_top.layout import Layout
from trainer.drawings.chimney_top.wall import brick
from trainer.drawings.masonry import COURSE, TILE_WALL
from trainer.drawings.sheet import FONT, WIDTH, Point, Sheet

RADIUS = 11.0
EDGE = 16.0  # from the sheet's side to the middle of the outermost marks


def draw_marks(sheet: Sheet, lay: Layout, numbers: Mapping[str, int]) -> dict[int, Point]:
    """The marks of these places; returns where each lies on the sheet."""
    where = spots(lay)
    for place, number in numbers.items():
        spot, target = where[place]
        away = math.dist(spot, target)
        share = min(1.0, RADIUS / away)
        start = (spot[0] + share * (target[0] - spot[0]), spot[1] + share * (target[1] - spot[1]))
        sheet.line("leader", start, target)
        sheet.circle("dot", target, 2.0)
        sheet.circle("mark", spot, RADIUS)
        sheet.write(spot[0], spot[1] + 0.36 * FONT, str(number), "middle")
    return {number: where[place][0] for place, number in numbers.items()}


def spots(lay: Layout) -> dict[str, tuple[Point, Point]]:
    """For every place of the chimney top: the middle of its mark, and the place itself, on the sheet."""
    found: dict[str, tuple[Point, Point]] = {}
    for place in places(lay.top.flues):
        part, near = PLACES[place], neighbourhood(place)
        if near in ("left", "right"):
            spot, target = _beside(lay, near, part)
            if near == "right":
                spot, target = (WIDTH - spot[0], spot[1]), (WIDTH - target[0], target[1])
        elif part in ("gap", "rim", "tile"):
            spot, target = _flue(lay, near, part)
        elif part == "brick":
            spot, target = _brick(lay, near)
        else:
            spot = (WIDTH - EDGE, lay.view.y(lay.face_bottom) + 34)
            target = lay.view.x(lay.half * 0.7), lay.view.y(lay.face_bottom) + 9
        found[place] = (spot, target)
    return found


def _beside(lay: Layout, side: str, part: str) -> tuple[Point, Point]:
    """A place of one side of the crown, as it lies on the left."""
    view, deep = lay.view, lay.view.y(lay.top.deep)
    edge, inner = lay.edge(side), flue_side(lay)
    middle = (inner + lay.sound_gap + edge) / 2

    def at(out: float, y: float) -> Point:
        return view.at(-out, y)

    if part == "edge":
        return (EDGE, view.y(lay.top.edge / 2) - 4), at(edge - 0.2, min(1.8, lay.edge_height(side) / 2))
    if part == "joint":
        return (EDGE, view.y(0) + 34), at(lay.half + 0.9, -0.9)
    if part == "wash":
        return (EDGE + 8, deep - 34), at(middle + 0.6, lay.surface(side, middle + 0.6))
    if part == "steel":
        _, end = steel_ends(lay, side)
        return (EDGE + 40, deep - 70), at(end - 0.9, lay.steel_level)
    spot = view.x(-(bearing(lay) + lay.half) / 2), view.y(0) + 53
    return spot, at(inner + lay.cavity / 2, -0.7)


def _flue(lay: Layout, flue: str, part: str) -> tuple[Point, Point]:
    view, deep = lay.view, lay.view.y(lay.top.deep)
    left, right = lay.tiles[flue]
    middle = view.x((left + right) / 2)
    if part == "rim":
        rim = lay.top.deep + lay.top.height(flue)
        return (middle, deep + 14), view.at(left + TILE_WALL / 2, rim - 0.2)
    if part == "tile":
        return (middle, deep + 70), view.at(right - TILE_WALL - 1.0, lay.top.deep - 1.5)
    # Between two flues on the inner side of each; beside a single flue on its right.
    out = max(lay.gap(flue), 0.3) / 2
    if flue == "flue":
        return (view.x(right) + RADIUS + 5, deep - 34), view.at(right + out, lay.top.deep - 0.3)
    face, spot = (right + out, deep - 28) if flue == "flue1" else (left - out, deep - 78)
    return (WIDTH / 2, spot), view.at(face, lay.top.deep - 0.3)


def _brick(lay: Layout, where: str) -> tuple[Point, Point]:
    left, right, high, low = brick(lay, where)
    middle = lay.view.y((high + low) / 2)
    if where == "high":
        return (EDGE, middle), lay.view.at(left + 0.6, low + 0.3)
    if where == "low":
        return (WIDTH - EDGE, middle), lay.view.at(right - 0.6, low + 0.3)
    return (lay.view.x(left - 3), lay.view.y(low - 1.6 * COURSE)), lay.view.at(left + 1.0, low + 0.3)


def ring(sheet: Sheet, lay: Layout, place: str) -> None:
    """A ring round a place, for when its fault is told."""
    sheet.circle("ring", spots(lay)[place][1], 14.0)
