"""Where the seed puts the faults of a chimney top, how large it is, and which places are marked on it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final, TypeVar

from trainer.drawings.chimney_top import FAULTS, PLACES, ChimneyTop, neighbourhood, places
from trainer.questions.kinds.faults_file import FaultRule
from trainer.questions.seeds import Rejected, Seed

One = TypeVar("One")

# Parts that are not marked as sound near a fault which shows there too.
TOUCHED: Final = {
    "no-overhang": ("joint",),
    "thin-edge": ("wash", "steel"),
    "steel-at-form": ("edge",),
    "opening-uncovered": ("gap",),
    "cracked-tile": ("rim",),
}
FALL: Final = math.tan(math.radians(10.5))  # a little over the 10 degrees of ASTM C1283 8.1
INWARDS: Final = 5.75  # from the wall's face to the flue, about [in]


def choose_top(rule: FaultRule, seed: Seed, shop: Mapping[str, Any]) -> dict[str, Any]:
    """The sizes of a chimney top in this shop, without its faults [in]; the shop's figures as far as they can be drawn."""
    flues, tile = rule.shapes[seed.pick("shape", len(rule.shapes))]
    low, high = float(shop["projection"]), float(shop["max_projection"])
    overhang, edge = min(float(shop["overhang"]), 4.0), min(float(shop["edge_thickness"]), 6.0)
    return {
        "flues": flues,
        "tile": tile,
        "overhang": overhang,
        "edge": edge,
        "deep": edge + max(1.5, (overhang + INWARDS) * FALL),
        "gap": min(float(shop["bond_gap"]), 1.0),
        "projection": low + seed.pick("projection", int(high - low) + 1),
        "too_high": high + 5.0 + seed.pick("too-high", 2),
        "cover": min(float(shop["cover"]), 2.0),
    }


def choose_faults(rule: FaultRule, flues: int, seed: Seed) -> dict[str, str]:
    """Place to fault, no two in one neighbourhood. Raises Rejected when the seed's choice leaves no room."""
    count = rule.least + seed.pick("faults", rule.most - rule.least + 1)
    chosen: dict[str, str] = {}
    # Each fault once, as far as there is room; only then one of them a second time.
    for fault in (*_mixed(rule.may, seed, "first"), *_mixed(rule.may, seed, "second")):
        taken = {neighbourhood(place) for place in chosen}
        own = [place for place in places(flues) if PLACES[place] == FAULTS[fault]]
        free = [place for place in own if neighbourhood(place) not in taken]
        if len(chosen) < count and free:
            chosen[free[seed.pick(f"place {len(chosen)}", len(free))]] = fault
    if len(chosen) < count:
        raise Rejected("refusal", "the faults find no room beside one another")
    return chosen


def choose_marks(rule: FaultRule, top: ChimneyTop, seed: Seed) -> list[str]:
    """The places to be marked: every fault, and sound ones up to the wanted number, in the drawing's order."""
    faulty = {place for place, _ in top.faults}
    touched = {part for _, fault in top.faults for part in TOUCHED.get(fault, ())}
    sound = [place for place in places(top.flues) if place not in faulty]
    clear = [place for place in sound if PLACES[place] not in touched]
    chosen = faulty | set(_mixed(clear, seed, "mark")[: rule.places - len(faulty)])
    return [place for place in places(top.flues) if place in chosen]


def _mixed(items: Sequence[One], seed: Seed, about: str) -> list[One]:
    """The items in an order of the seed's."""
    order = sorted(range(len(items)), key=lambda place: seed.pick(f"{about} {place}", 2**64))
    return [items[place] for place in order]
