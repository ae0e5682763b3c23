"""flue.cutline: the tile's faces unrolled with every cut to saw, and the blade against the tile's wall.

Whether the blade reaches through is itself an answer: when it may not be said, the blade is drawn clear of the wall.
"""

from __future__ import annotations

import math
from typing import Final

from trainer.drawings.crown import tile_size
from trainer.drawings.dimensions import Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line, slanted
from trainer.drawings.sheet import WIDTH, Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

UNROLLED, COLUMN, LEFT = 250.0, 190.0, 60.0
KEPT: Final = 0.35  # how much of the tile below the line is seen, as a share of the smaller of cut and 12 in


def make(words: Words) -> tuple[Sheet, str]:
    sheet = Sheet()
    foot = _unrolled(sheet, words)
    foot = _blade(sheet, words, foot + 28)
    size = f"{words.name('outside')} {tile_size(words, words.values['outside'])}"
    remarks(sheet, [*([size] if words.may_say("outside") else []), words.say("cut_length")], foot)
    return sheet, _describe(words)


def faces(words: Words) -> list[float]:
    """Widths of the four faces one after the other [in]: a round tile's are quarters of its turn."""
    tile = words.values["outside"]
    if tile.shape == "round":
        return [math.pi * tile.length / 4] * 4
    return [tile.length, tile.width] * 2


def _unrolled(sheet: Sheet, words: Words) -> float:
    """The four faces side by side, what goes crossed by the corner cuts, the line below; returns the height below."""
    sides, cut = faces(words), words.number("cut_down")
    turn = sum(sides)
    scale = min(UNROLLED / turn, 150 / max(cut, 1.0))
    below = max(26 / scale, min(cut * KEPT, 60 / scale))
    left = (WIDTH + 30) / 2 - scale * turn / 2
    view = View(scale, left, 0.0)
    sheet.rect("clay", view.at(0, cut), view.at(turn, -below), "tile")
    break_line(sheet, view.at(0, -below), view.at(turn, -below), 5)
    corners = [sum(sides[:place]) for place in range(5)]
    for x in corners[1:4]:
        sheet.line("fine", view.at(x, 0), view.at(x, -below))
    if cut:
        sheet.line("accent", view.at(0, 0), view.at(turn, 0), part="cut-line", dash="6 3")
        cuts = "".join(
            f"M{number(view.x(x))} {number(view.y(cut))}L{number(view.x(x))} {number(view.y(0))}"
            for x in corners[:4]
        )
        sheet.path("accent", cuts, "corner-cuts", dash="6 3")
    across(sheet, view.x(0), view.x(turn), view.y(cut) - 16, view.y(cut), words.say("perimeter"))
    upright(sheet, view.y(cut), view.y(0), left - 16, left, words.lines("cut_down"))
    return view.y(-below) + 4


def _blade(sheet: Sheet, words: Words, top: float) -> float:
    """The wall cut upright on the line and the blade against its outer face; returns the page height below."""
    sheet.write(12, top, words.text("The blade at the wall, to scale", "El disco en la pared, a escala"))
    wall, blade, flange = (
        words.number(name) for name in ("wall_thickness", "blade_diameter", "flange_diameter")
    )
    reach = words.number("blade_reach")
    told = words.may_say("reaches_through") and words.may_say("blade_reach")
    inside = reach if told else -0.08 * blade
    wide = blade - inside + max(inside, wall)
    scale = min(134 / wide, 134 / blade)
    view = View(scale, 16 + scale * (blade - inside), top + 14 + scale * blade / 2)
    high = blade / 2
    outline = [view.at(0, high), view.at(wall, high), view.at(wall, -high), view.at(0, -high)]
    sheet.shape("clay", outline, "wall")
    slanted(sheet, outline)
    centre = view.at(inside - blade / 2, 0)
    sheet.circle("ink", centre, scale * blade / 2, "blade")
    sheet.circle("void", centre, scale * flange / 2, "flange")
    sheet.circle("dim", centre, 1.5)
    notes = [
        Note(
            view.at(inside - blade / 2 + blade * 0.35, blade * 0.357), words.say("blade_diameter"), dot=False
        ),
        Note((centre[0], centre[1] - scale * flange / 4), words.say("flange_diameter")),
        Note(view.at(wall / 2, -high * 0.55), words.say("wall_thickness")),
    ]
    if told:
        line = view.y(-high) + 14
        across(sheet, view.x(0), view.x(inside), line, (view.y(-high), centre[1]))
        notes.append(Note((view.x(inside / 2), line), words.say("blade_reach"), dot=False))
    else:
        notes.append(Note(view.at(inside, 0), words.say("blade_reach")))
    notes.append(Note((view.x(wall), view.y(-high)), _through(words), dot=False))
    notes.sort(key=lambda note: note.target[1])
    return max(column(sheet, notes, COLUMN, top + 8), sheet.bottom)


def _through(words: Words) -> str:
    if not words.may_say("reaches_through"):
        return words.text("through the wall ?", "atraviesa la pared ?")
    if words.values["reaches_through"]:
        return words.text("goes through the wall", "atraviesa la pared")
    return words.text("does not go through", "no atraviesa la pared")


def _describe(words: Words) -> str:
    size = tile_size(words, words.values["outside"]) if words.may_say("outside") else words.unsaid
    sizes = words.list(
        "cut_down", "perimeter", "cut_length", "wall_thickness", "blade_diameter", "flange_diameter"
    )
    through = _through(words).replace("?", words.unsaid)
    return words.text(
        f"The outside of a flue tile unrolled, to scale, with the line to cut on and four cuts down the corners to it; "
        f"tile {size}; {sizes}. Beside it the blade at the tile's wall: {words.list('blade_reach')}; {through}.",
        f"El tubo de arcilla desenrollado por fuera, a escala, con la línea de corte y cuatro cortes por las esquinas "
        f"hasta ella; tubo {size}; {sizes}. Al lado, el disco en la pared: {words.list('blade_reach')}; {through}.",
    )


FIGURES = (Figure("flue.cutline", "flue.cutline", Text(en="Cut line", es="Línea de corte"), make),)
