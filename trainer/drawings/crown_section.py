"""crown.section: the crown cut upright along its row of flues, and two enlarged details, at the edge and at the flue.

The details carry what is too small to letter on the whole section. Each view has one scale in both axes.
"""

from __future__ import annotations

from trainer.drawings.crown import Cut, cut
from trainer.drawings.dimensions import BELOW, ROW, Note, across, column, fits, pair, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line, stones
from trainer.drawings.masonry import BOARD, COURSE, TILE_WALL, board, brickwork, tiles
from trainer.drawings.sheet import WIDTH, Sheet, View, text_width
from trainer.drawings.words import Words
from trainer.languages import Text

USUAL_PROJECTION = 4.0  # in, as drawn when none is given; never written then
COLUMN = 164.0  # where the details' notes begin


def make(words: Words) -> tuple[Sheet, str]:
    crown = cut(words)
    projection = (
        words.number("projection") if words.values.get("projection") is not None else USUAL_PROJECTION
    )
    sheet = Sheet()
    foot = _whole(sheet, crown, projection, words)
    foot = _edge(sheet, crown, words, foot + 26)
    if crown.openings:
        _at_flue(sheet, crown, projection, words, foot + 24)
    return sheet, _describe(words, crown)


def _whole(sheet: Sheet, crown: Cut, projection: float, words: Words) -> float:
    stand = (projection if crown.openings else 0.0) + crown.deep
    courses = 2 if crown.chimney < 60 else 3
    scale = min(290 / crown.slab, 150 / (stand + courses * COURSE))
    view = View(scale, WIDTH / 2, 0.0)
    bottom = -courses * COURSE
    half = crown.chimney / 2
    for left, right in ((-half, -half + crown.wall), (half - crown.wall, half)):
        brickwork(sheet, view, left, right, 0.0, courses, "wall")
    for (_, left), (right, _) in zip(
        ((0.0, -half + crown.wall), *crown.openings), (*crown.openings, (half - crown.wall, 0.0)), strict=True
    ):
        if crown.openings and right > left:
            board(sheet, view, left, right, 0.0, BOARD)
    starts = [-crown.slab / 2, *(right for _, right in crown.openings)]
    ends = [*(left for left, _ in crown.openings), crown.slab / 2]
    _concrete(sheet, crown, view, list(zip(starts, ends, strict=True)), "concrete")
    flues = [(left + crown.gap, right - crown.gap) for left, right in crown.openings]
    tiles(sheet, view, flues, crown.deep + projection, bottom)
    for side in (-1, 1):
        _bond_break(sheet, crown, view, side)
    break_line(sheet, view.at(-half, bottom), view.at(half, bottom), 6)
    _name_parts(sheet, crown, view, view.y(crown.deep + (projection if crown.openings else 0.0)), words)
    return _widths(sheet, crown, view, view.y(bottom), words)


def _concrete(sheet: Sheet, crown: Cut, view: View, spans: list[tuple[float, float]], part: str) -> None:
    """The cut concrete of each span, from left to right."""
    outlines = [[view.at(x, y) for x, y in crown.concrete(*span)] for span in spans]
    for outline in outlines:
        sheet.shape("concrete", outline, part)
    stones(sheet, *outlines, apart=12.0)


def _piece(
    sheet: Sheet, crown: Cut, view: View, left: float, right: float, part: str, broken_right: bool
) -> None:
    """A piece of the cut concrete in a detail, its outline left open where it is broken off."""
    outline = [view.at(x, y) for x, y in crown.concrete(left, right)]
    sheet.shape("body", outline, part)
    stones(sheet, outline, apart=14.0)
    # The outline begins at the lower left corner and goes up; without a groove it ends at the lower right one.
    drawn = [outline[-1], *outline[:-1]] if broken_right else [*outline[1:], outline[0]]
    sheet.line("ink", *drawn, weight=1.6)


def _bond_break(sheet: Sheet, crown: Cut, view: View, side: int) -> None:
    """On one side (1 right, -1 left): a heavy dashed line along the top of the wall, and the sealant in the corner
    under the overhang."""
    half, drop = crown.chimney / 2, 1.7
    ends = [(view.x(side * x), view.y(0) + drop) for x in (half - crown.wall, half)]
    sheet.line("accent", *ends, dash="5 2.5")
    size = min(0.6, crown.overhang / 2)
    if size:
        corners = [view.at(side * half, 0), view.at(side * (half + size), 0), view.at(side * half, -size)]
        sheet.shape("accent", corners, weight=0.5)


