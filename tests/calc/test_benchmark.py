"""How the core's speed compares; prints the ratios. Not part of the normal run: `pytest -m benchmark`."""

from __future__ import annotations

import itertools
import math
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import pint
import pytest

from tests.shipped import shipped_bank
from trainer import calc
from trainer.calc import Flue
from trainer.questions import draw, grade
from trainer.questions.search import guesses

pytestmark = pytest.mark.benchmark

INPUTS = {
    "chimney_length": 40.5,
    "chimney_width": 24.0,
    "overhang": 2.0,
    "edge_thickness": 4.0,
    "flue_thickness": 5.5,
    "flue": [Flue("rectangular", 13.0, 13.0), Flue("rectangular", 8.5, 13.0)],
    "bond_gap": 0.5,
    "flue_spacing": 4.0,
    "density": 145.0,
}


def bare(length, width, over, edge, top, flues, gap, spacing, density, sqft=144.0, cuft=1728.0, foot=12.0):
    """The formula of crown.slab as one would type it, for numbers or for pint quantities."""
    slab_length, slab_width = length + 2 * over, width + 2 * over
    gross = slab_length * slab_width / sqft
    block = gross * edge / foot
    opening = sum((a + 2 * gap) * (b + 2 * gap) for a, b in flues) / sqft
    crest_length = sum(a for a, _ in flues) + spacing * (len(flues) - 1) + 2 * gap
    crest_width = max(b for _, b in flues) + 2 * gap
    rise = top - edge
    wash = rise / 6 * (2 * slab_length * slab_width + slab_length * crest_width + slab_width * crest_length
                       + 2 * crest_length * crest_width) / cuft  # fmt: skip
    volume = block + wash - opening * top / foot
    return {
        "slab_length": slab_length,
        "slab_width": slab_width,
        "perimeter": 2 * (slab_length + slab_width),
        "gross_area": gross,
        "opening_area": opening,
        "net_area": gross - opening,
        "crest_length": crest_length,
        "crest_width": crest_width,
        "wash_volume": wash,
        "volume": volume,
        "weight": volume * density,
        "slope_long": rise / ((slab_length - crest_length) / 2) * foot,
        "slope_short": rise / ((slab_width - crest_width) / 2) * foot,
    }


def once(work: Callable[[], Any], seconds: float = 0.2) -> float:
    """Processor seconds of one run, the best of five rounds."""
    times, rounds = 1, []
    while True:
        began = time.process_time()
        for _ in range(times):
            work()
        took = time.process_time() - began
        if took >= seconds / 5:
            rounds.append(took / times)
            if len(rounds) == 5:
                return min(rounds)
        else:
            times *= 2


def as_quantities() -> tuple[Any, ...]:
    """The arguments of `bare` as pint quantities."""
    units = pint.UnitRegistry()
    of = units.Quantity
    sizes = [of(value, "inch") for value in (40.5, 24.0, 2.0, 4.0, 5.5)]
    flues = [(of(13.0, "inch"), of(13.0, "inch")), (of(8.5, "inch"), of(13.0, "inch"))]
    factors = (
        of(144.0, "inch ** 2 / foot ** 2"),
        of(1728.0, "inch ** 3 / foot ** 3"),
        of(12.0, "inch / foot"),
    )
    return (*sizes, flues, of(0.5, "inch"), of(4.0, "inch"), of(145.0, "pound / foot ** 3"), *factors)


def test_crown_slab(capsys):
    numbers = (40.5, 24.0, 2.0, 4.0, 5.5, [(13.0, 13.0), (8.5, 13.0)], 0.5, 4.0, 145.0)
    measured = as_quantities()
    results = calc.evaluate("crown.slab", INPUTS).results
    for made in (bare(*numbers), bare(*measured)):  # all three are the same formula
        for name, value in made.items():
            assert getattr(value, "magnitude", value) == pytest.approx(results[name], rel=1e-12), name
    in_floats = once(lambda: bare(*numbers))
    in_pint = once(lambda: bare(*measured))
    evaluated = once(lambda: calc.evaluate("crown.slab", INPUTS))
    worked = once(lambda: calc.work("crown.slab", INPUTS))
    with capsys.disabled():
        print(
            f"\ncrown.slab without steps: {evaluated * 1e6:.1f} µs, {evaluated / in_floats:.1f} times bare floats (8 allowed)"
        )
        print(f"pint quantities: {in_pint / evaluated:.0f} times crown.slab (30 wanted)")
        print(f"crown.slab with steps: {worked / evaluated:.1f} times without (10 allowed)")
    assert evaluated <= 8 * in_floats
    assert in_pint >= 30 * evaluated
    assert worked <= 10 * evaluated


def test_draw_and_grade_and_slip_search(capsys):
    """Every number question of the bank in turn: draws graded in a second, beside the bare calculations they rest on."""
    bank = shipped_bank()
    questions = [one for one in bank.questions.values() if one.kind == "number"]
    drawn = [draw(one, 0) for one in questions]  # warms what is made once

    def all_of(work: Callable[[Any], Any], each: list[Any]) -> float:
        """Processor seconds of one, the mean over all."""
        return once(lambda: [work(one) for one in each], seconds=2) / len(each)

    seeds = itertools.count(1)

    def draw_and_grade(question: Any) -> None:
        one = draw(question, next(seeds))
        grade(one, one.answer())

    whole = all_of(draw_and_grade, questions)
    graded = all_of(lambda one: grade(one, one.answer()), drawn)
    core = all_of(lambda one: calc.evaluate(one.body.calculation, one.body.inputs), drawn)
    searched = {}
    for one in drawn:
        wrong = f"{round(one.body.expected * 7) + 3}"
        if grade(one, wrong).slip is None:
            searched[one.question_id] = once(lambda one=one, wrong=wrong: guesses(one, wrong), seconds=0.05)
    slowest = max(searched, key=searched.__getitem__)
    with capsys.disabled():
        print(f"\ndraw and grade: {1 / whole:,.0f} a second (3,000 wanted), grading alone {1 / graded:,.0f}")
        print(
            f"bare calculations: {1 / core:,.0f} a second, {whole / core:.1f} in the time of a draw and grade"
        )
        mean = sum(searched.values()) / len(searched)
        print(
            f"slip search: {mean * 1e3:.1f} ms, at most {searched[slowest] * 1e3:.1f} ms ({slowest}; 30 allowed)"
        )
    assert len(searched) > 60
    assert 1 / whole >= 3000
    assert searched[slowest] <= 0.030


def test_whole_process(capsys):
    def took(*command: str) -> float:
        """Processor seconds of the quickest of five runs, children's time."""
        best = math.inf
        for _ in range(5):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run([sys.executable, *command], check=True, stdout=subprocess.DEVNULL)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            best = min(best, after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
        return best

    registry = took("-c", "import pint; pint.UnitRegistry()")
    inches = took("-m", "trainer", "calc", "crown.slab", "chimney_length=40 1/2 in", "chimney_width=24 in")
    metric = took("-m", "trainer", "calc", "crown.slab", "chimney_length=1,028.7 mm", "chimney_width=24 in")
    with capsys.disabled():
        print(
            f"\ntrainer calc in inches: {inches / registry:.2f} times a bare pint registry, metric {metric / registry:.2f} (1.5 allowed)"
        )
    assert max(inches, metric) <= 1.5 * registry
