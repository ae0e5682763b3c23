"""The drawn shapes of forms, cuts, roofs, falls, brick, sealant and bars against the calculations' numbers.

A scale is recovered from one drawn length; the others have to agree with it. Areas are taken with shapely. Nothing is
asked of the drawing code but its SVG.
"""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest
from shapely import union_all
from shapely.geometry import box

from tests.drawings.test_scale import ROUNDING, same_scale


def test_form(evaluations, read):
    for form in evaluations["form.boards"].values():
        plan, values = read("form.boards", form), form.values
        slab, longs, shorts = plan.part("slab"), plan.parts("long-board"), plan.parts("short-board")
        thick = values["board_thickness"]
        scale = same_scale(
            (max(slab.width, slab.height), max(values["slab_length"], values["slab_width"])),
            (slab.width, values["slab_length"]),
            (slab.height, values["slab_width"]),
            *((each.width, values["long_boards"]) for each in longs),
            *((each.height, thick) for each in longs),
            *((each.height, values["short_boards"]) for each in shorts),
            *((each.width, thick) for each in shorts),
            (math.dist(*plan.corners("diagonal")), values["diagonal"]),
        )
        # The short boards lap the long ones' ends: the four together close the ring and overlap nowhere.
        boards = [box(each.left, each.top, each.right, each.bottom) for each in (*longs, *shorts)]
        ring = 4 * thick**2 + 2 * thick * (values["slab_length"] + values["slab_width"])
        assert union_all(boards).area / scale**2 == pytest.approx(ring, rel=0.02)
        for short in shorts:
            assert short.top == pytest.approx(min(each.top for each in longs), abs=2 * ROUNDING)
            assert short.bottom == pytest.approx(max(each.bottom for each in longs), abs=2 * ROUNDING)


def test_cut_line(evaluations, read):
    for cut in evaluations["flue.cutline"].values():
        drawn, values = read("flue.cutline", cut), cut.values
        down = values["cut_down"]
        lines = drawn.parts("cut-line")
        assert bool(lines) == (down > 0)
        if down:
            (line,) = lines
            corners = drawn.strokes("corner-cuts")
            tile = values["outside"]
            turn = math.pi * tile.length if tile.shape == "round" else 2 * (tile.length + tile.width)
            scale = same_scale((line.width, turn), *((math.dist(*each), down) for each in corners))
            assert len(corners) == 4
            # What is drawn to saw adds up to the calculation's length.
            total = line.width + sum(math.dist(*each) for each in corners)
            assert total / scale == pytest.approx(values["cut_length"], rel=2e-3)
            assert drawn.part("tile").top == pytest.approx(corners[0][0][1], abs=ROUNDING)
        blade, flange, wall = drawn.part("blade"), drawn.part("flange"), drawn.part("wall")
        same_scale(
            (blade.width, values["blade_diameter"]),
            (flange.width, values["flange_diameter"]),
            (wall.width, values["wall_thickness"]),
            (blade.right - wall.left, values["blade_reach"]),
        )
        # With the flange against the tile, the rim shows beyond the wall exactly when the blade reaches through.
        assert flange.right == pytest.approx(wall.left, abs=2 * ROUNDING)
        assert (blade.right >= wall.right - 2 * ROUNDING) or not values["reaches_through"]
        assert (blade.right <= wall.right + 2 * ROUNDING) or values["reaches_through"]


def test_the_blade_stays_clear_while_its_reach_is_asked(evaluations, read):
    for cut in evaluations["flue.cutline"].values():
        for hidden in ("reaches_through", "blade_reach"):
            shown = (set(cut.values) | set(cut.inputs)) - {hidden}
            drawn = read("flue.cutline", cut, "en", shown)
            assert drawn.part("blade").right < drawn.part("wall").left


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
        same_scale(*pairs)
        # A surface that the body would strike is drawn above what is needed.
        if not values["enough"]:
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


def bricks(drawn, part):
    """The boxes of the bricks of a wall, from its closed outlines."""
    (path,) = [each for each in drawn.root.iter() if each.get("data-part") == part]
    found = re.findall(r"M([\d.-]+) ([\d.-]+)h([\d.]+)v([\d.]+)h-([\d.]+)z", path.get("d"))
    assert len(found) == path.get("d").count("M")
    return [(float(x), float(y), float(x) + float(w), float(y) + float(h)) for x, y, w, h, _ in found]