def _name_parts(sheet: Sheet, crown: Cut, view: View, top: float, words: Words) -> None:
    """ "crown" at the left and the fall at the right, above everything."""
    base = min(top - 9, view.y(crown.deep) - 18)
    reach = crown.openings[0][0] if crown.openings else 0.0
    x = (-crown.slab / 2 + reach) / 2
    _pointer(sheet, 12, base, words.text("crown", "corona"), view.at(x, crown.top(x) * 0.6), "start")
    if crown.openings and crown.deep > crown.edge:
        reach = crown.openings[-1][1]
        x = (crown.slab / 2 + reach) / 2
        _pointer(sheet, WIDTH - 12, base, words.say("slope_long"), view.at(x, crown.top(x)), "end")


def _pointer(
    sheet: Sheet, x: float, base: float, text: str, target: tuple[float, float], anchor: str
) -> None:
    label = sheet.write(x, base, text, anchor)
    left, _, right, _ = label.box()
    begin = min(max(target[0], left + 6), right - 6)
    sheet.line("fine", (begin, base + 4), target)
    sheet.circle("dim", target, 1.5)


def _widths(sheet: Sheet, crown: Cut, view: View, bottom: float, words: Words) -> float:
    """Chimney, overhangs and slab along the foot; returns the page height below."""
    side = "length" if words.values["chimney_length"] >= words.values["chimney_width"] else "width"
    half, out = crown.chimney / 2, crown.slab / 2
    inner, outer = (view.x(-half), view.x(half)), (view.x(-out), view.x(out))
    wall, slab = words.say(f"chimney_{side}"), words.say(f"slab_{side}")
    # Lettering too long to stand between the extension lines goes below its line.
    below = not fits(wall, *inner)
    first = bottom + ROW + 2
    across(sheet, *inner, first, bottom + 6, wall, below)
    second = first + ROW + (BELOW if below else 0)
    across(sheet, *outer, second, first + 2, slab, below)
    foot = second + 18 + (BELOW if below else 0)
    if crown.overhang:
        text = words.say("overhang") + words.text(", both sides", ", en ambos lados")
        clear = WIDTH / 2 + max(text_width(wall), text_width(slab)) / 2 + 6 if below else 0.0
        pair(sheet, inner, outer, first, view.y(0), foot, text, clear)
    return foot + 4


def _edge(sheet: Sheet, crown: Cut, words: Words, top: float) -> float:
    """The right-hand edge, enlarged; returns the page height below."""
    sheet.write(12, top, words.text("At the edge, enlarged", "En el borde, ampliado"))
    half, out = crown.chimney / 2, crown.slab / 2
    left = half - crown.wall - min(2.5, (half - crown.wall) / 3)
    high = crown.top(left)
    scale = min(124 / (out - left), 118 / (high + 2 * COURSE))
    view = View(scale, 18 - scale * left, top + 14 + scale * high)
    brickwork(sheet, view, half - crown.wall, half, 0.0, 2, "edge-wall")
    if crown.openings:
        board(sheet, view, left, half - crown.wall, 0.0, BOARD)
    _piece(sheet, crown, view, left, out, "edge-concrete", broken_right=False)
    _bond_break(sheet, crown, view, 1)
    break_line(sheet, view.at(left, 0), view.at(left, high))
    break_line(sheet, view.at(half - crown.wall, -2 * COURSE), view.at(half, -2 * COURSE))
    upright(sheet, view.y(crown.edge), view.y(0), view.x(out) + 14, view.x(out))
    notes = [Note((view.x(out) + 14, view.y(crown.edge / 2)), words.say("edge_thickness"), dot=False)]
    groove = crown.groove(1)
    if groove:
        notes.append(Note(view.at(groove[1], 0.1), words.text("drip groove", "goterón"), dot=False))
    if crown.overhang:
        size = min(0.6, crown.overhang / 2)
        notes.append(Note(view.at(half + size / 2, -size / 2), words.text("sealant", "sellador"), dot=False))
    wall_top = view.at(half - min(0.8, crown.wall / 2), 0)
    notes.append(Note(wall_top, words.text("bond break", "separación sin adherencia")))
    notes.append(Note(view.at(half - 1, -1.6 * COURSE), words.text("chimney wall", "muro de la chimenea")))
    foot = column(sheet, notes, COLUMN, top + 8)
    return max(foot, view.y(-2 * COURSE) + 6)


