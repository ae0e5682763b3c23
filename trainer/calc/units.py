"""The closed list of units: what each is called, how it is written and read, and exact conversion.

    UNITS               every unit by its short name
    KINDS               what a quantity of each kind is called, and examples of how it is typed
    unit_named          a unit by its short name
    unit_spelled        short name for a spelling in either language
    convert             exact conversion between units of one kind
    pint_unit, registry for checks of dimensions

The exact facts (25.4 mm, 231 in3 ...) stand in units.txt. Only this module knows pint, and pint never sees
typed text: it reads `4 1/2 in` as 2 in and can be made to hang.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final, overload

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text

if TYPE_CHECKING:
    import pint

INCHES_PER_FOOT: Final = 12
"""Kept beside units.txt so that reading and writing feet and inches need not load pint; a test compares them."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What a quantity measures: `noun` with its article, and `examples` of how it is typed."""

    noun: Text
    examples: Text


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit.

    name: short name; kind: key of KINDS; definition: expression over units.txt
    one, many: as written after 1 and after any other number
    """

    name: str
    kind: str
    definition: str
    one: Text
    many: Text

    def written(self, figures: str, language: str) -> str:
        """The unit as it follows the number written `figures`, with the space before it."""
        word = (self.one if figures == "1" else self.many).in_language(language)
        return word if word in ("", "°") else f" {word}"


def _same(text: str) -> Text:
    return Text(en=text, es=text)


KINDS: Final[dict[str, Kind]] = {
    "number": Kind(Text("a plain number", "un número sin unidad"), Text("4, 4.5 or 4 1/2", "4, 4.5 o 4 1/2")),
    "length": Kind(
        Text("a length", "una longitud"),
        Text("3 ft 6 1/2 in, 42.5 in or 115 mm", "3 ft 6 1/2 in, 42.5 in o 115 mm"),
    ),
    "area": Kind(Text("an area", "un área"), Text("12.5 ft2 or 1,800 in2", "12.5 ft2 o 1,800 in2")),
    "volume": Kind(
        Text("a volume", "un volumen"),
        Text("9.5 ft3, 0.35 yd3 or 2 1/2 gal", "9.5 ft3, 0.35 yd3 o 2 1/2 gal"),
    ),
    "weight": Kind(Text("a weight", "un peso"), Text("1,250 lb or 40 kg", "1,250 lb o 40 kg")),
    "count": Kind(Text("a whole count", "una cantidad entera"), Text("8 or 8 bags", "8 u 8 sacos")),
    "percent": Kind(Text("a percentage", "un porcentaje"), Text("10 or 10 %", "10 o 10 %")),
    "angle": Kind(Text("an angle", "un ángulo"), Text("75.5 or 75.5 degrees", "75.5 o 75.5 grados")),
    "time": Kind(Text("a length of time", "un tiempo"), Text("7 days or 24 hours", "7 días o 24 horas")),
    "strength": Kind(
        Text("a strength or pressure", "una resistencia o presión"), Text("4,000 psi", "4,000 psi")
    ),
    "density": Kind(Text("a weight per volume", "un peso por volumen"), Text("145 lb/ft3", "145 lb/ft3")),
    "weight per length": Kind(
        Text("a weight per length", "un peso por longitud"), Text("0.376 lb/ft", "0.376 lb/ft")
    ),
    "slope": Kind(
        Text("a slope", "una pendiente"), Text("6 in 12, 6/12 or 1/4 in/ft", "6 en 12, 6/12 o 1/4 in/ft")
    ),
    "coverage": Kind(Text("an area per gallon", "un área por galón"), Text("100 ft2/gal", "100 ft2/gal")),
}

UNITS: Final[dict[str, Unit]] = {}
_SPELLINGS: Final[dict[str, str]] = {}

# Spellings are kept lower-case, without accents and without periods: the form `unit_spelled` looks up.
_LENGTH_WORDS: Final = {
    "in": ("in", "inch", "inches", "pulg", "pulgs", "plg", "pulgada", "pulgadas"),
    "ft": ("ft", "foot", "feet", "pie", "pies"),
    "yd": ("yd", "yds", "yard", "yards", "yarda", "yardas"),
    "mm": ("mm", "millimeter", "millimeters", "milimetro", "milimetros"),
    "cm": ("cm", "centimeter", "centimeters", "centimetro", "centimetros"),
    "m": ("m", "meter", "meters", "metro", "metros"),
}


def _declare(
    name: str, kind: str, definition: str, one: Text | str, many: Text | str, spellings: tuple[str, ...]
) -> None:
    one, many = (text if isinstance(text, Text) else _same(text) for text in (one, many))
    UNITS[name] = Unit(name, kind, definition, one, many)
    for spelling in spellings:
        if _SPELLINGS.setdefault(spelling, name) != name:
            raise ValueError(f"{spelling!r} would be both {_SPELLINGS[spelling]} and {name}")


def _declare_lengths() -> None:
    long_names = {
        "in": "inch",
        "ft": "foot",
        "yd": "yard",
        "mm": "millimeter",
        "cm": "centimeter",
        "m": "meter",
    }
    powers = (("area", 2, "²", ("sq", "square"), "cuadrad"), ("volume", 3, "³", ("cu", "cubic"), "cubic"))
    for name, words in _LENGTH_WORDS.items():
        _declare(name, "length", long_names[name], name, name, words)
        for kind, power, mark, before, after in powers:
            spellings = [f"{word}{power}" for word in words]
            spellings += [f"{word} {length}" for word in before for length in words]
            spellings += [f"{length} {after}{end}" for end in ("o", "os", "a", "as") for length in words]
            _declare(
                f"{name}{power}",
                kind,
                f"{long_names[name]} ** {power}",
                name + mark,
                name + mark,
                tuple(spellings),
            )
    _SPELLINGS.update({'"': "in", "'": "ft", "sf": "ft2", "cf": "ft3", "cy": "yd3"})


_declare_lengths()
for _row in (
    ("", "number", "count", "", "", ()),
    ("gal", "volume", "gallon", "gal", "gal", ("gal", "gals", "gallon", "gallons", "galon", "galones")),
    ("floz", "volume", "fluid_ounce", "fl oz", "fl oz",
     ("floz", "fl oz", "fluid ounce", "fluid ounces", "onza liquida", "onzas liquidas")),
    ("L", "volume", "liter", "L", "L", ("l", "liter", "liters", "litro", "litros")),
    ("mL", "volume", "milliliter", "mL", "mL", ("ml", "milliliter", "milliliters", "mililitro", "mililitros")),
    ("lb", "weight", "pound", "lb", "lb", ("lb", "lbs", "pound", "pounds", "libra", "libras")),
    ("oz", "weight", "ounce", "oz", "oz", ("oz", "ounce", "ounces", "onza", "onzas")),
    ("kg", "weight", "kilogram", "kg", "kg",
     ("kg", "kgs", "kilogram", "kilograms", "kilo", "kilos", "kilogramo", "kilogramos")),
    # A bare "tonelada" is heard as 1,000 kg, so only the full Spanish name is read.
    ("ton", "weight", "short_ton", Text("ton", "tonelada corta"), Text("tons", "toneladas cortas"),
     ("ton", "tons", "short ton", "short tons", "tonelada corta", "toneladas cortas")),
    ("count", "count", "count", "", "", ()),
    ("bags", "count", "count", Text("bag", "saco"), Text("bags", "sacos"),
     ("bag", "bags", "sack", "sacks", "saco", "sacos", "bolsa", "bolsas", "bulto", "bultos")),
    ("bars", "count", "count", Text("bar", "varilla"), Text("bars", "varillas"),
     ("bar", "bars", "varilla", "varillas")),
    ("pieces", "count", "count", Text("piece", "pieza"), Text("pieces", "piezas"),
     ("piece", "pieces", "pc", "pcs", "pieza", "piezas", "pza", "pzas")),
    ("percent", "percent", "percent", "%", "%", ("%", "percent", "pct", "por ciento", "porciento")),
    ("degree", "angle", "degree", "°", "°", ("°", "deg", "degs", "degree", "degrees", "grado", "grados")),
    ("day", "time", "day", Text("day", "día"), Text("days", "días"), ("d", "day", "days", "dia", "dias")),
    ("hour", "time", "hour", Text("hour", "hora"), Text("hours", "horas"),
     ("h", "hr", "hrs", "hour", "hours", "hora", "horas")),
    ("minute", "time", "minute", "min", "min", ("min", "mins", "minute", "minutes", "minuto", "minutos")),
    ("psi", "strength", "psi", "psi", "psi", ("psi", "lb/in2")),
    ("lb/ft3", "density", "pound / foot ** 3", "lb/ft³", "lb/ft³", ("pcf", "lb/ft3")),
    ("lb/ft", "weight per length", "pound / foot", "lb/ft", "lb/ft", ("plf", "lb/ft")),
    ("in/ft", "slope", "inch / foot", Text("in per ft", "in por ft"), Text("in per ft", "in por ft"), ("in/ft",)),
    ("ft2/gal", "coverage", "foot ** 2 / gallon", "ft²/gal", "ft²/gal", ("ft2/gal",)),
):  # fmt: skip
    _declare(*_row)


def unit_named(name: str) -> Unit:
    """The unit with the short name `name`. Raises UnknownName."""
    try:
        return UNITS[name]
    except KeyError:
        raise UnknownName(
            Text(
                en="“%(name)s” is not a unit; the units are %(units)s.",
                es="“%(name)s” no es una unidad; las unidades son %(units)s.",
            ),
            name=name,
            units=", ".join(filter(None, UNITS)),
        ) from None


def unit_spelled(spelling: str) -> str | None:
    """Short name of the unit spelled so in English or Spanish; None when no unit is.

    spelling: lower-case, accents already taken off, as `notation` hands it over
    """
    name = _SPELLINGS.get(spelling)
    if name is not None:
        return name
    words = " ".join(
        spelling.replace(".", " ").replace("^2", "2").replace("^3", "3").replace("/", " / ").split()
    )
    name = _SPELLINGS.get(words)
    if name is not None:
        return name
    top, mark, bottom = words.replace(" per ", " / ").replace(" por ", " / ").partition(" / ")
    upper, lower = _SPELLINGS.get(top), _SPELLINGS.get(bottom)
    return _SPELLINGS.get(f"{upper}/{lower}") if mark and upper and lower else None


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The one pint registry, made from units.txt on first use; its numbers are Fractions."""
    import pint

    lines = (files("trainer.calc") / "units.txt").read_text(encoding="utf-8").splitlines()
    made: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction)
    made.load_definitions(lines)
    return made


