"""roof.protection: the slope laid flat, the chimney taken out, the sheets as they are laid.

The number of sheets is an answer: while it may not be said, one sheet only is drawn.
"""

from __future__ import annotations

import math
from typing import Final

from trainer.drawings.dimensions import (
    BELOW,
    ROW,
    across,
    arrow,
    clear_of_turned,
    fits,
    pair,
    remarks,
    upright,
)
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import WIDTH, Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

SMALLEST: Final = 10.0  # page units: sheets smaller than that are not drawn one by one


def make(words: Words) -> tuple[Sheet, str]:
    margin, slope = words.number("margin"), words.number("slope_factor")
    length, width = words.number("chimney_length"), words.number("chimney_width") * slope
    across_all, up_all = length + 2 * margin, width + 2 * margin * slope
    view = View(min(232 / across_all, 210 / up_all), WIDTH / 2, 0.0)
    sheet = Sheet()
    half = across_all / 2, up_all / 2
    sheet.rect("clay", view.at(-half[0], half[1]), view.at(half[0], -half[1]), "covered")
    _sheets(sheet, view, words, half)
    sheet.rect("void", view.at(-length / 2, width / 2), view.at(length / 2, -width / 2), "chimney")
    hole = view.at(-length / 2, width / 2), view.at(length / 2, -width / 2)
    (x1, y1), (x2, y2) = hole
    sheet.path(
        "fine",
        f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}M{number(x1)} {number(y2)}L{number(x2)} {number(y1)}",
    )
    foot = _dimensions(sheet, view, words, half, length)
    remarks(sheet, _remarks(words), foot + 4)
    return sheet, _describe(words)


def _sheets(sheet: Sheet, view: View, words: Words, half: tuple[float, float]) -> None:
    """The edges between sheets, rows from the lower left; broken by half a sheet from row to row as on any cover."""
    long, wide = (
        max(words.values["sheet"].numbers().values()) * 12,
        min(words.values["sheet"].numbers().values()) * 12,
    )
    if not words.may_say("sheets") or view.scale * wide < SMALLEST:
        corner = view.at(-half[0], -half[1])
        far = view.at(min(half[0], -half[0] + long), min(half[1], -half[1] + wide))
        sheet.rect("fine", corner, far)
        return
    data = ""
    for row in range(math.ceil(2 * half[1] / wide)):
        low, high = -half[1] + row * wide, min(-half[1] + (row + 1) * wide, half[1])
        if row:
            data += f"M{number(view.x(-half[0]))} {number(view.y(low))}H{number(view.x(half[0]))}"
        x = -half[0] + (long / 2 if row % 2 else long)
        while x < half[0] - 1e-9:
            data += f"M{number(view.x(x))} {number(view.y(low))}V{number(view.y(high))}"
            x += long
    sheet.path("hatch", data or "M0 0", "", weight=1.0)


def _dimensions(sheet: Sheet, view: View, words: Words, half: tuple[float, float], length: float) -> float:
    top, bottom, left, right = view.y(half[1]), view.y(-half[1]), view.x(-half[0]), view.x(half[0])
    inner, outer = (view.x(-length / 2), view.x(length / 2)), (left, right)
    said = words.say("chimney_length")
    chain = bottom + ROW
    below = not fits(said, *inner)
    across(sheet, *inner, chain, bottom, said, below)
    foot = clear_of_turned(sheet, chain + (17 + BELOW if below else 17))
    clear = WIDTH / 2 + len(said) * 3.6 + 12 if below else 0.0
    pair(sheet, inner, outer, chain, bottom, foot, words.say("margin"), clear)
    # Up the slope, level sizes are longer by the slope factor.
    wide = words.number("chimney_width") * words.number("slope_factor")
    shown = (
        words.write(wide, "in") if words.may_say("chimney_width") and words.may_say("slope_factor") else "?"
    )
    upright(
        sheet,
        view.y(wide / 2),
        view.y(-wide / 2),
        right + 14,
        right,
        (words.text("on the slope", "en la pendiente"), shown),
        after=True,
    )
    arrow(sheet, (left - 16, bottom - 8), (left - 16, top + 8))
    sheet.write(
        left - 22, (top + bottom) / 2, words.text("up the slope", "hacia arriba"), "middle", turned=True
    )
    return foot


def _remarks(words: Words) -> list[str]:
    said = words.given("chimney_width")
    if words.may_say("rise"):
        rise = words.write(words.number("rise"), "in")
        said.append(words.text(f"roof rises {rise} in 12 in", f"el techo sube {rise} en 12 in"))
    said += words.given("slope_factor")
    size = words.values["sheet"]
    if words.may_say("sheet"):
        said.append(
            f"{words.name('sheet')} {words.write(size.length, 'ft')} x {words.write(size.width, 'ft')}"
        )
    return [
        *said,
        words.say("area"),
        words.say("sheets") + words.text(", offcuts used", ", con los recortes"),
    ]


def _describe(words: Words) -> str:
    sizes = words.list("chimney_length", "chimney_width", "margin", "rise", "slope_factor", "area", "sheets")
    return words.text(
        f"The part of a roof to cover round a chimney, laid flat, to scale, the chimney left open and the sheets drawn: "
        f"{sizes}.",
        f"La parte del techo que se cubre alrededor de una chimenea, puesta plana, a escala, con el hueco de la chimenea "
        f"y las hojas: {sizes}.",
    )


FIGURES = (
    Figure("roof.protection", "roof.protect", Text(en="Roof protection", es="Protección del techo"), make),
)
