"""What the figures are drawn from in the tests: the usual sizes, and every input at both ends of its range."""

from __future__ import annotations

import itertools
from functools import cache

from trainer import calc, drawings
from trainer.calc import Entry, Flue
from trainer.errors import Refusal


def tile(length: float, width: float) -> Flue:
    return Flue("rectangular", length, width)


def pipe(diameter: float) -> Flue:
    return Flue("round", diameter, diameter)


# Uncommon numbers, so that no value can stand on a drawing by chance.
DISTINCT = {
    "crown.plan": {
        "chimney_length": 55.0625,
        "chimney_width": 31.3125,
        "overhang": 2.1875,
        "bond_gap": 0.4375,
        "edge_thickness": 4.1875,
        "flue_thickness": 5.8125,
        "flue_spacing": 4.6875,
        "flue": [tile(13.0, 13.0), pipe(10.0)],
    },
    "rebar.plan": {
        "slab_length": 59.4375,
        "slab_width": 35.6875,
        "cover": 1.5625,
        "max_spacing": 7.8125,
        "flue": [tile(13.0, 13.0), pipe(10.0)],
        "flue_spacing": 4.6875,
    },
    "flue.section": {"flue_above_wall": 17.3125, "flue_thickness": 5.1875, "projection": 2.9375},
    "roof.triangle": {"rise": 7.3125},
    "ladder.side": {"support_height": 17.8125, "extension": 3.3125},
    "tape.reading": {"length": 40.3125},
    "form.boards": {"slab_length": 44.5625, "slab_width": 28.4375},
    "flue.cutline": {
        "outside": tile(13.0, 8.5),
        "wall_thickness": 0.8125,
        "cut_down": 9.4375,
        "blade_diameter": 4.5625,
        "flange_diameter": 1.6875,
    },
    "chimney.height": {"pitch": 6.5, "ridge_distance": 13.25, "roof_at_chimney": 21.5},
    "fall.clearance": {
        "free_fall": 4.25,
        "deceleration": 3.375,
        "stretch": 1.125,
        "dring_height": 4.8125,
        "anchor_below": 0.9375,
        "margin": 2.1875,
        "available": 18.5625,
    },
    "roof.protection": {
        "chimney_length": 40.5625,
        "chimney_width": 24.4375,
        "margin": 47.3125,
        "rise": 7.8125,
    },
    "brick.courses": {"height": 33.3125, "brick_height": 2.4375, "joint": 0.4375},
    "brick.wall": {
        "wall_length": 61.3125,
        "wall_height": 43.8125,
        "brick_length": 7.5625,
        "brick_height": 2.4375,
        "joint": 0.4375,
    },
    "sealant.joint": {"joint_width": 0.4375},
    "crown.bend": {"overhang": 2.5625, "edge_thickness": 4.1875, "edge_load": 83.0},
    "rebar.stock": {
        "piece": [Entry(count=7.0, length=42.4375), Entry(count=9.0, length=26.5625)],
        "kerf": 0.125,
        "stock_length": 19.8125,
    },
}
DISTINCT |= {
    "crown.fall": {"rise": 1.4375, "run": 13.3125},
    "tape.sum": {"length": [40.3125, -7.4375, 3.5625]},
    "tape.parts": {"length": 61.3125, "parts": 7.0},
    "lift.side": {"horizontal": 14.4375, "vertical": 27.8125, "travel": 31.3125, "load": 43.7},
    "flue.opening": {"nominal": tile(13.0, 8.5)},
    "flue.tile": {"outside": tile(13.0, 8.5), "length": 23.3125},
    "fireplace.flue": {
        "opening_width": 36.4375,
        "opening_height": 29.3125,
        "shape": "rectangular",
        "area": 97.3,
        "aspect_ratio": 1.6,
    },
    "sealant.bead": {"length": 6.8125, "width": 0.4375, "depth": 0.3125},
    "mortar.depth": {"joint_length": 87.6, "joint_width": 0.4375, "depth": 0.9375},
    "bar.lap": {"bar": "#4", "strength": 3700.0, "yield_strength": 57.0},
    "bucket.fill": {"volume": 8.3, "bucket_volume": 5.4, "bucket_weight": 2.7, "carry_limit": 43.0},
    "debris.stack": {"volume": 7.3, "brick": 83.0},
}
DISTINCT["crown.section"] = DISTINCT["crown.plan"]
DISTINCT["mortar.wall"] = DISTINCT["brick.wall"]


# Inputs left out or of another form, which change what is drawn.
OTHERWISE = {
    "flue.opening": [{"nominal": None, "inside": tile(11.25, 6.75)}, {"nominal": pipe(10.0)}],
    "flue.tile": [{"outside": pipe(10.0), "wall_thickness": 1.0}],
    "fall.clearance": [{"available": None}],
    "mortar.depth": [{"depth": None}],
    "fireplace.flue": [{"shape": shape, "aspect_ratio": None} for shape in ("square", "round")],
}


def distinct(figure):
    return calc.evaluate(drawings.FIGURES[figure].calculation, DISTINCT[figure])


def _ends(each):
    """Both ends of what an input takes."""
    if each.kind == "choice":
        return list(each.choices)
    if each.kind == "flue":
        low, high = each.low, each.high
        ends = [tile(low, low), tile(high, high), tile(low, high), tile(high, low), pipe(low), pipe(high)]
        return [[], *([end] for end in ends)] if each.many else ends
    if each.kind == "at":
        count, length = each.parts
        ends = itertools.product((count.low, 40.0), (length.low, 11.0, length.high))
        return [[Entry(count=float(many), length=long)] for many, long in ends]
    if each.kind == "size":
        sides = itertools.product(*((part.low, part.high) for part in each.parts))
        names = [part.name for part in each.parts]
        return [Entry(**dict(zip(names, side, strict=True))) for side in sides]
    return [[each.low], [each.high, 0.0], [each.high] * 20] if each.many else [each.low, each.high]


@cache
def extremes(figure):
    """Every input, and every two inputs together, at the ends of their ranges; what the core refuses is left out."""
    name = drawings.FIGURES[figure].calculation
    usual, inputs = DISTINCT[figure], calc.get(name).inputs
    ends = [(each.name, end) for each in inputs for end in _ends(each)]
    changes = [{}, *OTHERWISE.get(figure, []), *({name: end} for name, end in ends)]
    changes += [{one[0]: one[1], other[0]: other[1]} for one, other in itertools.combinations(ends, 2)]
    found = {}
    for change in changes:
        try:
            found[str(change)] = calc.evaluate(name, usual | change)
        except Refusal:
            continue
    assert len(found) > len(inputs)
    return found
