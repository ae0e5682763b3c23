"""The brick of a drawn chimney top: the walls cut through below the crown, and the face seen from outside below that."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from trainer.drawings.chimney_top.layout import CUT_COURSES, FACE_COURSES, HALF_BRICK, Layout
from trainer.drawings.hatching import break_line
from trainer.drawings.masonry import BRICK_WALL, COURSE, JOINT, brickwork
from trainer.drawings.sheet import Point, Sheet, number, points

# The brick that each marked place of the face means: its course from the top, and how far along the face it lies.
SPOTS: Final = {"high": (1, 0.2), "middle": (2, 0.5), "low": (3, 0.8)}


def draw_cut(sheet: Sheet, lay: Layout) -> None:
    """The outer walls and the brick between two flues, cut."""
    half = lay.half
    spans = [(-half, BRICK_WALL - half), (half - BRICK_WALL, half)]
    if lay.top.flues == 2:
        spans.insert(1, (-BRICK_WALL / 2, BRICK_WALL / 2))
    for left, right in spans:
        brickwork(sheet, lay.view, left, right, 0.0, CUT_COURSES, "wall")
    bottom = lay.cut_bottom
    break_line(sheet, lay.view.at(-half, bottom), lay.view.at(half, bottom), 6)


def brick(lay: Layout, where: str) -> tuple[float, float, float, float]:
    """Left, right, top and bottom of the brick that "high", "middle" or "low" means [in]."""
    course, share = SPOTS[where]
    wanted = (2 * share - 1) * lay.half
    whole = [each for each in _bricks(lay, course) if each[1] - each[0] > HALF_BRICK]
    return min(whole, key=lambda each: abs((each[0] + each[1]) / 2 - wanted))


def draw_face(sheet: Sheet, lay: Layout) -> None:
    """The face from outside in running bond, and the flashing where it meets the roof."""
    view, half = lay.view, lay.half
    sheet.rect("mortar", view.at(-half, lay.face_top), view.at(half, lay.face_bottom), "face")
    chosen = {brick(lay, where): where for where in SPOTS}
    plain = []
    for course in range(FACE_COURSES):
        for each in _bricks(lay, course):
            fault = lay.top.fault(f"{chosen[each]}-brick") if each in chosen else ""
            if fault in ("loose-brick", "spalled-brick"):
                continue
            left, right, high, low = each
            plain.append([view.at(left, high), view.at(right, high), view.at(right, low), view.at(left, low)])
    sheet.path("brick", "".join(points(each) + "Z" for each in plain), "bricks")
    for place, where in chosen.items():
        fault = lay.top.fault(f"{where}-brick")
        if fault:
            _FAULTY[fault](sheet, lay, place)
    break_line(sheet, view.at(-half, lay.face_top), view.at(half, lay.face_top), 6)
    _flashing(sheet, lay)


def _bricks(lay: Layout, course: int) -> Iterator[tuple[float, float, float, float]]:
    """Left, right, top and bottom of each brick of a course; every other course begins with a half brick."""
    high = lay.face_top - course * COURSE - JOINT / 2
    low = high - COURSE + JOINT
    left, step = -lay.half, HALF_BRICK if course % 2 else 2 * HALF_BRICK
    while left < lay.half - 1.0:
        right = min(left + step - JOINT, lay.half)
        yield left, right, high, low
        left, step = right + JOINT, 2 * HALF_BRICK


def _open_joint(sheet: Sheet, lay: Layout, place: tuple[float, float, float, float]) -> None:
    """The joints at one end of the brick and below it have lost their mortar."""
    left, right, high, low = place
    view = lay.view
    bed = [
        (left - JOINT, low),
        (right + 1.5, low),
        (right + 1.1, low - JOINT * 0.6),
        (right + 0.2, low - JOINT),
    ]
    bed += [(left - 1.4, low - JOINT), (left - 1.9, low - JOINT * 0.4)]
    sheet.shape("hole", [view.at(*each) for each in bed], "open-joint")
    sheet.rect("hole", view.at(right, high), view.at(right + JOINT, low))


def _loose_brick(sheet: Sheet, lay: Layout, place: tuple[float, float, float, float]) -> None:
    """The brick has come loose: turned, standing out of the wall, black all round."""
    left, right, high, low = place
    view = lay.view
    sheet.rect("hole", view.at(left - JOINT, high + JOINT), view.at(right + JOINT, low - JOINT), "loose-hole")
    middle, turn = ((left + right) / 2, (high + low) / 2), math.radians(-6)

    def turned(x: float, y: float) -> Point:
        dx, dy = x - middle[0], y - middle[1]
        return view.at(
            middle[0] + 0.35 + dx * math.cos(turn) - dy * math.sin(turn),
            middle[1] - 0.35 + dx * math.sin(turn) + dy * math.cos(turn),
        )

    corners = [turned(*each) for each in ((left, high), (right, high), (right, low), (left, low))]
    sheet.shape("brick", corners, "loose-brick")
    sheet.line("ink", corners[0], corners[3], corners[2], weight=2.2)


def _spalled_brick(sheet: Sheet, lay: Layout, place: tuple[float, float, float, float]) -> None:
    """The brick's face has broken off in shells; crumbs lie where it broke."""
    left, right, high, low = place
    view, long, tall = lay.view, right - left, high - low

    def at(along: float, up: float) -> Point:
        return view.at(left + along * long, low + up * tall)

    sheet.shape("brick", [at(*each) for each in ((0, 1), (1, 1), (1, 0), (0, 0))])
    broken = (
        (0.1, 1.0),
        (0.06, 0.6),
        (0.2, 0.42),
        (0.16, 0.0),
        (0.62, 0.0),
        (0.72, 0.3),
        (0.94, 0.35),
        (0.9, 1.0),
    )
    sheet.shape("hollow", [at(*each) for each in broken], "spall")
    inner = (
        (0.3, 1.0),
        (0.27, 0.66),
        (0.4, 0.46),
        (0.37, 0.2),
        (0.56, 0.22),
        (0.66, 0.52),
        (0.8, 0.58),
        (0.78, 1.0),
    )
    sheet.path("ink", points(at(*each) for each in inner))
    for crumb in ((0.2, -0.1), (0.5, -0.13), (0.42, -0.1)):
        sheet.circle("brick", at(*crumb), 1.3)


