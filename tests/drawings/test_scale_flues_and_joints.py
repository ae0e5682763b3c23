"""The drawn flue tiles, cuts and joints against the calculations' numbers.

A scale is recovered from one drawn length; the others have to agree with it. Nothing is asked of the drawing code but its
SVG.
"""

from __future__ import annotations

import math
import re

import pytest

from tests.drawings.test_scale import ROUNDING, same_scale


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
        # The rod pressed in fills the arch.
        (pressed,) = [each for each in drawn.root.iter() if each.get("data-part") == "pressed-rod"]
        _, middle, _, half, *_ = map(float, re.findall(r"-?[\d.]+", pressed.get("d")))
        assert middle - half == pytest.approx(low - arch, abs=2 * ROUNDING)


def test_flue_opening(evaluations, read):
    for flue in evaluations["flue.opening"].values():
        drawn, values = read("flue.opening", flue), flue.values
        opening, outside = drawn.part("opening"), drawn.part("outside")
        scale = same_scale((opening.width, values["inside_length"]), (opening.height, values["inside_width"]))
        round_tile = (values["nominal"] or values["inside"]).shape == "round"
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
