"""Every figure to one scale in both axes: lengths measured on the finished drawing against the real ones.

The real lengths are the inputs themselves and plain geometry; nothing is asked of the drawing code but its SVG.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

# Places are written to a hundredth of a page unit, so a length may be off by that much.
ROUNDING = 0.011


def same_scale(*pairs):
    """Drawn and real lengths all in the ratio of the first pair; returns that ratio."""
    scale = pairs[0][0] / pairs[0][1]
    for drawn, real in pairs:
        assert drawn == pytest.approx(real * scale, abs=2 * ROUNDING + ROUNDING * real / pairs[0][1])
    return scale


def test_crown_plan(evaluations, read):
    for chimney in evaluations["crown.plan"].values():
        plan, given = read("crown.plan", chimney), chimney.inputs
        slab, wall = plan.part("slab"), plan.part("chimney")
        flues, openings = plan.parts("flue"), plan.parts("opening")
        length, width, over = (given[name] for name in ("chimney_length", "chimney_width", "overhang"))
        scale = same_scale(
            (slab.width, length + 2 * over),
            (slab.height, width + 2 * over),
            (wall.width, length),
            (wall.height, width),
            (wall.left - slab.left, over),
            *((box.width, flue.length) for box, flue in zip(flues, given["flue"], strict=True)),
            *((box.height, flue.width) for box, flue in zip(flues, given["flue"], strict=True)),
            *(
                (box.left - around.left, given["bond_gap"])
                for box, around in zip(flues, openings, strict=True)
            ),
        )
        if flues:
            # In a row on the longer side, the group centred, neighbours the given clear distance apart.
            first, last = flues[0], flues[-1]
            along_length = length >= width
            ends = (first.left, last.right) if along_length else (first.bottom, last.top)
            centre = slab.middle[0 if along_length else 1]
            assert sum(ends) / 2 == pytest.approx(centre, abs=2 * ROUNDING)
            for one, other in pairwise(flues):
                clear = other.left - one.right if along_length else one.top - other.bottom
                assert clear == pytest.approx(given["flue_spacing"] * scale, abs=3 * ROUNDING)


def test_crown_section(evaluations, read):
    for chimney in evaluations["crown.section"].values():
        projection = 3.5
        section, given = read("crown.section", chimney, projection=projection), chimney.inputs
        lengthwise = given["chimney_length"] >= given["chimney_width"]
        size = max(given["chimney_length"], given["chimney_width"])
        concrete, walls, flues = section.parts("concrete"), section.parts("wall"), section.parts("flue")
        deep = given["flue_thickness"] if flues else given["edge_thickness"]
        scale = same_scale(
            (concrete[-1].right - concrete[0].left, size + 2 * given["overhang"]),
            (walls[-1].right - walls[0].left, size),
            (walls[0].left - concrete[0].left, given["overhang"]),
            *((each.height, deep) for each in concrete if each.width > given["bond_gap"]),
            *(
                (box.width, flue.length if lengthwise else flue.width)
                for box, flue in zip(flues, given["flue"], strict=True)
            ),
            *((concrete[0].top - box.top, projection) for box in flues),
            *(
                (each.left - box.right, given["bond_gap"])
                for box, each in zip(flues, concrete[1:], strict=True)
            ),
        )
        for one, other in pairwise(flues):
            assert other.left - one.right == pytest.approx(given["flue_spacing"] * scale, abs=3 * ROUNDING)
        # The edge in the whole section: outermost corners of the outline.
        assert all(box.bottom == pytest.approx(concrete[0].bottom, abs=ROUNDING) for box in concrete)


def test_crown_details(evaluations, read):
    for chimney in evaluations["crown.section"].values():
        projection = 5.0
        section, given = read("crown.section", chimney, projection=projection), chimney.inputs
        edge, wall = section.part("edge-concrete"), section.part("edge-wall")
        corners = section.corners("edge-concrete")
        right = [y for x, y in corners if x == pytest.approx(edge.right, abs=ROUNDING)]
        same_scale(
            (max(right) - min(right), given["edge_thickness"]), (edge.right - wall.right, given["overhang"])
        )
        if given["flue"]:
            piece, tile, gap = section.part("flue-concrete"), section.part("tile"), section.part("gap")
            same_scale(
                (piece.height, given["flue_thickness"]),
                (piece.top - tile.top, projection),
                (gap.width, given["bond_gap"]),
                (piece.left - tile.right, given["bond_gap"]),
            )


def test_drip_groove_lies_far_enough_from_the_wall(evaluations, read):
    # Michigan Admin. Code R 408.30547b: drip slot at least 1 1/2 in from the outer chimney face, overhang at least 2 in.
    chimney = evaluations["crown.section"]["40.5 x 24, one, 5.5"]
    assert chimney.inputs["overhang"] == 2.0
    section = read("crown.section", chimney)
    edge, wall = section.part("edge-concrete"), section.part("edge-wall")
    scale = (edge.right - wall.right) / 2.0
    below = [x for x, y in section.corners("edge-concrete") if y > edge.top + scale and y < edge.bottom - 0.1]
    grooved = [x for x in below if x < edge.right - 0.1]
    assert len(grooved) == 2
    assert min(grooved) - wall.right >= 1.5 * scale - 2 * ROUNDING


def test_rebar_plan(evaluations, read):
    for mat in evaluations["rebar.plan"].values():
        plan, values = read("rebar.plan", mat), mat.values
        slab = plan.part("slab")
        scale = same_scale((slab.width, values["slab_length"]), (slab.height, values["slab_width"]))
        longs, shorts = plan.strokes("long-bars"), plan.strokes("short-bars")
        # A bar of which nothing remains is not drawn; all others are there.
        rows = {y for (_, y), _ in longs}
        assert len(rows) <= values["long_bars"]
        assert len({x for (x, _), _ in shorts}) <= values["short_bars"]
        # What is drawn adds up to the calculation's total, which is computed another way.
        drawn = sum(math.dist(*stroke) for stroke in (*longs, *shorts))
        assert drawn / scale / 12 == pytest.approx(values["total_length"], rel=2e-3)
        if not longs:
            continue  # a flue so large that no long bar remains
        # First and last bar: cover plus half a bar from the form; ends the cover from the form.
        assert (max(rows) - slab.bottom) / -scale == pytest.approx(
            values["cover"] + values["bar_diameter"] / 2, abs=2 * ROUNDING / scale
        )
        ends = min(x for stroke in longs for x, _ in stroke)
        assert (ends - slab.left) / scale == pytest.approx(values["cover"], abs=2 * ROUNDING / scale)
        # No steel nearer than the cover to an opening.
        for opening in plan.parts("opening"):
            for (x1, y1), (x2, y2) in (*longs, *shorts):
                aside = max(opening.left - max(x1, x2), min(x1, x2) - opening.right)
                above = max(opening.top - max(y1, y2), min(y1, y2) - opening.bottom)
                assert max(aside, above) / scale >= values["cover"] - 3 * ROUNDING / scale


def test_flue_section(evaluations, read):
    for cut in evaluations["flue.section"].values():
        section, values = read("flue.section", cut), cut.values
        flue, (wall, _) = section.part("flue"), section.parts("wall")
        # The tile is drawn 10 in wide, whatever its height; the wall's top is what heights start from.
        scale = same_scale((flue.width, 10.0), (max(0.0, wall.top - flue.top), values["flue_above_wall"]))
        crown = section.parts("crown")[0]
        assert crown.height / scale == pytest.approx(
            values["base_thickness"] + values["flue_thickness"], abs=2 * ROUNDING / scale
        )
        lines, added = section.parts("cut-line"), section.parts("added")
        assert bool(lines) == (values["cut_down"] > 0)
        assert bool(added) == (values["extension"] > 0)
        # What stands after the work is the wanted projection, measured from the crown.
        for top in (*(line.top for line in lines), *(piece.top for piece in added)):
            assert (crown.top - top) / scale == pytest.approx(
                values["projection"], rel=2e-3, abs=3 * ROUNDING / scale
            )


def test_roof_triangle(evaluations, read):
    for roof in evaluations["roof.triangle"].values():
        triangle = read("roof.triangle", roof).part("triangle")
        same_scale((triangle.width, 12.0), (triangle.height, roof.inputs["rise"]))


def test_ladder(evaluations, read):
    for ladder in evaluations["ladder.side"].values():
        drawn, given = read("ladder.side", ladder), ladder.inputs
        rail, fascia = drawn.part("rail"), drawn.part("fascia")
        foot, support = (rail.right, rail.bottom), (fascia.right, fascia.top)
        # 29 CFR 1926.1053(b)(5)(i): the foot is out a quarter of the working length.
        assert foot[0] - support[0] == pytest.approx(math.dist(foot, support) / 4, abs=3 * ROUNDING)
        # (b)(1): the rails stand the given height, 3 ft as it comes, above the support.
        high = foot[1] - support[1]
        above = given["extension"] / given["support_height"]
        assert support[1] - rail.top == pytest.approx(above * high, abs=3 * ROUNDING)


def test_rebar_cuts(evaluations, read):
    for plan in evaluations["rebar.cuts"].values():
        drawing = read("rebar.cuts", plan)
        stock, kerf = plan.inputs["stock_length"] * 12, plan.inputs["kerf"]
        bars = sorted({tuple(bar) for bar in plan.values["plan"]}, reverse=True)
        drawn = drawing.parts("bar")
        assert len(drawn) == len(bars)
        scale = drawn[0].width / stock
        assert all(box.width == pytest.approx(stock * scale, abs=ROUNDING) for box in drawn)
        cuts = [each for each in drawing.root.iter() if each.get("data-part") == "cuts"]
        expected = []
        for box, bar in zip(drawn, bars, strict=True):
            ends = [sum(bar[: place + 1]) + kerf * place for place in range(len(bar))]
            expected += [[box.left + end * scale for end in ends if end < stock]]
        found = [[float(one.split()[0]) for one in each.get("d").split("M")[1:]] for each in cuts]
        assert found == [pytest.approx(places, abs=ROUNDING) for places in expected if places]