_FAULTY: Final = {"open-joint": _open_joint, "loose-brick": _loose_brick, "spalled-brick": _spalled_brick}


def _flashing(sheet: Sheet, lay: Layout) -> None:
    """Counterflashing let into a joint over the flashing, and the roof below; or pulled out and hanging."""
    view, half = lay.view, lay.half
    bottom = lay.face_bottom
    upper, lower = view.y(bottom) - 2, view.y(bottom) + 16
    left, right, middle = view.x(-half) - 3, view.x(half) + 3, view.x(half * 0.15)
    roof = lower + 26
    sheet.rect("void", (left - 16, lower - 4), (right + 16, lower + 5), "flashing")
    if lay.top.fault("roof-flashing") == "loose-flashing":
        # The right-hand end has come out of the joint and hangs away from the wall.
        slot = [(middle, upper - 1.5), (right - 3, upper - 1.5), (right - 3, upper + 12), (middle, upper + 2)]
        sheet.shape("hole", slot)
        hanging = [
            (left, upper),
            (middle, upper),
            (right + 4, upper + 11),
            (right + 2, lower + 12),
            (middle, lower),
        ]
        sheet.shape("metal", [*hanging, (left, lower)], "counterflashing")
        held = middle
    else:
        sheet.rect("metal", (left, upper), (right, lower), "counterflashing")
        held = right
    sheet.line("ink", (left, upper), (held, upper), weight=2.2)
    _roof(sheet, left - 24, right + 24, lower + 5, roof)


def _roof(sheet: Sheet, left: float, right: float, top: float, bottom: float) -> None:
    """Two rows of shingles below the flashing."""
    strokes = ""
    row = (bottom - top) / 2
    for place in range(2):
        y = top + row * (place + 1)
        strokes += f"M{number(left)} {number(y)}H{number(right)}"
        begin = left + (12 if place else 22)
        strokes += "".join(
            f"M{number(begin + 24 * each)} {number(y)}v{number(-row)}"
            for each in range(int((right - begin) / 24) + 1)
        )
    sheet.reach(bottom)
    sheet.path("hatch", strokes)
