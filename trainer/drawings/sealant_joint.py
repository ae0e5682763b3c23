"""sealant.joint: a joint cut across, the backer rod pressed into it and the bead over the rod; beside it the rod as it
is bought."""

from __future__ import annotations

from typing import Final

from trainer.drawings.dimensions import Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line, slanted, stones
from trainer.drawings.sheet import Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

COLUMN: Final = 222.0
MIDDLE: Final = 82.0
HOLLOW: Final = 0.12  # of the joint's width: how far the tooled face dips, as drawn


def make(words: Words) -> tuple[Sheet, str]:
    width, rod, depth = (words.number(name) for name in ("joint_width", "rod", "bead_depth"))
    dip, pressed = HOLLOW * width, rod  # foam gives way sideways and stays as high as it is
    deep = dip + depth + pressed + 0.35 * width
    side = max(width * 0.9, 0.35)
    scale = min(130 / (width + 2 * side), 170 / deep)
    view = View(scale, MIDDLE, 0.0)
    half = width / 2
    sheet = Sheet()
    for sign, look in ((-1, "clay"), (1, "concrete")):
        inner, outer = sign * half, sign * (half + side)
        outline = [view.at(inner, 0), view.at(outer, 0), view.at(outer, -deep), view.at(inner, -deep)]
        sheet.shape(look, outline, "face" if sign > 0 else "")
        (slanted if sign < 0 else stones)(sheet, outline)
        break_line(sheet, view.at(outer, 0), view.at(outer, -deep))
    sheet.rect("void", view.at(-half, 0), view.at(half, -deep), "joint")
    top = -dip - depth
    radius = number(scale * half), number(scale * pressed / 2)
    (x1, y1), (x2, y2) = view.at(-half, top - pressed / 2), view.at(half, top - pressed / 2)
    _bead(sheet, view, (half, dip, depth, pressed))
    arc = f"A{radius[0]} {radius[1]} 0 0 1"
    sheet.path(
        "void",
        f"M{number(x1)} {number(y1)}{arc} {number(x2)} {number(y2)}{arc} {number(x1)} {number(y1)}Z",
        "pressed-rod",
    )
    foot = view.y(-deep)
    across(sheet, view.x(-half), view.x(half), -16.0, 0.0)
    line = view.x(half + side) + 16
    upright(sheet, view.y(-dip), view.y(top), line, (view.x(0), view.x(0)))
    size = scale * rod / 2
    centre = (MIDDLE, foot + 16 + size)
    sheet.circle("void", centre, size, "rod")
    across(sheet, MIDDLE - size, MIDDLE + size, centre[1] + size + 14, centre[1])
    notes = [
        Note((view.x(half), -16.0), words.say("joint_width"), dot=False),
        Note((line, view.y(-dip - depth / 2)), words.say("bead_depth"), dot=False),
        Note(
            view.at(half * 0.4, top - pressed * 0.5),
            words.text("rod pressed in: no bond to it", "cordón apretado: ahí no se pega"),
        ),
        Note(
            (MIDDLE + size, centre[1] + size + 14),
            words.say("rod") + words.text(", as bought", ", como se compra"),
            dot=False,
        ),
    ]
    low = max(column(sheet, notes, COLUMN, -34.0), centre[1] + size + 20)
    remarks(sheet, _remarks(words), low)
    return sheet, _describe(words)


def _bead(sheet: Sheet, view: View, sizes: tuple[float, float, float, float]) -> None:
    """The sealant: dipped on top, hollow below over the rod, bonded to both sides."""
    half, dip, depth, pressed = sizes
    left, right = view.x(-half), view.x(half)
    low = view.y(-dip - depth - pressed / 2)
    wide, tall = number(view.scale * half), number(view.scale * pressed / 2)
    control = number(view.y(-2 * dip))
    data = (
        f"M{number(left)} {number(view.y(0))}Q{number((left + right) / 2)} {control} {number(right)} {number(view.y(0))}"
        f"V{number(low)}A{wide} {tall} 0 0 0 {number(left)} {number(low)}Z"
    )
    sheet.path("accent", data, "bead", weight=0.6)


def _remarks(words: Words) -> list[str]:
    if not words.may_say("rod_in_range") or not words.may_say("rod"):
        return []
    if words.values["rod_in_range"]:
        return [words.text("rod 25 to 50 % over the joint", "cordón de 25 a 50 % mayor que la junta")]
    return [
        words.text("this rod is more than 50 % over the joint", "este cordón pasa de 50 % mayor que la junta")
    ]


def _describe(words: Words) -> str:
    sizes = words.list("joint_width", "rod", "bead_depth")
    return words.text(
        f"A sealant joint cut across, to scale: tile on the left, concrete on the right, a backer rod pressed between "
        f"them and the sealant over it, bonded to the two sides only: {sizes}.",
        f"Una junta con sellador en corte, a escala: tubo a la izquierda, concreto a la derecha, el cordón de respaldo "
        f"apretado entre ellos y el sellador encima, pegado solo a los dos lados: {sizes}.",
    )


FIGURES = (Figure("sealant.joint", "sealant.rod", Text(en="Sealant joint", es="Junta con sellador"), make),)
