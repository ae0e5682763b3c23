"""Slips: where each leads, against factors from outside the program."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from trainer.languages import Text
from trainer.questions import Bank, draw, grade
from trainer.questions.drawn import DrawnSlip, Tolerance
from trainer.questions.slips import collision, match
from trainer.questions.unit_slips import UNIT_SLIPS

BAGS = "questions/bag-count.toml"
NOTHING = Text(en="", es="")

# NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B: units of measure and exact conversion factors.
FACTORS = {
    ("in", "feet-for-inches"): 1 / 12,
    ("in", "inches-times-12"): 12,
    ("in", "millimeters-for-inches"): 25.4,
    ("in", "centimeters-for-inches"): 2.54,
    ("ft", "inches-for-feet"): 12,
    ("ft", "divided-by-12-twice"): 1 / 12,
    ("ft", "meters-for-feet"): 0.3048,
    ("in2", "square-feet-for-square-inches"): 1 / 144,
    ("ft2", "square-inches-for-square-feet"): 144,
    ("ft2", "divided-by-12-once"): 144 / 12,
    ("ft2", "square-yards-for-square-feet"): 1 / 9,
    ("in3", "cubic-feet-for-cubic-inches"): 1 / 1728,
    ("ft3", "cubic-inches-for-cubic-feet"): 1728,
    ("ft3", "cubic-yards-for-cubic-feet"): 1 / 27,
    ("ft3", "thickness-in-inches"): 12,
    ("yd3", "cubic-feet-for-cubic-yards"): 27,
    ("yd3", "divided-by-9"): 27 / 9,
    ("lb", "kilograms-for-pounds"): 0.45359237,
    ("lb", "tons-for-pounds"): 1 / 2000,
    ("gal", "quarts-for-gallons"): 4,
    ("gal", "pints-for-gallons"): 8,
    ("in/ft", "fall-per-inch"): 1 / 12,
    ("percent", "fraction-for-percent"): 1 / 100,
    ("degree", "radians-for-degrees"): math.pi / 180,
    ("day", "hours-for-days"): 24,
    ("day", "weeks-for-days"): 1 / 7,
}


def test_the_slips_of_units_have_the_factors_of_the_standards() -> None:
    found = {(unit, id): factor for unit, rows in UNIT_SLIPS.items() for id, factor, _ in rows}
    assert found == pytest.approx(FACTORS, rel=1e-15)


def test_a_radius_taken_for_a_diameter(changed_bank: Callable[..., Bank]) -> None:
    """One 10 in round tile with a 1/2 in gap: the opening is π/4·11² in²; by its radius π/4·6², by twice it π/4·21²."""
    bank = changed_bank(
        BAGS,
        ('[["13 x 13 in"], ["8 1/2 x 13 in", "8 1/2 x 13 in"], ["10 in dia"]]', '[["10 in dia"]]'),
        ("[given.volume]\n", '[given.bond_gap]\nvalue = "1/2 in"\n\n[given.volume]\n'),
        ('calculation = "concrete.bags"\nresult = "bags"\nunit = "bags"\ntolerance = "exact"',
         'calculation = "crown.slab"\nresult = "opening_area"\nunit = "in2"\ntolerance = "1 %"'),
        ('change = { waste = "zero" }', 'change = { bond_gap = "zero" }'),
    )  # fmt: skip
    drawn = draw(bank.question("bag-count"), 0)
    values = {slip.id: slip.value for slip in drawn.body.slips}
    assert drawn.body.expected == pytest.approx(math.pi / 4 * 11**2)
    assert values["no-waste"] == pytest.approx(math.pi / 4 * 10**2)
    assert values["radius-for-diameter"] == pytest.approx(math.pi / 4 * 6**2)
    assert values["diameter-for-radius"] == pytest.approx(math.pi / 4 * 21**2)
    assert grade(drawn, "346.4").slip == "diameter-for-radius"


def _slip(id: str, value: float) -> DrawnSlip:
    return DrawnSlip(id, value, NOTHING)


def test_a_slip_meets_the_right_answer_or_another() -> None:
    tolerance = Tolerance("absolute", 0.125)
    assert collision(_slip("a", 44.6), 44.5, [], tolerance, "in") == "the right answer"
    assert collision(_slip("a", 42.6), 44.5, [_slip("b", 42.5)], tolerance, "in") == "b"
    assert collision(_slip("a", 42.5), 44.5, [_slip("b", 40.5)], tolerance, "in") is None


def test_the_nearest_slip_is_named() -> None:
    slips = [_slip("a", 42.0), _slip("b", 42.2)]
    tolerance = Tolerance("absolute", 0.125)
    assert match(slips, 42.09, tolerance, "in") == slips[0]
    assert match(slips, 42.11, tolerance, "in") == slips[1]
    assert match(slips, 43.0, tolerance, "in") is None


def test_an_exact_length_finds_its_slip_as_the_tape_shows_it() -> None:
    """A slip at 13.3333 in is written 13 5/16 by anyone with a tape."""
    slips = [_slip("a", 40 / 3)]
    assert match(slips, 13 + 5 / 16, Tolerance("exact"), "in") == slips[0]
    assert match(slips, 13 + 6 / 16, Tolerance("exact"), "in") is None


def test_a_slip_of_another_quantity_gives_its_bare_number(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(
        "questions/crown/slab-length.toml", ('change = { overhang = "zero" }', 'result = "gross_area"')
    )
    drawn = draw(bank.question("slab-length"), 0)
    value = {slip.id: slip.value for slip in drawn.body.slips}["forgotten"]
    assert value == pytest.approx(49.5 * 33 / 144)  # 45 1/2 by 29 in, 2 in more at every edge, in ft²


def test_a_slip_of_another_unit_of_one_kind_is_converted(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(
        "questions/crown/slab-length.toml",
        ('change = { overhang = "zero" }', 'result = "slab_width"'),
        ('unit = "in"', 'unit = "ft"'),
        ('low = "30 in"', 'low = "2 ft"'),
        ('high = "70 in"', 'high = "6 ft"'),
    )
    value = {slip.id: slip.value for slip in draw(bank.question("slab-length"), 0).body.slips}["forgotten"]
    assert value == pytest.approx(33 / 12)
