"""A plain figure of a person, for scale and for where the body is."""

from __future__ import annotations

import math
from itertools import product
from typing import Final

from trainer.drawings.sheet import Point, Sheet, View, points

SHOULDER: Final = 0.82  # height of the shoulders, and of a back D-ring, as a share of the stature

# A grown person's limbs as drawn [in].
TORSO, NECK, HEAD, ARM, THIGH, SHIN, ANKLE = 20.0, 8.0, 4.6, 25.0, 17.5, 16.5, 2.5


def standing(sheet: Sheet, view: View, x: float, feet: float, stature: float) -> None:
    """Someone upright, seen from the side, in the view's own units; hung from the shoulders it looks the same."""
    if view.scale * stature < 12:
        return

    def at(dx: float, share: float) -> Point:
        return view.at(x + dx * stature, feet + share * stature)

    head, hip = at(0.0, 0.925), at(0.0, 0.5)
    limbs = [
        [at(0.0, SHOULDER), hip],
        [at(-0.01, 0.0), at(-0.06, 0.0), hip, at(0.07, 0.0), at(0.12, 0.0)],
        [at(0.0, 0.8), at(0.07, 0.63), at(0.05, 0.48)],
    ]
    _draw(sheet, head, view.scale * stature * 0.07, limbs, max(1.6, min(4.0, view.scale * stature * 0.03)))
    sheet.reach(view.y(feet))


def lifting(sheet: Sheet, view: View, hands: Point) -> None:
    """Someone whose hands are at `hands` [in], with the middle between the ankles at the view's origin."""
    hip, shoulder, lean = _posture(hands)
    knee = _joint((0.0, ANKLE), hip, SHIN, THIGH, 1.0)
    elbow = _joint(shoulder, hands, ARM / 2, ARM / 2, 1.0)
    head = (shoulder[0] + NECK * math.sin(lean * 0.6), shoulder[1] + NECK * math.cos(lean * 0.6))
    limbs = [
        [
            view.at(*shoulder),
            view.at(*hip),
            view.at(*knee),
            view.at(0.0, ANKLE),
            view.at(-2.0, 0.6),
            view.at(7.0, 0.6),
        ],
        [view.at(*shoulder), view.at(*elbow), view.at(*hands)],
    ]
    _draw(sheet, view.at(*head), view.scale * HEAD, limbs, 3.4)


def _draw(sheet: Sheet, head: Point, radius: float, limbs: list[list[Point]], weight: float) -> None:
    sheet.reach(head[1] - radius, head[1] + radius)
    sheet.circle("ink", head, radius)
    sheet.path("ink", "".join(points(limb) for limb in limbs), weight=round(weight, 2))


def _posture(hands: Point) -> tuple[Point, Point, float]:
    """Hip, shoulder and lean of the back [radians] with the hands in reach, as upright as that allows."""
    best: tuple[float, Point, Point, float] | None = None
    for drop, tilt in product(range(0, 19, 2), range(0, 91, 6)):
        lean = math.radians(tilt)
        hip = (-0.35 * drop - 5 * math.sin(lean), ANKLE + SHIN + THIGH - 0.8 - drop)
        shoulder = (hip[0] + TORSO * math.sin(lean), hip[1] + TORSO * math.cos(lean))
        short = max(0.0, math.dist(shoulder, hands) - ARM)
        cost = 1000 * short + 2 * drop + tilt
        if best is None or cost < best[0]:
            best = cost, hip, shoulder, lean
    assert best is not None
    return best[1:]


def _joint(one: Point, other: Point, near: float, far: float, side: float) -> Point:
    """Where two limbs meet, from `one` over the joint to `other`; stretched when the ends are too far apart.

    side: 1 bends toward the right of the way from `one` to `other`, seen with y up
    """
    apart = max(math.dist(one, other), 1e-9)
    along = (near**2 - far**2 + apart**2) / (2 * apart)
    aside = math.sqrt(max(0.0, near**2 - along**2))
    if apart > near + far:
        along = apart * near / (near + far)
    ux, uy = (other[0] - one[0]) / apart, (other[1] - one[1]) / apart
    return one[0] + ux * along + side * uy * aside, one[1] + uy * along - side * ux * aside