def _at_flue(sheet: Sheet, crown: Cut, projection: float, words: Words, top: float) -> float:
    """The last flue's right-hand wall and the crown beside it, enlarged; returns the page height below."""
    sheet.write(12, top, words.text("At the flue, enlarged", "Junto al tubo, ampliado"))
    opening = crown.openings[-1][1]
    face = opening - crown.gap
    left, right = face - TILE_WALL - 1.2, min(opening + 6, (opening + crown.slab / 2) / 2)
    below, high = -1.5, crown.deep + projection
    scale = min(116 / (right - left), 135 / (high - below))
    view = View(scale, 18 - scale * left, top + 14 + scale * high)
    board(sheet, view, opening, right, 0.0, BOARD)
    _piece(sheet, crown, view, opening, right, "flue-concrete", broken_right=True)
    sheet.rect("clay", view.at(face - TILE_WALL, high), view.at(face, below), "tile")
    _gap(sheet, crown, view, face, opening)
    break_line(sheet, view.at(right, -BOARD), view.at(right, crown.top(right)))
    break_line(sheet, view.at(face - TILE_WALL, below), view.at(face, below))
    sheet.line("fine", view.at(face - TILE_WALL, high), view.at(left, high))
    line = view.x(right) + 14
    upright(sheet, view.y(high), view.y(crown.deep), line, (view.x(face), view.x(opening)))
    upright(sheet, view.y(crown.deep), view.y(0), line, (view.x(opening), view.x(right)))
    gap = words.say("bond_gap") + words.text(", filled, sealed on top", ", relleno y sellado arriba")
    # A height that was not given is drawn as usual and goes without a number.
    said = words.say("projection") if words.values.get("projection") is not None else words.name("projection")
    notes = [
        Note((line, view.y(crown.deep + projection / 2)), said, dot=False),
        Note((line, view.y(crown.deep / 2)), words.say("flue_thickness"), dot=False),
        Note(
            view.at(min(opening + 2, right - 0.5), -BOARD / 2),
            words.text("board over the opening", "tabla sobre el hueco"),
        ),
        Note(view.at((face + opening) / 2, -0.3), gap),
    ]
    return max(column(sheet, notes, COLUMN, top + 8), view.y(below) + 6)


def _gap(sheet: Sheet, crown: Cut, view: View, face: float, opening: float) -> None:
    """Filler in the gap, a backer rod on it, sealant on top."""
    if not crown.gap:
        return
    sheet.rect("void", view.at(face, crown.deep), view.at(opening, 0), "gap")
    depth = min(crown.gap, crown.deep / 4)
    sheet.rect("accent", view.at(face, crown.deep), view.at(opening, crown.deep - depth / 2), weight=0.5)
    radius = view.scale * min(crown.gap, depth) / 2
    sheet.circle("fine", (view.x((face + opening) / 2), view.y(crown.deep - depth / 2) + radius), radius)


def _describe(words: Words, crown: Cut) -> str:
    side = "length" if words.values["chimney_length"] >= words.values["chimney_width"] else "width"
    names = [f"chimney_{side}", "overhang", f"slab_{side}", "edge_thickness"]
    if crown.openings:
        names += ["flue_thickness", "bond_gap"]
        names += ["projection"] if words.values.get("projection") is not None else []
    if crown.openings and crown.deep > crown.edge:
        names.append("slope_long")
    sizes = words.list(*names)
    return words.text(
        f"The crown on its chimney, cut upright along the row of flues, to scale: {sizes}. A bond break lies on top "
        "of the chimney walls, sealant closes the corner under the overhang, and a drip groove runs under it.",
        f"La corona sobre su chimenea, en corte vertical a lo largo de los tubos, a escala: {sizes}. Hay una "
        "separación sin adherencia sobre los muros, sellador en el rincón bajo el saliente, y un goterón debajo.",
    )


FIGURES = (Figure("crown.section", "crown.slab", Text(en="Crown, section", es="Corona, corte"), make),)
