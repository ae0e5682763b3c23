"""Hatches for cut material, as plain lines: slanted for brick, stones and sand for concrete, a zigzag for a break."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trainer.drawings.sheet import Point, Sheet, points


def slanted(sheet: Sheet, *outlines: Sequence[Point], apart: float = 3.6) -> None:
    """Lines at 45° across closed outlines, `apart` page units from each other."""
    strokes = "".join(_slanted(outline, apart) for outline in outlines)
    if strokes:
        sheet.path("hatch", strokes)


def _slanted(outline: Sequence[Point], apart: float) -> str:
    step = apart * math.sqrt(2)
    sums = [x + y for x, y in outline]
    strokes = []
    # Multiples of the step, so that neighbouring pieces carry one continuous hatch.
    for count in range(math.ceil(min(sums) / step), math.floor(max(sums) / step) + 1):
        crossings = _crossings(outline, count * step)
        strokes += [
            f"M{x1:.1f} {y1:.1f}l{x2 - x1:.1f} {x1 - x2:.1f}"
            for (x1, y1), (x2, _) in zip(crossings[::2], crossings[1::2], strict=False)
        ]
    return "".join(strokes)


def _crossings(outline: Sequence[Point], level: float) -> list[Point]:
    """Where the line x + y = level crosses the outline, from left to right."""
    found = []
    for (x1, y1), (x2, y2) in zip(outline, [*outline[1:], outline[0]], strict=True):
        one, other = x1 + y1 - level, x2 + y2 - level
        if (one < 0) != (other < 0):
            share = one / (one - other)
            found.append((x1 + share * (x2 - x1), y1 + share * (y2 - y1)))
    return sorted(found)


def _inside(outline: Sequence[Point], x: float, y: float) -> bool:
    inside = False
    for (x1, y1), (x2, y2) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (y1 < y) != (y2 < y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


def stones(sheet: Sheet, *outlines: Sequence[Point], apart: float = 11.0) -> None:
    """Small stones and grains of sand strewn over closed outlines, always the same for the same outline."""
    marks = "".join(_stones(outline, apart) for outline in outlines)
    if marks:
        sheet.path("hatch", marks)


def _stones(outline: Sequence[Point], apart: float) -> str:
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    top, bottom = min(y for _, y in outline), max(y for _, y in outline)
    marks, seed = [], 7
    for row in range(int((bottom - top) / apart * 1.5) + 1):
        for column in range(int((right - left) / apart) + 1):
            seed = (seed * 1103515245 + 12345) % 2**31
            x = left + (column + 0.15 + 0.7 * (seed >> 8 & 255) / 255) * apart
            y = top + (row + 0.15 + 0.7 * (seed >> 16 & 255) / 255) * apart / 1.5
            # Clear of the outline on all sides, so that no mark touches a line.
            if not all(_inside(outline, x + dx, y + dy) for dx, dy in ((-3, 0), (3, 0), (0, -3), (0, 3))):
                continue
            if (seed >> 4) % 3 == 0:
                size = 1.6 + (seed >> 12 & 3) * 0.35
                marks.append(
                    f"M{x - size:.1f} {y + size * 0.7:.1f}l{2 * size:.1f} -.3l{-size:.1f} {-1.5 * size:.1f}z"
                )
            else:
                marks.append(f"M{x:.1f} {y:.1f}h.8")
    return "".join(marks)


def break_line(sheet: Sheet, start: Point, end: Point, reach: float = 4.0) -> None:
    """A straight line with one zigzag in the middle: the thing goes on beyond it. `reach` past both ends."""
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)

    def place(run: float, aside: float) -> Point:
        return start[0] + along[0] * run - along[1] * aside, start[1] + along[1] * run + along[0] * aside

    middle = length / 2
    corners = [
        place(-reach, 0),
        place(middle - 4, 0),
        place(middle - 1.5, -5),
        place(middle + 1.5, 5),
        place(middle + 4, 0),
        place(length + reach, 0),
    ]
    sheet.reach(*(y for _, y in corners))
    sheet.path("fine", points(corners))
