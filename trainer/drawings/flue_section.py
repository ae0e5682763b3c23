"""flue.section: a flue tile above the wall, with the board and the crown round it, and where to cut or how far to add.

Whether to cut or to add is itself an answer, so the cut line and the added piece are drawn only when they may be said.
"""

from __future__ import annotations

from trainer.drawings.dimensions import Note, arrow, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line, stones
from trainer.drawings.masonry import BRICK_WALL, COURSE, board, brickwork, tiles
from trainer.drawings.sheet import Sheet, View
from trainer.drawings.words import Words
from trainer.languages import Text

# Sizes as drawn [in]: half the tile, the gap round it, the opening to the wall's inner face, the overhang.
HALF_TILE, GAP, INNER, OVERHANG, BEARING = 5.0, 0.5, 7.5, 2.0, 1.0
MIDDLE, COLUMN = 120.0, 210.0


def make(words: Words) -> tuple[Sheet, str]:
    flue, board_thick, deep = (
        words.number(name) for name in ("flue_above_wall", "base_thickness", "flue_thickness")
    )
    crown = board_thick + deep
    high = max(flue, crown + words.number("max_projection"))
    face, edge = INNER + BRICK_WALL, INNER + BRICK_WALL + OVERHANG
    scale = min(128 / (2 * edge), 230 / (high + 2 * COURSE))
    view = View(scale, MIDDLE, 0.0)
    sheet = Sheet()
    for left in (-face, INNER):
        brickwork(sheet, view, left, left + BRICK_WALL, 0.0, 2, "wall")
    for side in (-1, 1):
        # The crown comes down to the wall beside the board, which lies on the wall's inner edge.
        inner, bear = HALF_TILE + GAP, INNER + BEARING
        thin = crown - deep * 0.2
        corners = [
            (inner, board_thick),
            (inner, crown),
            (edge, thin),
            (edge, 0.0),
            (bear, 0.0),
            (bear, board_thick),
        ]
        outline = [view.at(side * x, y) for x, y in corners]
        sheet.shape("concrete", outline, "crown")
        stones(sheet, outline)
        if board_thick:
            one, other = sorted((side * inner, side * bear))
            board(sheet, view, one, other, board_thick, board_thick, "board" if side > 0 else "")
    tiles(sheet, view, [(-HALF_TILE, HALF_TILE)], flue, -2 * COURSE)
    break_line(sheet, view.at(-face, -2 * COURSE), view.at(face, -2 * COURSE), 5)
    _work_to_do(sheet, view, words, flue)
    _dimensions(sheet, view, words, crown, edge)
    return sheet, _describe(words)


def _work_to_do(sheet: Sheet, view: View, words: Words, flue: float) -> None:
    """The cut line, or the piece to be added, dashed."""
    cut, added = words.values["cut_down"], words.values["extension"]
    if cut and words.may_say("cut_down"):
        y = view.y(flue - cut)
        sheet.line(
            "accent", (view.x(-HALF_TILE) - 9, y), (view.x(HALF_TILE) + 9, y), part="cut-line", dash="6 3"
        )
        # What goes is crossed out.
        for side in (-1, 1):
            sheet.line("fine", view.at(-side * HALF_TILE, flue), view.at(side * HALF_TILE, flue - cut))
    if added and words.may_say("extension"):
        one, other = view.at(-HALF_TILE, flue + added), view.at(HALF_TILE, flue)
        sheet.rect("ink", one, other, "added", dash="5 3")


def _dimensions(sheet: Sheet, view: View, words: Words, crown: float, edge: float) -> None:
    flue, board_thick = words.number("flue_above_wall"), words.number("base_thickness")
    now, wanted = words.number("projection_now"), words.number("projection")
    side = view.x(HALF_TILE)
    left, line = view.x(-edge) - 14, view.x(edge) + 12
    upright(
        sheet,
        view.y(flue),
        view.y(0),
        left,
        (view.x(-HALF_TILE), view.x(-edge)),
        words.lines("flue_above_wall"),
    )
    notes = []
    if words.values["extension"] and words.may_say("extension"):
        added = words.number("extension")
        upright(sheet, view.y(flue + added), view.y(flue), line, side)
        notes.append(Note((line, view.y(flue + added / 2)), words.say("extension"), dot=False))
    if words.values["cut_down"] and words.may_say("cut_down"):
        removed = words.number("cut_down")
        upright(sheet, view.y(flue), view.y(flue - removed), line - 26, side)
        notes.append(Note((line - 26, view.y(flue - removed / 2)), words.say("cut_down"), dot=False))
    if now > 0:
        upright(sheet, view.y(flue), view.y(crown), line, (side, view.x(edge)))
        notes.append(Note((line, view.y(crown + now / 2)), words.say("projection_now"), dot=False))
    upright(sheet, view.y(crown), view.y(board_thick), line, view.x(edge))
    notes.append(
        Note((line, view.y(board_thick + (crown - board_thick) / 2)), words.say("flue_thickness"), dot=False)
    )
    if board_thick:
        target = view.at(INNER - 0.4, board_thick / 2)
        notes.append(Note(target, words.say("base_thickness")))
    notes.append(Note(view.at(INNER + 2, -1.5 * COURSE), words.text("chimney wall", "muro de la chimenea")))
    notes.sort(key=lambda note: note.target[1])
    foot = column(sheet, notes, COLUMN, view.y(max(flue, crown + wanted)) - 10)
    _wanted(sheet, view, words, crown, foot)


def _wanted(sheet: Sheet, view: View, words: Words, crown: float, foot: float) -> None:
    """The range the flue's top shall lie in, as two fine lines inside the flue with an arrow between them."""
    low, high = crown + words.number("projection"), crown + words.number("max_projection")
    for level in (low, high):
        sheet.line("fine", view.at(-HALF_TILE * 0.8, level), view.at(HALF_TILE * 0.8, level), dash="3 2")
    if view.scale * (high - low) > 16:
        arrow(sheet, view.at(0, (low + high) / 2), view.at(0, high))
        arrow(sheet, view.at(0, (low + high) / 2), view.at(0, low))
    base = view.y(-2 * COURSE) + 24
    sheet.write(MIDDLE, base, words.text("flue tile", "tubo de arcilla"), "middle")
    sheet.line("fine", (MIDDLE, base - 12), view.at(0, -1.3 * COURSE))
    sheet.circle("dim", view.at(0, -1.3 * COURSE), 1.5)
    low_said, high_said = words.value("projection"), words.value("max_projection")
    text = words.text(
        f"flue to stand {low_said} to {high_said} above the crown",
        f"el tubo debe sobresalir de {low_said} a {high_said}",
    )
    remarks(sheet, [text], max(foot, base + 4))


def _describe(words: Words) -> str:
    sizes = words.list(
        *(
            "flue_above_wall",
            "base_thickness",
            "flue_thickness",
            "projection_now",
            "projection",
            "max_projection",
        )
    )
    doing = words.list("cut_down", "extension")
    return words.text(
        f"A flue tile standing above the chimney wall, cut upright, with the board and the crown round it, "
        f"to scale: {sizes}. Work to do: {doing}.",
        f"Un tubo de arcilla sobre el muro de la chimenea, en corte vertical, con la tabla y la corona alrededor, "
        f"a escala: {sizes}. Trabajo: {doing}.",
    )


FIGURES = (Figure("flue.section", "flue.cut", Text(en="Flue, section", es="Tubo, corte"), make),)
