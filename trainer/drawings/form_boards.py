"""form.boards: the form from above, long boards between the ends of the short ones, and both diagonals."""

from __future__ import annotations

from trainer.drawings.dimensions import BELOW, ROW, across, fits, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import WIDTH, Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text


def make(words: Words) -> tuple[Sheet, str]:
    length, width, thick = (words.number(name) for name in ("slab_length", "slab_width", "board_thickness"))
    out_x, out_y = length / 2 + thick, width / 2 + thick
    view = View(min(236 / (2 * out_x), 200 / (2 * out_y)), WIDTH / 2, 0.0)
    sheet = Sheet()
    half = length / 2, width / 2
    sheet.rect("concrete", view.at(-half[0], half[1]), view.at(half[0], -half[1]), "slab")
    corners = [view.at(-half[0], half[1]), view.at(half[0], -half[1])]
    sheet.line("fine", *corners, part="diagonal", dash="6 3")
    sheet.line("fine", view.at(-half[0], -half[1]), view.at(half[0], half[1]), dash="6 3")
    for side in (1, -1):
        _board(sheet, view, (-half[0], side * half[1]), (half[0], side * out_y), "long-board")
        _board(sheet, view, (side * half[0], -out_y), (side * out_x, out_y), "short-board")
    foot = _dimensions(sheet, view, words, (out_x, out_y))
    total = words.text("lumber in all ", "madera en total ") + words.value("total_length")
    remarks(sheet, [words.say("diagonal"), total, *words.given("board", "board_thickness")], foot + 4)
    return sheet, _describe(words)


def _board(sheet: Sheet, view: View, one: tuple[float, float], other: tuple[float, float], part: str) -> None:
    """A board on edge, seen from above, with its grain where there is room for it."""
    sheet.rect("clay", view.at(*one), view.at(*other), part)
    (x1, y1), (x2, y2) = view.at(*one), view.at(*other)
    if min(abs(x2 - x1), abs(y2 - y1)) < 5:
        return
    if abs(x2 - x1) > abs(y2 - y1):
        sheet.path("hatch", f"M{number(x1)} {number((y1 + y2) / 2)}H{number(x2)}")
    else:
        sheet.path("hatch", f"M{number((x1 + x2) / 2)} {number(y1)}V{number(y2)}")


def _dimensions(sheet: Sheet, view: View, words: Words, out: tuple[float, float]) -> float:
    """Slab inside, boards outside; returns the page height below."""
    half = words.number("slab_length") / 2, words.number("slab_width") / 2
    top, bottom, left, right = view.y(out[1]), view.y(-out[1]), view.x(-out[0]), view.x(out[0])
    across(sheet, view.x(-half[0]), view.x(half[0]), top - 16, top, words.say("slab_length"))
    upright(sheet, view.y(half[1]), view.y(-half[1]), left - 14, left, words.lines("slab_width"))
    short = words.text("short board", "tabla corta"), words.value("short_boards")
    upright(sheet, top, bottom, right + 14, right, short, after=True)
    said = words.text("long board", "tabla larga") + f" {words.value('long_boards')}"
    inner = view.x(-half[0]), view.x(half[0])
    below = not fits(said, *inner)
    across(sheet, *inner, bottom + ROW, view.y(-half[1]), said, below)
    return bottom + ROW + (BELOW if below else 4)


def _describe(words: Words) -> str:
    names = (
        *("slab_length", "slab_width", "board", "board_thickness", "long_boards", "short_boards"),
        "diagonal",
    )
    sizes = words.list(*names)
    return words.text(
        f"The form from above, to scale: two long boards and two short ones that lap the long ones' ends, with both "
        f"diagonals of the slab dashed: {sizes}.",
        f"La cimbra vista desde arriba, a escala: dos tablas largas y dos cortas que tapan las puntas de las largas, "
        f"con las dos diagonales de la losa en línea cortada: {sizes}.",
    )


FIGURES = (Figure("form.boards", "form.boards", Text(en="Form, plan", es="Cimbra, planta"), make),)