def test_courses(evaluations, read):
    for wall in evaluations["brick.courses"].values():
        drawn, values = read("brick.courses", wall), wall.values
        rows = sorted({(top, bottom) for _, top, _, bottom in bricks(drawn, "courses")}, reverse=True)
        course = values["brick_height"] + values["joint_for_fit"]
        scale = same_scale(
            *((bottom - top, values["brick_height"]) for top, bottom in rows if rows),
        )
        whole = -rows[-1][0]  # from the line the wall stands on up to the last course drawn
        assert whole / len(rows) == pytest.approx(course * scale, rel=0.02, abs=ROUNDING)
        assert len(rows) <= values["courses"]
        if len(rows) == values["courses"]:
            assert whole == pytest.approx(values["height"] * scale, rel=0.02)
        one, joint = drawn.part("one-brick"), drawn.part("bed-joint")
        same_scale((one.height, values["brick_height"]), (joint.height, values["joint_for_fit"]))


@pytest.mark.parametrize("figure", ["brick.wall", "mortar.wall"])
def test_wall(figure, evaluations, read):
    whole = 0
    for wall in evaluations[figure].values():
        drawn, values = read(figure, wall), wall.values
        outline = drawn.parts("wall")
        if not outline:
            continue  # broken off: too large to show brick by brick
        whole += 1
        (area,) = outline
        scale = same_scale((area.width, values["wall_length"]), (area.height, values["wall_height"]))
        laid = bricks(drawn, "bricks")
        assert max(right - left for left, _, right, _ in laid) == pytest.approx(
            min(values["brick_length"], values["wall_length"]) * scale, abs=3 * ROUNDING
        )
        for left, top, right, bottom in laid:
            assert left >= area.left - 2 * ROUNDING and right <= area.right + 2 * ROUNDING
            assert top >= area.top - 2 * ROUNDING and bottom <= area.bottom + 2 * ROUNDING
        if figure == "mortar.wall" and values["wall_length"] > 30 and values["wall_height"] > 30:
            # The share of the face that is joint, counted on the drawing; ends and top course are cut.
            share = 1 - sum((r - x) * (b - t) for x, t, r, b in laid) / (area.width * area.height)
            assert share == pytest.approx(values["joint_area_ratio"], abs=0.04)
    assert whole > 3


def test_sealant(evaluations, read):
    for joint in evaluations["sealant.joint"].values():
        drawn, values = read("sealant.joint", joint), joint.values
        gap, rod = drawn.part("joint"), drawn.part("rod")
        (bead,) = [each for each in drawn.root.iter() if each.get("data-part") == "bead"]
        # Its outline: across the dipped face, down the right side, back over the rod.
        left, top, _, dip, right, _, low, _, arch, _, _, _, start, _ = map(
            float, re.findall(r"-?[\d.]+", bead.get("d"))
        )
        assert (left, right) == (start, pytest.approx(gap.right, abs=ROUNDING))
        assert left == pytest.approx(gap.left, abs=ROUNDING)
        same_scale(
            (gap.width, values["joint_width"]),
            (rod.width, values["rod"]),
            (rod.height, values["rod"]),
            # Depth in the middle, from the curve's lowest point to the arch's highest.
            (low - arch - (top + dip) / 2, values["bead_depth"]),
        )


def test_bending(evaluations, read):
    for crown in evaluations["crown.bend"].values():
        drawn, values = read("crown.bend", crown), crown.values
        slab, wall = drawn.part("concrete"), drawn.part("wall")
        same_scale((slab.height, values["edge_thickness"]), (slab.right - wall.right, values["overhang"]))
        # The heavy line marks the face in tension: the top, over the wall's outer face (any cantilever table).
        pulled = drawn.part("tension")
        assert pulled.top == pulled.bottom == slab.top
        assert pulled.left < wall.right <= pulled.right


def test_cutting_plan(evaluations, read):
    for stock in evaluations["rebar.stock"].values():
        drawn, values = read("rebar.stock", stock), stock.values
        bars, pieces = drawn.parts("bar"), drawn.parts("piece")
        different = [
            list(bar) for place, bar in enumerate(values["plan"]) if bar not in values["plan"][:place]
        ]
        assert len(bars) == len(different)
        for bar, lengths in zip(bars, different, strict=True):
            mine = [each for each in pieces if each.top == bar.top]
            same_scale(
                (bar.width, values["stock_length"] * 12),
                *((each.width, length) for each, length in zip(mine, lengths, strict=True)),
            )
            # Each saw cut lies between two pieces.
            for one, other in pairwise(mine):
                gap = values["kerf"] * bar.width / (values["stock_length"] * 12)
                assert other.left - one.right == pytest.approx(gap, abs=2 * ROUNDING)
            assert mine[-1].right <= bar.right + 2 * ROUNDING


