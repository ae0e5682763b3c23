"""The drawn roofs, falls and loads against the calculations' numbers.

A scale is recovered from one drawn length; the others have to agree with it. Nothing is asked of the drawing code but its
SVG.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from shapely.geometry import box

from tests.drawings.test_scale import ROUNDING, same_scale

PAST = 3.5  # how far a dimension line runs past its ends


def test_chimney_height(evaluations, read):
    for chimney in evaluations["chimney.height"].values():
        drawn, given = read("chimney.height", chimney), chimney.inputs
        roof, stack, top = drawn.corners("roof"), drawn.part("chimney"), drawn.part("top")
        (x1, y1), (x2, y2) = roof[0], roof[1]
        slope = given["pitch"] / 12
        assert y1 - y2 == pytest.approx(slope * (x2 - x1), abs=2 * ROUNDING * (1 + slope))
        scale = stack.width / 2.0  # drawn 2 ft wide
        where = y1 - slope * (stack.right - x1)  # the roof at the chimney's uphill face
        assert where - stack.top == pytest.approx(
            scale * chimney.values["height_above_penetration"] / 12,
            abs=(3 + 2 * slope) * ROUNDING * (1 + scale / 5),
        )
        assert top.top == pytest.approx(stack.top, abs=ROUNDING)
        # IRC R1003.9 read off the drawing: 3 ft over the roof at the chimney, 2 ft over all roof drawn within 10 ft.
        least = where - 3 * scale
        for (xa, ya), (xb, yb) in pairwise(roof):
            # A straight piece is highest at an end of what lies within the 10 ft.
            first, last = max(xa, stack.right), min(xb, stack.right + 10 * scale)
            for x in (first, last):
                if first <= last:
                    least = min(least, ya + (x - xa) / (xb - xa) * (yb - ya) - 2 * scale)
        assert stack.top == pytest.approx(least, abs=(4 + 12 * slope) * ROUNDING * (1 + scale / 5))


def test_neither_rule_is_given_away(evaluations, read):
    for chimney in evaluations["chimney.height"].values():
        for hidden in ("governs", "height_above_penetration"):
            drawn = read(
                "chimney.height", chimney, "en", (set(chimney.values) | set(chimney.inputs)) - {hidden}
            )
            assert not drawn.parts("chimney")
            assert not drawn.parts("top")


def test_fall(evaluations, read):
    for fall in evaluations["fall.clearance"].values():
        drawn, values = read("fall.clearance", fall), fall.values
        before, after, needed = drawn.part("d-ring"), drawn.part("d-ring-stopped"), drawn.part("needed")
        struck = drawn.parts("struck")
        pairs = [
            (needed.top - before.middle[1], values["required"]),
            (after.middle[1] - before.middle[1], values["stop"]),
        ]
        pairs += [(each.top - before.middle[1], values["available"]) for each in struck]
        scale = same_scale(*pairs)
        # The pieces follow one another from the D-ring down; a dimension line runs past both its ends.
        level = before.middle[1]
        for name in ("total_free_fall", "deceleration", "stretch", "dring_height", "margin"):
            for piece in drawn.parts(name):
                assert piece.top + PAST == pytest.approx(level, abs=4 * ROUNDING)
                level = piece.bottom - PAST
                assert piece.height - 2 * PAST == pytest.approx(scale * values[name], abs=2 * ROUNDING)
        assert level == pytest.approx(needed.top, abs=3 * ROUNDING)
        # A surface that the body would strike is drawn above what is needed.
        if values["enough"] is False:
            assert struck[0].top < needed.top + ROUNDING


def test_a_fall_does_not_give_away_whether_there_is_room(evaluations, read):
    for fall in evaluations["fall.clearance"].values():
        drawn = read("fall.clearance", fall, "en", set(fall.inputs))
        assert not drawn.parts("struck")
        assert not drawn.parts("needed")


def test_roof_cover(evaluations, read):
    for cover in evaluations["roof.protection"].values():
        drawn, given = read("roof.protection", cover), cover.inputs
        outer, hole = drawn.part("covered"), drawn.part("chimney")
        slope = math.hypot(12, given["rise"]) / 12
        scale = same_scale(
            (outer.width, given["chimney_length"] + 2 * given["margin"]),
            (outer.height, (given["chimney_width"] + 2 * given["margin"]) * slope),
            (hole.width, given["chimney_length"]),
            (hole.height, given["chimney_width"] * slope),
            (hole.left - outer.left, given["margin"]),
            (hole.top - outer.top, given["margin"] * slope),
        )
        around = box(outer.left, outer.top, outer.right, outer.bottom)
        shape = around.difference(box(hole.left, hole.top, hole.right, hole.bottom))
        assert shape.area / scale**2 / 144 == pytest.approx(cover.values["area"], rel=5e-3)


def test_lift(evaluations, read):
    for lift in evaluations["lift.side"].values():
        drawn, given = read("lift.side", lift), lift.inputs
        hands, ankles = drawn.part("hands").middle, drawn.part("ankles").middle
        same_scale(
            # The floor lies at the ankles' mark; one scale for all lifts, so a known one gives it.
            (270.0, 100.0),
            (hands[0] - ankles[0], given["horizontal"]),
            (ankles[1] - hands[1], given["vertical"]),
        )


def test_bucket(evaluations, read):
    for bucket in evaluations["bucket.fill"].values():
        drawn, values = read("bucket.fill", bucket), bucket.values
        concrete, whole = drawn.part("concrete"), drawn.part("bucket")
        same_scale((whole.height, values["bucket_volume"]), (concrete.height, values["fill"]))
        assert not read("bucket.fill", bucket, "en", set(bucket.inputs)).parts("concrete")


def test_stack(evaluations, read):
    for debris in evaluations["debris.stack"].values():
        drawn, area = read("debris.stack", debris), debris.values["stack_area"]
        sheet = drawn.part("sheet")
        if area:
            stack = drawn.part("stack")
            assert stack.width == pytest.approx(stack.height, abs=2 * ROUNDING)
            assert stack.width * stack.height / (sheet.width * sheet.height) == pytest.approx(
                area / 32, rel=5e-3 + 4 * ROUNDING / min(sheet.width, stack.width)
            )
