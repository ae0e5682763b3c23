"""The flues of a drawn chimney top, cut upright: tiles, the gap round each, and their height above the crown."""

from __future__ import annotations

from trainer.calc import notation
from trainer.drawings.chimney_top.layout import Layout
from trainer.drawings.dimensions import upright
from trainer.drawings.masonry import TILE_WALL, tiles
from trainer.drawings.sheet import Sheet, points


def draw_flue(sheet: Sheet, lay: Layout, flue: str) -> None:
    """One tile with its gap, its crack if it has one, and the dimension of its height."""
    left, right = lay.tiles[flue]
    rim = lay.top.deep + lay.top.height(flue)
    tiles(sheet, lay.view, [(left, right)], rim, lay.cut_bottom)
    for face, away in ((left, -1), (right, 1)):
        _gap(sheet, lay, flue, face, away)
    if lay.top.fault(f"{flue}-tile") == "cracked-tile":
        _crack(sheet, lay, flue, rim)
    _height(sheet, lay, flue, rim)


def _gap(sheet: Sheet, lay: Layout, flue: str, face: float, away: int) -> None:
    """Filler between tile and crown, a backer rod on it, sealant on top; nothing where there is no gap."""
    gap, deep = lay.gap(flue), lay.top.deep
    if not gap:
        return
    view, outer = lay.view, face + away * gap
    sheet.rect("filler", view.at(face, deep), view.at(outer, 0.0), f"{flue}-filler")
    if lay.top.fault(f"{flue}-gap") == "gap-unsealed":
        # The filler has sunk; the gap stands open above it.
        sheet.rect("hole", view.at(face, deep + 0.05), view.at(outer, deep - 2.2))
        return
    middle, radius = view.at(face + away * gap / 2, deep - 0.9), view.scale * gap / 2
    sheet.circle("void", (middle[0], middle[1] + radius), radius)
    sheet.rect("sealant", view.at(face, deep + 0.1), view.at(outer, deep - 0.9), f"{flue}-sealant")


def _crack(sheet: Sheet, lay: Layout, flue: str, rim: float) -> None:
    """A crack down the tile's inside from its rim, with a branch, and on through its cut wall."""
    right = lay.tiles[flue][1]
    inside = right - TILE_WALL
    down = ((1.1, 0.0), (1.5, 1.3), (0.8, 2.4), (1.4, 3.9), (0.7, 5.3), (1.2, 6.8), (0.8, 8.2))
    stem = [lay.view.at(inside - aside, rim - depth) for aside, depth in down]
    sheet.path("crack", points(stem), f"{flue}-crack")
    branch = [stem[3], lay.view.at(inside - 0.4, rim - 4.6), lay.view.at(right, rim - 5.4)]
    sheet.path("crack", points(branch))


def _height(sheet: Sheet, lay: Layout, flue: str, rim: float) -> None:
    """The flue's height above the crown, dimensioned inside the flue."""
    left, right = lay.tiles[flue]
    height, middle = lay.top.height(flue), lay.view.x((left + right) / 2)
    text = notation.write_inches(height)
    if not height:
        sheet.write(middle, lay.view.y(rim) - 5, text, "middle")
        return
    wall = lay.view.x(left + TILE_WALL)
    upright(sheet, lay.view.y(rim), lay.view.y(lay.top.deep), middle - 6, wall, [text], after=True)
