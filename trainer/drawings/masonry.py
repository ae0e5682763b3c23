"""Cut brickwork, flue tiles and boards, as the sections draw them."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.drawings.hatching import slanted
from trainer.drawings.sheet import Sheet, View, number, points

# Drawn sizes that no calculation holds [in]: a common clay tile's wall, a wall one brick thick, a course of standard
# modular brick with its joint. They are drawn and never written.
TILE_WALL, BRICK_WALL, COURSE, JOINT, BOARD = 0.75, 3.625, 2.667, 0.375, 0.5


def brickwork(
    sheet: Sheet, view: View, left: float, right: float, top: float, courses: int, part: str = ""
) -> None:
    """A cut brick wall from `top` downwards: each brick hatched, the joints between them left open."""
    bricks = []
    for course in range(courses):
        high = top - course * COURSE - JOINT / 2 * (course > 0)
        low = top - (course + 1) * COURSE + JOINT / 2
        bricks.append([view.at(left, high), view.at(right, high), view.at(right, low), view.at(left, low)])
    sheet.reach(bricks[0][0][1], bricks[-1][2][1])
    sheet.path("brick", "".join(points(brick) + "Z" for brick in bricks), part)
    slanted(sheet, *bricks)
    # The faces of the joints, a little back from the bricks' faces.
    sheet.line("fine", view.at(left + 0.1, top), view.at(left + 0.1, top - courses * COURSE))
    sheet.line("fine", view.at(right - 0.1, top), view.at(right - 0.1, top - courses * COURSE))


def tiles(sheet: Sheet, view: View, spans: Sequence[tuple[float, float]], top: float, bottom: float) -> None:
    """Flue tiles cut upright, each between its outside faces: two walls and the open flue between them."""
    for left, right in spans:
        sheet.rect("void", view.at(left, top), view.at(right, bottom), "flue")
    for left, right in spans:
        wall = min(TILE_WALL, (right - left) / 6)
        for one, other in ((left, left + wall), (right - wall, right)):
            sheet.rect("clay", view.at(one, top), view.at(other, bottom))


def board(
    sheet: Sheet, view: View, left: float, right: float, top: float, thickness: float, part: str = ""
) -> None:
    """A board lying flat, cut across, with its grain."""
    sheet.rect("void", view.at(left, top), view.at(right, top - thickness), part)
    if view.scale * thickness >= 4:
        x1, x2, y = view.x(left), view.x(right), view.y(top - thickness / 2)
        sheet.path("hatch", f"M{number(x1)} {number(y)}H{number(x2)}")
