"""crown.plan: the crown from above, the chimney dashed below it, its flues and their gaps."""

from __future__ import annotations

from trainer.drawings.crown import flue_remarks, flue_size, openings
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
from trainer.drawings.masonry import TILE_WALL
from trainer.drawings.sheet import FONT, WIDTH, Point, Sheet, View, text_width
from trainer.drawings.words import Words
from trainer.languages import Text


def make(words: Words) -> tuple[Sheet, str]:
    length, width = words.number("slab_length"), words.number("slab_width")
    view = View(min(248 / length, 200 / width), WIDTH / 2, 0.0)
    sheet = Sheet()
    _slab(sheet, view, words)
    for place, _ in enumerate(words.values["flue"]):
        _flue(sheet, view, words, place)
    bottom = _dimensions(sheet, view, words)
    remarks(sheet, flue_remarks(words), bottom + 4)
    return sheet, _describe(words)


def _slab(sheet: Sheet, view: View, words: Words) -> None:
    half_length, half_width = words.number("slab_length") / 2, words.number("slab_width") / 2
    sheet.rect("concrete", view.at(-half_length, half_width), view.at(half_length, -half_width), "slab")
    half = (words.number("chimney_length") / 2, words.number("chimney_width") / 2)
    sheet.rect("fine", view.at(-half[0], half[1]), view.at(half[0], -half[1]), "chimney", dash="5 3")
    crest_x, crest_y = words.number("crest_length") / 2, words.number("crest_width") / 2
    if not crest_x or words.number("flue_thickness") <= words.number("edge_thickness"):
        return
    sheet.rect("fine", view.at(-crest_x, crest_y), view.at(crest_x, -crest_y), "crest")
    for x, y in ((1, 1), (1, -1), (-1, -1), (-1, 1)):
        sheet.line("fine", view.at(x * half_length, y * half_width), view.at(x * crest_x, y * crest_y))
    # The way the water runs, where there is room to show it.
    for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        crest, edge = (crest_x, half_length) if x else (crest_y, half_width)
        if view.scale * (edge - crest) >= 17:
            inner, outer = crest + (edge - crest) * 0.2, crest + (edge - crest) * 0.8
            arrow(sheet, view.at(x * inner, y * inner), view.at(x * outer, y * outer))


def _flue(sheet: Sheet, view: View, words: Words, place: int) -> None:
    flue, opening, gap = words.values["flue"][place], openings(words)[place], words.number("bond_gap")
    centre = view.at(opening.x, opening.y)
    wall = min(TILE_WALL, flue.length / 6, flue.width / 6)
    for look, part, grow in (("void", "opening", gap), ("clay", "flue", 0.0), ("void", "", -wall)):
        if flue.shape == "round":
            sheet.circle(look, centre, view.scale * (flue.length / 2 + grow), part)
        else:
            half: Point = (flue.length / 2 + grow, flue.width / 2 + grow)
            sheet.rect(
                look,
                view.at(opening.x - half[0], opening.y + half[1]),
                view.at(opening.x + half[0], opening.y - half[1]),
                part,
            )
    if len(words.values["flue"]) > 1 and view.scale * min(flue.length, flue.width) >= FONT + 4:
        sheet.write(centre[0], centre[1] + 0.36 * FONT, str(place + 1), "middle")


def _dimensions(sheet: Sheet, view: View, words: Words) -> float:
    """Dimension lines round the plan; returns the page height below them."""
    half_length, half_width = words.number("slab_length") / 2, words.number("slab_width") / 2
    wall_x, wall_y = words.number("chimney_length") / 2, words.number("chimney_width") / 2
    top, bottom = view.y(half_width), view.y(-half_width)
    left, right = view.x(-half_length), view.x(half_length)
    across(sheet, left, right, top - 16, top, words.say("slab_length"))
    upright(sheet, top, bottom, left - 14, left, words.lines("slab_width"))
    upright(
        sheet, view.y(wall_y), view.y(-wall_y), right + 14, right, words.lines("chimney_width"), after=True
    )
    chain, said = bottom + ROW, words.say("chimney_length")
    inner, outer = (view.x(-wall_x), view.x(wall_x)), (left, right)
    below = not fits(said, *inner)
    across(sheet, *inner, chain, bottom, said, below)
    foot = clear_of_turned(sheet, chain + (17 + BELOW if below else 17))
    if words.number("overhang"):
        text = words.say("overhang") + words.text(", all round", ", en todo el borde")
        clear = WIDTH / 2 + text_width(said) / 2 + 6 if below else 0.0
        pair(sheet, inner, outer, chain, bottom, foot, text, clear)
    return foot


def _describe(words: Words) -> str:
    count = len(words.values["flue"])
    sizes = (
        ", ".join(flue_size(words, place) for place in range(count))
        if words.may_say("flue")
        else words.unsaid
    )
    flues = words.text(
        {0: "It has no flue.", 1: "One flue in the middle: "}.get(count, f"{count} flues in a row: "),
        {0: "No tiene tubo.", 1: "Un tubo al centro: "}.get(count, f"{count} tubos en fila: "),
    )
    if count:
        gaps = ("bond_gap", "flue_spacing") if count > 1 else ("bond_gap",)
        flues += f"{sizes}; {words.list(*gaps)}."
    sizes = words.list("slab_length", "slab_width", "chimney_length", "chimney_width", "overhang")
    return words.text(
        f"The crown from above, to scale, with the chimney dashed below it: {sizes}. {flues}",
        f"La corona vista desde arriba, a escala, con la chimenea en línea cortada debajo: {sizes}. {flues}",
    )


FIGURES = (Figure("crown.plan", "crown.slab", Text(en="Crown, plan", es="Corona, planta"), make),)
