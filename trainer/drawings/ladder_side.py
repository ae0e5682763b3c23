"""ladder.side: a ladder against an eave, seen from the side."""

from __future__ import annotations

import math

from trainer.drawings.dimensions import ROW, Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line
from trainer.drawings.sheet import Point, Sheet, View, number, points
from trainer.drawings.words import Words
from trainer.languages import Text

# As drawn, in page units: the eave's overhang, how much of the house is seen, the fascia's height.
EAVE, HOUSE, FASCIA = 14.0, 66.0, 7.0
SUPPORT, COLUMN = 118.0, 214.0


def make(words: Words) -> tuple[Sheet, str]:
    height, out = words.number("support_height"), words.number("setback")
    above = words.number("extension")
    view = View(min(250 / (height + above), 24.0), SUPPORT, 0.0)
    foot, support = view.at(out, 0), view.at(0, height)
    top = view.at(-out * above / height, height + above)
    sheet = Sheet()
    _house(sheet, support)
    _ground(sheet, foot)
    _ladder(sheet, foot, top)
    _angle(sheet, foot, support)
    _dimensions(sheet, words, foot, support, top)
    return sheet, _describe(words)


def _house(sheet: Sheet, support: Point) -> None:
    """Wall, soffit, fascia and the roof's edge; the ladder bears on the fascia's upper corner."""
    x, y = support
    wall, left = x - EAVE, x - HOUSE
    up = (HOUSE - 4) / 3
    deck = [(x, y), (left, y - up), (left, y - up + 5), (x, y + 5)]
    sheet.shape("void", deck)
    sheet.line("ink", (x, y), (x, y + FASCIA), (wall, y + FASCIA), part="fascia")
    sheet.line("ink", (wall, y + FASCIA), (wall, 0.0), part="wall")
    break_line(sheet, (left, y - up + 2), (left, 0.0))


def _ground(sheet: Sheet, foot: Point) -> None:
    left, right = SUPPORT - HOUSE - 6, foot[0] + 26
    sheet.line("ink", (left, 0.0), (right, 0.0))
    strokes = "".join(f"M{number(left + 9 * each + 6)} 0l-4 4" for each in range(int((right - left) / 9)))
    sheet.path("fine", strokes)


def _ladder(sheet: Sheet, foot: Point, top: Point) -> None:
    """The rail with its rungs' ends and its foot."""
    length = math.dist(foot, top)
    ux, uy = (top[0] - foot[0]) / length, (top[1] - foot[1]) / length
    # The rail's face that bears is the line measured; its depth lies outside.
    sheet.line("steel", foot, top, part="rail", weight=2.6)
    rungs = "".join(
        f"M{number(foot[0] + ux * run + uy * 2.6)} {number(foot[1] + uy * run - ux * 2.6)}l{number(-uy * 5.2)} {number(ux * 5.2)}"
        for run in (12 * each for each in range(1, int(length / 12) + 1))
    )
    sheet.path("fine", rungs, weight=1.2)
    sheet.line("steel", (foot[0] - 4, foot[1]), (foot[0] + 4, foot[1]), weight=2.6)


def _angle(sheet: Sheet, foot: Point, support: Point) -> None:
    radius = min(20.0, 0.6 * (foot[0] - support[0]))
    length = math.dist(foot, support)
    x = foot[0] + radius * (support[0] - foot[0]) / length
    y = foot[1] + radius * (support[1] - foot[1]) / length
    arc = number(radius)
    sheet.path("fine", f"M{number(foot[0] - radius)} 0A{arc} {arc} 0 0 1 {number(x)} {number(y)}")


def _dimensions(sheet: Sheet, words: Words, foot: Point, support: Point, top: Point) -> None:
    left = SUPPORT - HOUSE - 12
    upright(sheet, support[1], 0.0, left, (support[0] - EAVE, left + 8), words.lines("support_height"))
    across(sheet, support[0], foot[0], ROW + 2, (support[1] + FASCIA, 0.0))
    sheet.write(max(foot[0], support[0]) + 12, ROW + 6, words.say("setback"))
    notes = []
    if support[1] - top[1] > 1:
        line = support[0] + 28
        upright(sheet, top[1], support[1], line, (top[0], support[0]))
        rails = f"{words.value('extension')} {words.name('rails_above')}"
        notes.append(Note((line, (top[1] + support[1]) / 2), rails, dot=False))
    notes.append(Note(_aligned(sheet, foot, support), words.say("working_length"), dot=False))
    column(sheet, notes, COLUMN, top[1] - 8)
    remarks(sheet, [words.say("angle"), words.say("rail_length")], ROW + 10)


def _aligned(sheet: Sheet, foot: Point, support: Point, aside: float = 15.0) -> Point:
    """A dimension along the ladder, on its outer side; returns the middle of its line."""
    length = math.dist(foot, support)
    ux, uy = (support[0] - foot[0]) / length, (support[1] - foot[1]) / length
    nx, ny = -uy, ux  # to the right of the ladder, seen upwards
    ends = [(x + nx * aside, y + ny * aside) for x, y in (foot, support)]
    for (x, y), end in zip((foot, support), ends, strict=True):
        sheet.line("fine", (x + nx * 4, y + ny * 4), (end[0] + nx * 3.5, end[1] + ny * 3.5))
    sheet.line("dim", *ends)
    # Ticks at 45° to the line.
    tx, ty = 3 * (ux + nx), 3 * (uy + ny)
    sheet.path("dim", "".join(points([(x - tx, y - ty), (x + tx, y + ty)]) for x, y in ends), weight=1.5)
    return (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2


def _describe(words: Words) -> str:
    rails = f"{words.value('extension') if words.may_say('extension') else words.unsaid} {words.name('rails_above')}"
    sizes = words.list("support_height", "working_length", "setback", "rail_length", "angle")
    return words.text(
        f"A ladder against the eave seen from the side, to scale: {sizes}; rails {rails}.",
        f"Una escalera contra el alero vista de lado, a escala: {sizes}; largueros {rails}.",
    )


FIGURES = (
    Figure("ladder.side", "ladder.set", Text(en="Ladder, side view", es="Escalera, vista lateral"), make),
)
