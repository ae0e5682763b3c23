"""Random inputs for any calculation, made from what it declares: each within its own range, ends included."""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

from trainer.calc import Calculation, Flue, Input
from trainer.calc.spec import REQUIRED

GRAIN = 64
LARGEST = 5_000.0
FLUES = [
    Flue("rectangular", 13.0, 13.0), Flue("rectangular", 8.5, 13.0), Flue("rectangular", 8.5, 8.5),
    Flue("round", 11.75, 11.75), Flue("round", 9.5, 9.5), Flue("rectangular", 4.5, 13.0),
]  # fmt: skip


def number(chance: random.Random, low: float, high: float, whole: bool) -> float:
    """On a 64th, so that it is typed exactly; now and then an end of the range."""
    high = min(high, LARGEST)
    end = chance.random()
    if end < 0.1:
        return low if end < 0.05 else high
    if chance.random() < 0.7:  # mostly the size of things on a roof, not of the widest range
        high = min(high, max(low, 0.0) + max(60.0, 4 * abs(low)))
    drawn = chance.uniform(low, high)
    if high - low < 1:  # an expansion of millionths is not on a 64th
        return drawn
    return float(round(drawn)) if whole else min(max(round(drawn * GRAIN) / GRAIN, low), high)


def value(chance: random.Random, each: Input) -> Any:
    if each.many:
        count = chance.randint(1 if each.default is REQUIRED else 0, 4)
        return [one(chance, each) for _ in range(count)]
    return one(chance, each)


def one(chance: random.Random, each: Input) -> Any:
    if each.kind == "choice":
        return chance.choice(each.choices)
    if each.kind == "flue":
        return chance.choice(FLUES)
    if each.kind == "date":
        return date(2026, 1, 1) + timedelta(days=chance.randrange(3000))
    if each.parts:
        return tuple(number(chance, part.low, part.high, part.unit == "count") for part in each.parts)
    return number(chance, each.low, each.high, each.unit == "count")


def inputs(chance: random.Random, calculation: Calculation) -> dict[str, Any]:
    """Every required input and some of the others."""
    return {
        each.name: value(chance, each)
        for each in calculation.inputs
        if each.default is REQUIRED or chance.random() < 0.5
    }