def pint_unit(name: str) -> str:
    """The unit `name` as an expression that `registry()` understands, for checks of dimensions."""
    return unit_named(name).definition


@cache
def _factor(from_unit: str, to_unit: str) -> Fraction:
    if from_unit == to_unit:
        return Fraction(1)
    if (from_unit, to_unit) == ("ft", "in"):
        return Fraction(INCHES_PER_FOOT)
    if (from_unit, to_unit) == ("in", "ft"):
        return Fraction(1, INCHES_PER_FOOT)
    start, end = unit_named(from_unit), unit_named(to_unit)
    if start.kind != end.kind:
        raise Refusal(
            Text(
                en="%(start)s cannot be turned into %(end)s: one is %(kind)s, the other %(other)s.",
                es="%(start)s no se puede convertir en %(end)s: lo primero es %(kind)s, lo otro %(other)s.",
            ),
            start=from_unit or "1",
            end=to_unit or "1",
            kind=KINDS[start.kind].noun,
            other=KINDS[end.kind].noun,
        )
    made = registry()
    return Fraction(made.Quantity(Fraction(1), start.definition).to(end.definition).magnitude)


@overload
def convert(value: float, from_unit: str, to_unit: str) -> float: ...
@overload
def convert(value: Fraction, from_unit: str, to_unit: str) -> Fraction: ...
def convert(value: float | Fraction, from_unit: str, to_unit: str) -> float | Fraction:
    """`value` [from_unit] in [to_unit]; exact for a Fraction, a float stays a float.

    Raises UnknownName for a unit not in UNITS, Refusal when the two measure different kinds.
    """
    factor = _factor(from_unit, to_unit)
    if isinstance(value, Fraction):
        return value * factor
    return value * factor.numerator / factor.denominator
