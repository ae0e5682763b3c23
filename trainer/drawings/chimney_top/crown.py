"""The crown of a drawn chimney top, cut upright: concrete, steel, the board below it and the joints round it."""

from __future__ import annotations

from typing import Final

from trainer.drawings.chimney_top.layout import (
    BEARING,
    GROOVE_DEEP,
    GROOVE_LIP,
    GROOVE_WIDE,
    Layout,
)
from trainer.drawings.hatching import stones
from trainer.drawings.masonry import BRICK_WALL
from trainer.drawings.sheet import Point, Sheet, number, points

SIDES: Final = {"left": -1, "right": 1}
# As drawn [in]: radius of a cut bar, thickness of the board and of the bond break on the wall.
BAR, BOARD, SHEETING = 0.25, 0.7, 0.45


def draw_side(sheet: Sheet, lay: Layout, side: str) -> None:
    """Crown, board, steel and joints from the flue to one edge."""
    outline = [_at(lay, side, *corner) for corner in concrete(lay, side)]
    sheet.shape("concrete", outline, f"{side}-concrete")
    stones(sheet, outline, apart=12.0)
    if lay.top.fault(f"{side}-opening") != "opening-uncovered":
        one = _at(lay, side, flue_side(lay) + _gap(lay, side), BOARD)
        sheet.rect("wood", one, _at(lay, side, lay.half - BRICK_WALL + BEARING, 0.0), f"{side}-board")
        sheet.line("hatch", (one[0], lay.view.y(BOARD / 2)), _at(lay, side, bearing(lay), BOARD / 2))
    _steel(sheet, lay, side)
    _joint(sheet, lay, side)
    _wash(sheet, lay, side)


def draw_middle(sheet: Sheet, lay: Layout) -> None:
    """The crown between two flues, on the brick between them."""
    left, right = lay.tiles["flue1"][1] + lay.gap("flue1"), lay.tiles["flue2"][0] - lay.gap("flue2")
    wall, deep = BRICK_WALL / 2, lay.top.deep
    corners = [(left, BOARD), (left, deep), (right, deep), (right, BOARD)]
    corners += [(wall - BEARING, BOARD), (wall - BEARING, 0), (BEARING - wall, 0), (BEARING - wall, BOARD)]
    outline = [lay.view.at(*corner) for corner in corners]
    sheet.shape("concrete", outline, "middle-concrete")
    stones(sheet, outline, apart=12.0)
    for one, other in ((left, BEARING - wall), (wall - BEARING, right)):
        sheet.rect("wood", lay.view.at(one, BOARD), lay.view.at(other, 0))
    sheet.rect("filler", lay.view.at(BEARING - wall, 0), lay.view.at(wall - BEARING, SHEETING))
    end = lay.tiles["flue2"][0] - lay.sound_gap - lay.top.cover
    _bar(sheet, lay.view.at(-end, lay.steel_level), lay.view.at(end, lay.steel_level))
    _cut_bars(sheet, lay, "right", [0.0])


def flue_side(lay: Layout) -> float:
    """From the middle to the outer face of the flue that a side of the crown ends at."""
    return lay.half - BRICK_WALL - lay.cavity


def bearing(lay: Layout) -> float:
    """From the middle to where the board on the wall ends and the crown lies on the bond break."""
    return lay.half - BRICK_WALL + BEARING


def concrete(lay: Layout, side: str) -> list[Point]:
    """Outline of one side of the crown, outwards from the middle and up from the wall's top [in]."""
    inner, edge, wall = flue_side(lay) + _gap(lay, side), lay.edge(side), lay.half - BRICK_WALL
    corners = [(inner, lay.top.deep), (edge, lay.edge_height(side)), (edge, 0.0)]
    if lay.top.fault(f"{side}-edge") not in ("no-drip", "no-overhang"):
        outer = edge - GROOVE_LIP
        near = outer - GROOVE_WIDE
        corners += [(outer, 0.0), (outer, GROOVE_DEEP), (near, GROOVE_DEEP), (near, 0.0)]
    if lay.top.fault(f"{side}-opening") == "opening-uncovered":
        # The concrete ran down between wall and tile and hangs there.
        face, width = flue_side(lay), lay.cavity
        hanging = ((wall, 0.0), (wall, -3.4), (wall - 0.3 * width, -5.0), (face + 0.3 * width, -4.1))
        return [*corners, *hanging, (face, -5.2), (face, 0.0), (inner, 0.0)]
    return [*corners, (bearing(lay), 0.0), (bearing(lay), BOARD), (inner, BOARD)]


def steel_ends(lay: Layout, side: str) -> tuple[float, float]:
    """Where the bar along the cut begins and ends, outwards from the middle [in]."""
    begin, cover = flue_side(lay) + lay.sound_gap + lay.top.cover, lay.top.cover
    if lay.top.fault(f"{side}-steel") == "steel-at-form":
        return begin, lay.edge(side)
    end = lay.edge(side) - cover
    # Where the crown thins out, the steel ends before its cover does.
    while lay.surface(side, end) < lay.steel_level + BAR + min(cover, 1.0) and end > begin + 1.0:
        end -= 0.25
    return begin, end


