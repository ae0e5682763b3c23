"""The drawn forms, brick, bars and lengths against the calculations' numbers.

A scale is recovered from one drawn length; the others have to agree with it. Nothing is asked of the drawing code but its
SVG.
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


def test_sum(evaluations, read):
    for added in evaluations["tape.sum"].values():
        drawn, lengths = read("tape.sum", added), added.inputs["length"][:12]
        laid = _strokes(drawn, "length")
        told = [length for length in lengths if length]
        assert len(laid) == len(told)
        same_scale(
            *((abs(x2 - x1), abs(length)) for ((x1, _), (x2, _)), length in zip(laid, told, strict=True))
        )
        for ((_, _), (before, _)), ((after, _), _) in pairwise(laid):
            assert before == after  # each begins where the one before it ends
        assert all((x2 > x1) == (length > 0) for ((x1, _), (x2, _)), length in zip(laid, told, strict=True))


def _strokes(drawn, part):
    found = [
        re.findall(r"-?[\d.]+", each.get("d")) for each in drawn.root.iter() if each.get("data-part") == part
    ]
    return [((float(x1), float(y1)), (float(x2), float(y2))) for x1, y1, x2, y2 in found]
