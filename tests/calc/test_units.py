"""Units: exact facts against NIST's definitions, dimensions against pint, and the closed list itself."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.calc import units
from trainer.errors import Refusal, UnknownName

# NIST Handbook 44, Appendix C, and NIST SP 811 Appendix B (from memory): exact by definition, or exact from them.
DEFINED = [
    ("1", "in", "25.4", "mm"),
    ("1", "ft", "0.3048", "m"),
    ("1", "yd", "0.9144", "m"),
    ("1", "yd", "3", "ft"),
    ("1", "ft2", "144", "in2"),
    ("1", "ft2", "0.09290304", "m2"),
    ("1", "ft3", "1728", "in3"),
    ("1", "ft3", "28.316846592", "L"),
    ("1", "yd3", "27", "ft3"),
    ("1", "yd3", "0.764554857984", "m3"),
    ("1", "gal", "231", "in3"),
    ("1", "gal", "3.785411784", "L"),
    ("128", "floz", "1", "gal"),
    ("12", "board ft", "1", "ft3"),
    ("1", "floz", "29.5735295625", "mL"),
    ("1", "lb", "0.45359237", "kg"),
    ("1", "oz", "0.028349523125", "kg"),
    ("1", "ton", "2000", "lb"),
    ("1", "day", "1440", "minute"),
    ("90", "minute", "1.5", "hour"),
]


@pytest.mark.parametrize(("amount", "start", "expected", "end"), DEFINED)
def test_conversion_is_exact_both_ways(amount: str, start: str, expected: str, end: str) -> None:
    assert units.convert(Fraction(amount), start, end) == Fraction(expected)
    assert units.convert(Fraction(expected), end, start) == Fraction(amount)


def test_sealant_cartridge() -> None:
    # A 10.1 fl oz cartridge holds 10.1 × 231/128 in3, which makers print as 18.2 or 18.3 in3.
    assert units.convert(Fraction("10.1"), "floz", "in3") == Fraction("10.1") * 231 / 128


def test_a_float_stays_a_float() -> None:
    made = units.convert(42.5, "in", "ft")
    assert isinstance(made, float)
    assert made == pytest.approx(42.5 / 12, rel=1e-15)


@pytest.mark.parametrize(
    ("unit", "metric", "expected"),
    [
        # NIST SP 811 Appendix B, from memory, to the figures printed there.
        ("psi", "kilogram / meter / second ** 2", 6894.757),
        ("lb/ft3", "kilogram / meter ** 3", 16.01846),
        ("lb/ft", "kilogram / meter", 1.488164),
    ],
)
def test_made_up_units_agree_with_published_factors(unit: str, metric: str, expected: float) -> None:
    quantity = units.registry().Quantity(Fraction(1), units.pint_unit(unit))
    assert float(quantity.to(metric).magnitude) == pytest.approx(expected, rel=1e-6)


def test_feet_and_inches_agree_with_the_definitions_file() -> None:
    # The 12 that spares loading pint must be the one of units.txt.
    made = units.registry().Quantity(Fraction(1), "foot").to("inch").magnitude
    assert made == units.INCHES_PER_FOOT == units.convert(Fraction(1), "ft", "in")
    assert units.convert(Fraction(1), "in", "ft") * made == 1


def test_units_of_one_kind_share_a_dimension_and_kinds_of_measure_differ() -> None:
    dimension: dict[str, set[frozenset[tuple[str, Fraction]]]] = {}
    for unit in units.UNITS.values():
        quantity = units.registry().Quantity(Fraction(1), units.pint_unit(unit.name))
        dimension.setdefault(unit.kind, set()).add(frozenset(quantity.dimensionality.items()))
    assert set(dimension) == set(units.KINDS)
    assert {kind: len(found) for kind, found in dimension.items()} == dict.fromkeys(units.KINDS, 1)
    bare = {kind for kind, found in dimension.items() if found == {frozenset()}}
    assert bare == {"number", "count", "percent", "slope"}
    measured = {kind: next(iter(found)) for kind, found in dimension.items() if kind not in bare}
    # Alike in dimension and different things on a site: each is asked for by its own words.
    alike = {"temperature rise": "temperature", "concentration": "density", "section modulus": "area"}
    assert all(measured.pop(kind) == measured[other] for kind, other in alike.items())
    assert len(set(measured.values())) == len(measured)


@pytest.mark.parametrize(
    ("amount", "start", "expected", "end"),
    # Fixed points of the scales: water freezes and boils, both scales meet, absolute zero (NIST SP 811, from memory).
    [("32", "degF", "0", "degC"), ("212", "degF", "100", "degC"), ("-40", "degF", "-40", "degC"),
     ("-459.67", "degF", "-273.15", "degC"), ("55", "degF", "115/9", "degC")],
)  # fmt: skip
def test_temperature_scales_are_exact_both_ways(amount: str, start: str, expected: str, end: str) -> None:
    assert units.convert(Fraction(amount), start, end) == Fraction(expected)
    assert units.convert(Fraction(expected), end, start) == Fraction(amount)
    assert units.convert(float(Fraction(amount)), start, end) == pytest.approx(float(Fraction(expected)))


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert units.convert(Fraction(9), "deltaF", "deltaC") == 5
    assert units.convert(Fraction("5.5"), "ppm/degF", "1/degC") == Fraction("5.5") * 9 / 5 / 10**6


@pytest.mark.parametrize(
    ("amount", "start", "expected", "end"),
    # NIST SP 811 Appendix B, from memory, to the figures printed there.
    [("1", "mph", "1.609344", "km/h"), ("1", "lb/ft2", "4.882428", "kg/m2"), ("1", "ksi", "6.894757", "MPa"),
     ("1", "lb/ft3", "16.01846", "kg/m3"), ("1", "lb/ft", "1.488164", "kg/m"), ("1", "m/s", "2.236936", "mph"),
     ("0.2", "lb/ft2/h", "0.9764855", "kg/m2/h"), ("0.12", "mg/m3", "120", "ug/m3")],
)  # fmt: skip
def test_published_factors_of_compound_units(amount: str, start: str, expected: str, end: str) -> None:
    assert float(units.convert(Fraction(amount), start, end)) == pytest.approx(float(expected), rel=1e-6)


def test_weight_of_concrete_has_the_dimension_of_weight() -> None:
    registry = units.registry()
    density = registry.Quantity(Fraction(145), units.pint_unit("lb/ft3"))
    volume = registry.Quantity(Fraction(1), units.pint_unit("yd3"))
    # 145 lb/ft3 is common practice for plain concrete; 27 ft3 of it weigh 3,915 lb.
    assert (density * volume).to(units.pint_unit("lb")).magnitude == 3915


@pytest.mark.parametrize(("start", "end"), [("in", "lb"), ("ft", "ft2"), ("count", "percent"), ("", "in")])
def test_kinds_do_not_mix(start: str, end: str) -> None:
    with pytest.raises(Refusal, match="cannot be turned into"):
        units.convert(Fraction(1), start, end)


def test_unknown_unit_names_the_ones_there_are() -> None:
    with pytest.raises(UnknownName, match=r"furlong.*yd3"):
        units.unit_named("furlong")


# Common practice, no source: how the words are written and said.
SPELLINGS = {
    "in": ("in", "inch", "inches", '"', "pulg", "pulg.", "pulgada", "pulgadas"),
    "ft": ("ft", "ft.", "foot", "feet", "'", "pie", "pies"),
    "yd3": ("yd3", "cu yd", "cu. yd.", "cubic yards", "yd^3", "yarda cubica", "yardas cubicas"),
    "ft3": ("ft3", "cu ft", "cubic feet", "cubic foot", "cu. ft.", "pie cubico", "pies cubicos"),
    "ft2": ("ft2", "sq ft", "square feet", "pies cuadrados"),
    "in2": ("in2", "sq in", "square inches", "pulgadas cuadradas"),
    "gal": ("gal", "gallons", "galon", "galones"),
    "floz": ("fl oz", "fl. oz.", "fluid ounces", "onzas liquidas"),
    "lb": ("lb", "lbs", "lbs.", "pounds", "libra", "libras"),
    "bags": ("bag", "bags", "bolsa", "bolsas", "saco", "sacos", "bultos", "costal", "costales"),
    "qt": ("qt", "qts", "quart", "quarts"),
    "pt": ("pt", "pints", "pintas"),
    "percent": ("%", "percent", "por ciento"),
    "degree": ("deg", "degrees", "grados"),
    "lb/ft3": ("lb/ft3", "pcf", "lb per cu ft", "pounds per cubic foot", "libras por pie cubico"),
    "lb/ft": ("lb/ft", "lb per foot", "libras por pie"),
    "psi": ("psi", "lb/in2", "libras por pulgada cuadrada", "pounds per square inch"),
    "ft2/gal": ("ft2/gal", "sq ft per gallon", "pies cuadrados por galon"),
    "in/ft": ("in/ft", "in per ft", '"/ft', "\"/'", "pulg por pie"),
    "ton": ("ton", "tons", "toneladas cortas"),
}


@pytest.mark.parametrize(
    ("name", "spelling"), [(name, one) for name, all_ in SPELLINGS.items() for one in all_]
)
def test_spelling(name: str, spelling: str) -> None:
    assert units.unit_spelled(spelling) == name


# "tonelada" alone is heard as 1,000 kg (site glossary), "metro cubico por" is cut short, the rest is no unit.
@pytest.mark.parametrize(
    "spelling", ["tonelada", "toneladas", "furlong", "ft4", "in/lb", "/", "", "lb/", "per ft"]
)
def test_no_unit(spelling: str) -> None:
    assert units.unit_spelled(spelling) is None


@settings(deadline=None, max_examples=200)
@given(
    st.sampled_from([unit.name for unit in units.UNITS.values() if unit.kind == "length"]),
    st.sampled_from([unit.name for unit in units.UNITS.values() if unit.kind == "length"]),
    st.fractions(min_value=0, max_value=10**6, max_denominator=64),
)
def test_there_and_back_loses_nothing(start: str, end: str, value: Fraction) -> None:
    assert units.convert(units.convert(value, start, end), end, start) == value


def test_pint_is_loaded_only_when_a_conversion_needs_it() -> None:
    script = """
import sys
from trainer import calc
from trainer.calc import notation
notation.read("3 ft 6 1/2 in", "in"); notation.write(42.5, "in"); notation.read("9.5 cu ft", "ft3")
assert "pint" not in sys.modules, "loaded too early"
notation.read("115 mm", "in")
assert "pint" in sys.modules, "never loaded"
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
