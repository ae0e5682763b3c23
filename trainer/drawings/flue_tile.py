"""flue.opening and flue.tile: a flue tile cut across, and the tile from the side; fireplace.flue: a fireplace opening and
its flue, side by side at one scale."""

from __future__ import annotations

import math

from trainer.drawings.crown import tile_size
from trainer.drawings.dimensions import BELOW, ROW, Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.masonry import TILE_WALL
from trainer.drawings.sheet import Sheet, View
from trainer.drawings.words import Words
from trainer.languages import Text

COLUMN = 214.0
LEFT = 62.0


def _ring(sheet: Sheet, view: View, outer: tuple[float, float], wall: float, round_tile: bool) -> None:
    """A tile cut across, its lower left corner at the view's origin."""
    long, wide = outer
    if round_tile:
        centre = view.at(long / 2, wide / 2)
        sheet.circle("clay", centre, view.scale * long / 2, "outside")
        sheet.circle("void", centre, view.scale * (long / 2 - wall), "opening")
    else:
        sheet.rect("clay", view.at(0, 0), view.at(long, wide), "outside")
        sheet.rect("void", view.at(wall, wall), view.at(long - wall, wide - wall), "opening")


def make_opening(words: Words) -> tuple[Sheet, str]:
    flue = words.values["nominal"] or words.values["inside"]
    inner = words.number("inside_length"), words.number("inside_width")
    known = words.values.get("wall") is not None
    wall = words.number("wall") if known else min(TILE_WALL, min(inner) / 6)
    outer = inner[0] + 2 * wall, inner[1] + 2 * wall
    view = View(132 / max(outer), LEFT, 0.0)
    sheet = Sheet()
    _ring(sheet, view, outer, wall, flue.shape == "round")
    inside = words.text("inside", "interior")
    across(
        sheet,
        view.x(wall),
        view.x(wall + inner[0]),
        ROW,
        view.y(wall),
        f"{inside} {words.value('inside_length')}",
        True,
    )
    upright(
        sheet,
        view.y(wall + inner[1]),
        view.y(wall),
        LEFT - 14,
        view.x(wall),
        (inside, words.value("inside_width")),
    )
    notes = [Note(view.at(outer[0] * 0.6, outer[1] / 2), words.say("area"))]
    if known:
        notes.append(Note(view.at(outer[0] - wall / 2, outer[1] * 0.3), words.say("wall")))
    foot = max(column(sheet, notes, COLUMN, view.y(outer[1])), ROW + BELOW)
    size = words.text("called ", "se llama ") + tile_size(words, flue)
    remarks(
        sheet, [*([size] if words.may_say("nominal") else []), words.say("aspect_ratio"), _kind(words)], foot
    )
    sizes = words.list("inside_length", "inside_width", *(["wall"] if known else []), "area", "aspect_ratio")
    return sheet, words.text(
        f"A flue tile cut across, to scale, with its opening: {sizes}.",
        f"Un tubo de arcilla cortado a través, a escala, con su hueco: {sizes}.",
    )


def _kind(words: Words) -> str:
    return (
        words.text("square corners, not the code's net area", "esquinas vivas, no el área neta del código")
        if ((words.values["nominal"] or words.values["inside"]).shape == "rectangular")
        else words.text("a circle", "un círculo")
    )


def make_tile(words: Words) -> tuple[Sheet, str]:
    tile, wall, long = words.values["outside"], words.number("wall"), words.number("length")
    view = View(min(110 / (tile.length), 190 / (tile.width + long), 8.0), LEFT, 0.0)
    sheet = Sheet()
    sheet.rect("clay", view.at(0, long), view.at(tile.length, 0), "side")
    upright(sheet, view.y(long), 0.0, LEFT - 14, LEFT, words.lines("length"))
    top = view.scale * tile.width + 24
    lower = View(view.scale, LEFT, top)
    _ring(sheet, lower, (tile.length, tile.width), wall, tile.shape == "round")
    notes = [
        Note(view.at(tile.length * 0.6, long * 0.6), words.say("weight")),
        Note(lower.at(tile.length - wall / 2, tile.width * 0.35), words.say("wall")),
    ]
    foot = max(column(sheet, notes, COLUMN - 14, view.y(long)), top + 4)
    size = f"{words.name('outside')} {tile_size(words, tile)}"
    clay = words.text("clay ", "barro ") + words.value("volume")
    remarks(sheet, [*([size] if words.may_say("outside") else []), clay], foot)
    sizes = words.list("wall", "length", "weight")
    said = tile_size(words, tile) if words.may_say("outside") else words.unsaid
    return sheet, words.text(
        f"A flue tile from the side and cut across, to scale: tile {said}; {sizes}.",
        f"Un tubo de arcilla de lado y cortado a través, a escala: tubo {said}; {sizes}.",
    )