def _gap(lay: Layout, side: str) -> float:
    """Round the flue that a side ends at."""
    return lay.gap(lay.top.flue_names[0 if side == "left" else -1])


def _at(lay: Layout, side: str, out: float, y: float) -> Point:
    """The page place of a point `out` from the middle on a side."""
    return lay.view.at(SIDES[side] * out, y)


def _bar(sheet: Sheet, one: Point, other: Point, part: str = "") -> None:
    sheet.line("steel", one, other, part=part, weight=3.2)


def _cut_bars(sheet: Sheet, lay: Layout, side: str, outs: list[float]) -> None:
    """Bars across the cut, lying on the one along it."""
    for out in outs:
        x, y = _at(lay, side, out, lay.steel_level + 2 * BAR)
        sheet.circle("bar", (x, y), lay.view.scale * BAR)


def _steel(sheet: Sheet, lay: Layout, side: str) -> None:
    fault = lay.top.fault(f"{side}-steel")
    if fault == "no-steel":
        return
    begin, end = steel_ends(lay, side)
    at_form = fault == "steel-at-form"
    _bar(sheet, _at(lay, side, begin, lay.steel_level), _at(lay, side, end, lay.steel_level), f"{side}-steel")
    outermost = end - BAR if at_form else end - 0.5
    _cut_bars(sheet, lay, side, [begin + 0.5, outermost])
    if at_form:  # rust runs down the face from the bar's end
        x, y = _at(lay, side, end, lay.steel_level)
        away = SIDES[side]
        for aside, long in ((2.0, 20.0), (4.4, 12.0)):
            sheet.line("rust", (x + away * aside, y), (x + away * aside, y + long))
        sheet.circle("rust", (x + away * 2, y), 2.0)


def _joint(sheet: Sheet, lay: Layout, side: str) -> None:
    """Bond break on the wall's top and the sealant in the corner under the overhang."""
    fault = lay.top.fault(f"{side}-joint")
    if fault != "stuck-to-wall":
        one, other = _at(lay, side, bearing(lay), 0.0), _at(lay, side, lay.half, SHEETING)
        sheet.rect("filler", one, other, f"{side}-bond-break")
    if fault == "no-sealant":
        # The slot stands open.
        corners = [
            _at(lay, side, lay.half - depth, y) for depth, y in ((-0.02, 0.14), (1.1, 0.0), (-0.02, -0.3))
        ]
        sheet.shape("hole", corners)
        return
    size = 0.75
    if lay.edge(side) > lay.half:
        bead = [(lay.half, 0.0), (lay.half + size, 0.0), (lay.half, -size)]
    else:  # no corner there: a bead on the face
        bead = [(lay.half, size / 2), (lay.half + size / 2, 0.0), (lay.half, -size / 2)]
    sheet.shape("sealant", [_at(lay, side, *each) for each in bead], f"{side}-sealant")


def _wash(sheet: Sheet, lay: Layout, side: str) -> None:
    """What lies on the crown's top where it should not: water, mortar, a crack."""
    fault = lay.top.fault(f"{side}-wash")
    inner, edge = flue_side(lay) + _gap(lay, side), lay.edge(side)
    run = edge - inner
    if fault == "slopes-in":
        shore = inner + run * 0.5
        level = lay.surface(side, shore)
        corners = [(inner, level), (shore, level), (inner, lay.surface(side, inner))]
        sheet.shape("water", [_at(lay, side, *each) for each in corners], f"{side}-water")
    elif fault == "mortar-over-crown":
        over = ((0.0, 1.5), (0.25, 1.35), (0.5, 1.0), (0.75, 0.8), (0.93, 0.15))
        upper = [(inner + share * run, lay.surface(side, inner + share * run) + up) for share, up in over]
        lower = [(out, lay.surface(side, out)) for out in (inner + 0.93 * run, inner)]
        layer = [_at(lay, side, *each) for each in (*upper, *lower)]
        sheet.shape("mortar", layer, f"{side}-mortar")
        _sand(sheet, lay, side, [(inner + share * run, 0.5) for share in (0.08, 0.2, 0.32, 0.44, 0.56, 0.68)])
        _crack(sheet, lay, side)
    elif fault == "cracked-crown":
        _crack(sheet, lay, side)


def _sand(sheet: Sheet, lay: Layout, side: str, grains: list[tuple[float, float]]) -> None:
    marks = ""
    for out, up in grains:
        for more in (0.0, 0.4):
            x, y = _at(lay, side, out + more / 2, lay.surface(side, out) + up - more)
            marks += f"M{number(x)} {number(y)}h1"
    sheet.path("ink", marks)


def _crack(sheet: Sheet, lay: Layout, side: str) -> None:
    """A crack from the crown's underside to its top, half way from the flue to the edge."""
    inner = flue_side(lay) + _gap(lay, side)
    out = (inner + lay.edge(side)) / 2
    high = lay.surface(side, out)
    ways = ((0.0, 0.0), (0.35, 0.25), (-0.1, 0.45), (0.4, 0.7), (0.1, 1.0))
    sheet.path("crack", points(_at(lay, side, out + aside, high * up) for aside, up in ways), f"{side}-crack")
