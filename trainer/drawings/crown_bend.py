"""crown.bend: the overhang as a cantilever past the wall, its loads, and the face in tension."""

from __future__ import annotations

from trainer.drawings.dimensions import Note, across, arrow, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line, stones
from trainer.drawings.masonry import BRICK_WALL, COURSE, brickwork
from trainer.drawings.sheet import Sheet, View, points
from trainer.drawings.words import Words
from trainer.languages import Text

COLUMN, LEFT = 220.0, 20.0


def make(words: Words) -> tuple[Sheet, str]:
    over, thick = words.number("overhang"), words.number("edge_thickness")
    back = max(BRICK_WALL, 0.5 * over)
    wall = max(BRICK_WALL, 0.3 * over)
    scale = min(150 / (back + 1.2 + over), 160 / (thick + 2 * COURSE), 22.0)
    view = View(scale, LEFT + scale * (back + 1.2), 0.0)
    sheet = Sheet()
    brickwork(sheet, view, -wall, 0.0, 0.0, 2, "wall")
    break_line(sheet, view.at(-wall, -2 * COURSE), view.at(0, -2 * COURSE), 4)
    outline = [view.at(-back - 1.2, 0), view.at(-back - 1.2, thick), view.at(over, thick), view.at(over, 0)]
    sheet.shape("body", outline, "concrete")
    stones(sheet, outline)
    sheet.line("ink", *outline[1:], outline[0], weight=1.6)
    break_line(sheet, outline[0], outline[1])
    notes = _forces(sheet, view, words, over, thick)
    # The face that is pulled, and how the pull over the wall falls off to a push below.
    sheet.line(
        "accent", view.at(-min(back, over + 1), thick), view.at(over, thick), part="tension", weight=3.0
    )
    _stress(sheet, view, thick)
    line = view.x(over) + 14
    upright(sheet, view.y(thick), view.y(0), line, view.x(over))
    notes.append(Note((line, view.y(thick / 2)), words.say("edge_thickness"), dot=False))
    if over:
        level = view.y(-COURSE)
        across(sheet, view.x(0), view.x(over), level, (None, view.y(0)))
        notes.append(Note((view.x(over), level), words.say("overhang"), dot=False))
    notes.append(Note(view.at(-wall * 0.4, thick), words.say("stress")))
    notes.sort(key=lambda note: (note.target[1], -note.target[0]))
    foot = max(column(sheet, notes, COLUMN, view.y(thick) - 46), view.y(-2 * COURSE) + 6)
    remarks(sheet, [words.say("moment"), words.say("rupture"), words.say("ratio")], foot)
    return sheet, _describe(words)


def _forces(sheet: Sheet, view: View, words: Words, over: float, thick: float) -> list[Note]:
    """The overhang's own weight at its middle, and the load on its edge."""
    notes = []
    if over:
        x, y = view.at(over / 2, thick / 2)
        arrow(sheet, (x, y - 4), (x, view.y(0) + 16))
        notes.append(Note((x, view.y(0) + 8), words.say("strip_weight"), dot=False))
    if words.values["edge_load"]:
        x, y = view.at(over, thick)
        arrow(sheet, (x, y - 34), (x, y - 2), "accent")
        notes.append(Note((x, y - 24), words.say("edge_load"), dot=False))
    return notes


def _stress(sheet: Sheet, view: View, thick: float) -> None:
    """Pull above and push below the middle, over the wall's outer face."""
    x, reach = view.x(0), 13.0
    top, bottom, middle = view.y(thick), view.y(0), view.y(thick / 2)
    sheet.path("fine", points([(x, top), (x + reach, top), (x - reach, bottom), (x, bottom)]) + "Z", "stress")
    sheet.path("fine", points([(x, middle), (x, middle)]))


def _describe(words: Words) -> str:
    sizes = words.list(
        "overhang", "edge_thickness", "strip_weight", "edge_load", "moment", "stress", "rupture", "ratio"
    )
    return words.text(
        f"The crown's edge reaching out past the wall, cut upright, to scale. Its weight and the load bend it down, so "
        f"that its top is pulled and its underside pressed: {sizes}.",
        f"La orilla de la corona que sale del muro, en corte vertical, a escala. Su peso y la carga la doblan hacia "
        f"abajo: la cara de arriba se jala y la de abajo se aprieta: {sizes}.",
    )


FIGURES = (Figure("crown.bend", "crown.bend", Text(en="Overhang, bending", es="Saliente, flexión"), make),)