def make_fireplace(words: Words) -> tuple[Sheet, str]:
    width, height = words.number("opening_width"), words.number("opening_height")
    told = words.may_say("required_area") and words.may_say("adequate")
    shape = words.values["shape"]
    flue, needed = (_sides(words, words.number(name)) for name in ("area", "required_area"))
    widest = max(flue[0], needed[0])
    scale = min(190 / (width + widest), 150 / max(height, flue[1], needed[1]))
    view = View(scale, LEFT, 0.0)
    sheet = Sheet()
    sheet.rect("void", view.at(0, height), view.at(width, 0), "opening")
    sheet.line("ink", (LEFT - 8, 0.0), (LEFT + scale * width + 8, 0.0), weight=2.2)
    across(sheet, LEFT, view.x(width), ROW, 0.0)
    upright(sheet, view.y(height), 0.0, LEFT - 16, LEFT, words.lines("opening_height"))
    middle = (LEFT + scale * (width + widest / 2) + 22, -scale * max(flue[1], needed[1]) / 2)
    outlines = [("void", "flue", flue, ""), *([("ink", "needed", needed, "5 3")] if told else [])]
    for look, part, sides, dash in outlines:
        half = scale * sides[0] / 2, scale * sides[1] / 2
        if shape == "round":
            sheet.circle(look, middle, half[0], part, dash)
        else:
            one, other = (
                (middle[0] - half[0], middle[1] - half[1]),
                (middle[0] + half[0], middle[1] + half[1]),
            )
            sheet.rect(look, one, other, part, dash)
    foot = remarks(sheet, [words.say("opening_width"), words.say("opening_height")], ROW + 2)
    flue_said = words.text("flue has ", "el conducto tiene ") + words.value("area")
    needs = words.text("needs ", "necesita ") + words.value("required_area")
    foot = remarks(sheet, [flue_said, needs, _enough(words)], foot)
    remarks(sheet, [words.text("The adopted code governs.", "Manda el código local.")], foot)
    sizes = words.list("opening_width", "opening_height")
    said = "; ".join(each.replace("?", words.unsaid) for each in (flue_said, needs, _enough(words)))
    return sheet, words.text(
        f"A fireplace opening and the section of its flue side by side, to one scale: {sizes}; {said}.",
        f"La boca de un hogar y la sección de su conducto lado a lado, a la misma escala: {sizes}; {said}.",
    )


def _sides(words: Words, area: float) -> tuple[float, float]:
    """Width and height of a flue of this area in the calculation's shape."""
    if words.values["shape"] == "round":
        return 2 * math.sqrt(area / math.pi), 2 * math.sqrt(area / math.pi)
    ratio = words.values["aspect_ratio"] or 1.0 if words.values["shape"] == "rectangular" else 1.0
    return math.sqrt(area * ratio), math.sqrt(area / ratio)


def _enough(words: Words) -> str:
    if not words.may_say("adequate"):
        return words.text("large enough ?", "alcanza ?")
    enough = words.values["adequate"]
    return words.text("large enough", "alcanza") if enough else words.text("too small", "no alcanza")


FIGURES = (
    Figure("flue.opening", "flue.area", Text(en="Flue opening", es="Hueco del tubo"), make_opening),
    Figure("flue.tile", "flue.weight", Text(en="Flue tile", es="Tubo de arcilla"), make_tile),
    Figure(
        "fireplace.flue",
        "flue.fireplace",
        Text(en="Fireplace and flue", es="Hogar y conducto"),
        make_fireplace,
    ),
)
