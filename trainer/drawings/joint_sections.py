"""sealant.bead: a plain bead cut across; mortar.depth: a joint raked out, cut across."""

from __future__ import annotations

from trainer.drawings.dimensions import Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line, slanted
from trainer.drawings.sheet import Sheet, View
from trainer.drawings.words import Words
from trainer.languages import Text

COLUMN, MIDDLE, LEFT = 214.0, 96.0, 30.0


def make_bead(words: Words) -> tuple[Sheet, str]:
    width, depth = words.number("width"), words.number("depth")
    side = max(0.5 * width, 0.3 * depth)
    deep = depth * 1.4
    scale = min(130 / (width + 2 * side), 140 / deep)
    view = View(scale, MIDDLE, 0.0)
    sheet = Sheet()
    for sign in (-1, 1):
        inner, outer = sign * width / 2, sign * (width / 2 + side)
        outline = [view.at(inner, 0), view.at(outer, 0), view.at(outer, -deep), view.at(inner, -deep)]
        sheet.shape("clay", outline)
        slanted(sheet, outline)
        break_line(sheet, outline[1], outline[2])
    sheet.rect("void", view.at(-width / 2, 0), view.at(width / 2, -deep))
    sheet.rect("accent", view.at(-width / 2, 0), view.at(width / 2, -depth), "bead", weight=0.6)
    across(sheet, view.x(-width / 2), view.x(width / 2), -16.0, 0.0)
    line = view.x(width / 2 + side) + 16
    upright(sheet, 0.0, view.y(-depth), line, view.x(width / 2 + side))
    notes = [
        Note((view.x(width / 2), -16.0), words.say("width"), dot=False),
        Note((line, view.y(-depth / 2)), words.say("depth"), dot=False),
    ]
    foot = max(column(sheet, notes, COLUMN, -30.0), view.y(-deep))
    said = [words.say(name) for name in ("length", "length_per_cartridge", "cartridges")]
    remarks(sheet, said, foot + 2)
    sizes = words.list("width", "depth", "length", "length_per_cartridge", "cartridges")
    return sheet, words.text(
        f"A bead of sealant in its joint, cut across, to scale: {sizes}.",
        f"El sellador en su junta, en corte, a escala: {sizes}.",
    )


def make_depth(words: Words) -> tuple[Sheet, str]:
    width, depth = words.number("joint_width"), words.number("depth_filled")
    low, high = words.number("depth_low"), words.number("depth_high")
    back = max(depth, high) * 1.3
    brick = max(width * 1.6, back * 0.3)
    scale = min(150 / back, 120 / (width + 2 * brick))
    view = View(scale, LEFT, 0.0)
    sheet = Sheet()
    for sign in (-1, 1):
        inner, outer = sign * width / 2, sign * (width / 2 + brick)
        outline = [view.at(0, inner), view.at(back, inner), view.at(back, outer), view.at(0, outer)]
        sheet.shape("brick", outline)
        slanted(sheet, outline)
        break_line(sheet, view.at(0, outer), view.at(back, outer))
    sheet.rect("concrete", view.at(depth, width / 2), view.at(back, -width / 2), "old-mortar")
    sheet.rect("void", view.at(0, width / 2), view.at(depth, -width / 2), "raked")
    upper, lower = view.y(width / 2 + brick), view.y(-width / 2 - brick)
    line = upper - 16
    across(sheet, view.x(0), view.x(depth), line, (upper, view.y(width / 2)))
    notes = [Note((view.x(depth), line), _depth(words), dot=False)]
    for name, place in (("depth_low", low), ("depth_high", high)):
        if words.may_say(name):
            sheet.line(
                "accent", view.at(place, width), view.at(place, -width), part=name, dash="3 2", weight=1.4
            )
    right = view.x(back) + 16
    upright(sheet, view.y(width / 2), view.y(-width / 2), right, view.x(back))
    notes.append(Note((right, 0.0), words.say("joint_width"), dot=False))
    foot = max(column(sheet, notes, COLUMN, line - 8), lower + 4)
    remarks(sheet, [words.say("depth_low"), words.say("depth_high"), *words.given("joint_length")], foot)
    sizes = words.list("joint_width", "depth_low", "depth_high")
    return sheet, words.text(
        f"A mortar joint raked out between two bricks, cut across, to scale: {_depth(words).replace('?', words.unsaid)}; {sizes}.",
        f"Una junta de mortero vaciada entre dos ladrillos, en corte, a escala: {_depth(words).replace('?', words.unsaid)}; {sizes}.",
    )


def _depth(words: Words) -> str:
    """As given, or as the rule of thumb makes it."""
    name = "depth" if words.values["depth"] is not None else "depth_filled"
    return f"{words.name('depth')} {words.value(name)}"


FIGURES = (
    Figure("sealant.bead", "sealant.bead", Text(en="Sealant bead", es="Cordón de sellador"), make_bead),
    Figure("mortar.depth", "mortar.repoint", Text(en="Raked joint", es="Junta vaciada"), make_depth),
)