def test_fall_of_a_crown(evaluations, read):
    for crown in evaluations["crown.fall"].values():
        triangle = read("crown.fall", crown).part("triangle")
        same_scale((triangle.width, crown.inputs["run"]), (triangle.height, crown.inputs["rise"]))


def test_equal_parts(evaluations, read):
    for divided in evaluations["tape.parts"].values():
        drawn, values = read("tape.parts", divided), divided.values
        length, parts = drawn.part("length"), round(values["parts"])
        marks = [one[0] for one, _ in drawn.strokes("marks")] if drawn.parts("marks") else []
        assert len(marks) in (0, parts - 1)
        for place, x in enumerate(marks, 1):
            assert x - length.left == pytest.approx(length.width * place / parts, abs=2 * ROUNDING)
        # In the detail the last mark lies past the end, or short of it.
        last = drawn.parts("last-mark")
        assert bool(last) == (abs(values["run_out"]) >= 1e-9)
        for mark in last:
            assert (mark.left > drawn.part("end").right) == (values["run_out"] > 0)


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


def test_flue_opening(evaluations, read):
    for flue in evaluations["flue.opening"].values():
        drawn, values = read("flue.opening", flue), flue.values
        opening, outside = drawn.part("opening"), drawn.part("outside")
        scale = same_scale((opening.width, values["inside_length"]), (opening.height, values["inside_width"]))
        round_tile = values["nominal"].shape == "round"
        area = math.pi / 4 * opening.width**2 if round_tile else opening.width * opening.height
        assert area / scale**2 == pytest.approx(values["area"], rel=5e-3)
        if "wall" in values:
            assert opening.left - outside.left == pytest.approx(values["wall"] * scale, abs=2 * ROUNDING)


def test_flue_tile(evaluations, read):
    for tile in evaluations["flue.tile"].values():
        drawn, values = read("flue.tile", tile), tile.values
        side, outside, opening = drawn.part("side"), drawn.part("outside"), drawn.part("opening")
        scale = same_scale(
            (max(side.height, side.width), max(values["length"], values["outside"].length)),
            (side.height, values["length"]),
            (side.width, values["outside"].length),
            (outside.width, values["outside"].length),
            (outside.height, values["outside"].width),
            (opening.left - outside.left, values["wall"]),
        )
        if values["outside"].shape == "rectangular":
            clay = (outside.width * outside.height - opening.width * opening.height) * side.height / scale**3
            assert clay / 1728 == pytest.approx(values["volume"], rel=0.02)


def test_fireplace(evaluations, read):
    for hearth in evaluations["fireplace.flue"].values():
        drawn, values = read("fireplace.flue", hearth), hearth.values
        opening = drawn.part("opening")
        scale = same_scale(
            (opening.width, values["opening_width"]), (opening.height, values["opening_height"])
        )
        share = math.pi / 4 if values["shape"] == "round" else 1.0
        for part, name in (("flue", "area"), ("needed", "required_area")):
            shape = drawn.part(part)
            # A side is known to a hundredth of a page unit.
            off = 2 * ROUNDING * (shape.width + shape.height) / scale**2
            assert shape.width * shape.height * share / scale**2 == pytest.approx(
                values[name], rel=5e-3, abs=off
            )


def test_bead(evaluations, read):
    for joint in evaluations["sealant.bead"].values():
        bead = read("sealant.bead", joint).part("bead")
        same_scale(
            *sorted(
                [(bead.width, joint.values["width"]), (bead.height, joint.values["depth"])],
                key=lambda each: -each[1],
            )
        )


def test_raked_joint(evaluations, read):
    for joint in evaluations["mortar.depth"].values():
        drawn, values = read("mortar.depth", joint), joint.values
        raked = drawn.part("raked")
        low, high = drawn.part("depth_low"), drawn.part("depth_high")
        same_scale(
            (high.left - raked.left, values["depth_high"]),
            (low.left - raked.left, values["depth_low"]),
            (raked.width, values["depth_filled"]),
            (raked.height, values["joint_width"]),
        )


def test_lap(evaluations, read):
    for lap in evaluations["bar.lap"].values():
        drawn, values = read("bar.lap", lap), lap.values
        one, other = drawn.parts("bar")
        # The bars run side by side from the second's start to the first's end.
        assert one.right - other.left == pytest.approx(190, abs=2 * ROUNDING)
        thick = [
            float(each.get("stroke-width")) for each in drawn.root.iter() if each.get("data-part") == "bar"
        ]
        scale = 190 / values["lap_length"]
        assert thick == pytest.approx([max(1.6, scale * values["bar_diameter"])] * 2, abs=ROUNDING)


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
