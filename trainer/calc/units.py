"""The closed list of units: what each is called, how it is written and read, and exact conversion.

    UNITS               every unit by its short name
    KINDS               what a quantity of each kind is called, and examples of how it is typed
    unit_named          a unit by its short name
    unit_spelled        short name for a spelling in either language
    unit_meant          that unit where a difference of temperature is asked for
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
    "temperature": Kind(Text("a temperature", "una temperatura"), Text("55 F or 13 C", "55 F o 13 C")),
    "temperature rise": Kind(
        Text("a difference of temperature", "una diferencia de temperatura"),
        Text("100 F or 55 C", "100 F o 55 C"),
    ),
    "expansion": Kind(
        Text("an expansion per degree", "una dilatación por grado"),
        Text("0.0000055 per F or 5.5 millionths per F", "0.0000055 por F o 5.5 millonésimas por F"),
    ),
    "maturity": Kind(Text("a maturity", "una madurez"), Text("1,200 C h", "1,200 C h")),
    "speed": Kind(Text("a speed", "una velocidad"), Text("12 mph or 20 km/h", "12 mph o 20 km/h")),
    "airflow": Kind(Text("an airflow", "un flujo de aire"), Text("125 cfm", "125 cfm")),
    "weight per area": Kind(
        Text("a weight per area", "un peso por área"), Text("20 psf or 98 kg/m2", "20 psf o 98 kg/m2")
    ),
    "drying": Kind(
        Text("a weight of water per area and hour", "un peso de agua por área y hora"),
        Text("0.2 lb/ft2/h", "0.2 lb/ft2/h"),
    ),
    "concentration": Kind(
        Text("an amount of dust in the air", "una cantidad de polvo en el aire"),
        Text("120 ug/m3 or 0.12 mg/m3", "120 ug/m3 o 0.12 mg/m3"),
    ),
    "sound level": Kind(Text("a sound level", "un nivel de ruido"), Text("97 dBA", "97 dBA")),
    "rate": Kind(Text("a number a minute", "una cantidad por minuto"), Text("3 per min", "3 por min")),
    "number per area": Kind(
        Text("a number per area", "una cantidad por área"), Text("6.75 per ft2", "6.75 por ft2")
    ),
    "moment": Kind(
        Text("a bending moment per foot of edge", "un momento por pie de orilla"),
        Text("120 in-lb per ft", "120 in-lb por ft"),
    ),
    "section modulus": Kind(
        Text("a section modulus per foot of edge", "un módulo de sección por pie de orilla"),
        Text("32 in3/ft", "32 in3/ft"),
    ),
}

_RISE_OF: Final = {"degF": "deltaF", "degC": "deltaC"}

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
    ("qt", "volume", "quart", "qt", "qt",
     ("qt", "qts", "quart", "quarts", "cuarto de galon", "cuartos de galon")),
    ("pt", "volume", "pint", "pt", "pt", ("pt", "pts", "pint", "pints", "pinta", "pintas")),
    ("board ft", "volume", "board_foot", Text("board ft", "pie tablar"), Text("board ft", "pies tablares"),
     ("board ft", "board foot", "board feet", "pie tablar", "pies tablares")),
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
     ("bag", "bags", "sack", "sacks", "saco", "sacos", "bolsa", "bolsas", "bulto", "bultos", "costal", "costales")),
    ("bricks", "count", "count", Text("brick", "ladrillo"), Text("bricks", "ladrillos"),
     ("brick", "bricks", "ladrillo", "ladrillos", "tabique", "tabiques")),
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
    ("week", "time", "week", Text("week", "semana"), Text("weeks", "semanas"),
     ("wk", "wks", "week", "weeks", "semana", "semanas")),
    ("psi", "strength", "psi", "psi", "psi", ("psi", "lb/in2")),
    ("ksi", "strength", "ksi", "ksi", "ksi", ("ksi",)),
    ("MPa", "strength", "megapascal", "MPa", "MPa", ("mpa",)),
    ("lb/ft3", "density", "pound / foot ** 3", "lb/ft³", "lb/ft³", ("pcf", "lb/ft3")),
    ("kg/m3", "density", "kilogram / meter ** 3", "kg/m³", "kg/m³", ("kg/m3",)),
    ("lb/ft", "weight per length", "pound / foot", "lb/ft", "lb/ft", ("plf", "lb/ft")),
    ("kg/m", "weight per length", "kilogram / meter", "kg/m", "kg/m", ("kg/m",)),
    ("in/ft", "slope", "inch / foot", Text("in per ft", "in por ft"), Text("in per ft", "in por ft"), ("in/ft",)),
    ("ft2/gal", "coverage", "foot ** 2 / gallon", "ft²/gal", "ft²/gal", ("ft2/gal",)),
    # A bare "55°" could be either scale or an angle, so the scale must be named.
    ("degF", "temperature", "degree_Fahrenheit", "°F", "°F",
     ("f", "degf", "deg f", "fahrenheit", "degrees f", "degrees fahrenheit", "grados f", "grados fahrenheit")),
    ("degC", "temperature", "degree_Celsius", "°C", "°C",
     ("c", "degc", "deg c", "celsius", "degrees c", "degrees celsius", "grados c", "grados celsius", "centigrados",
      "grados centigrados")),
    ("deltaF", "temperature rise", "delta_degree_Fahrenheit", "°F", "°F", ()),
    ("deltaC", "temperature rise", "delta_degree_Celsius", "°C", "°C", ()),
    ("1/degF", "expansion", "1 / delta_degree_Fahrenheit", Text("per °F", "por °F"), Text("per °F", "por °F"),
     ("per f", "per deg f", "per degf", "por f", "por deg f", "por degf", "/ f", "/ deg f", "/ degf")),
    ("1/degC", "expansion", "1 / delta_degree_Celsius", Text("per °C", "por °C"), Text("per °C", "por °C"),
     ("per c", "per deg c", "per degc", "por c", "por deg c", "por degc", "/ c", "/ deg c", "/ degc")),
    ("ppm/degF", "expansion", "millionth / delta_degree_Fahrenheit",
     Text("millionths per °F", "millonésimas por °F"), Text("millionths per °F", "millonésimas por °F"),
     tuple(f"{word} {per} {scale}" for word, per in (("millionths", "per"), ("millonesimas", "por"))
           for scale in ("f", "deg f", "degf"))),
    ("degC h", "maturity", "delta_degree_Celsius * hour", "°C h", "°C h", ("c h", "deg c h", "degc h", "c hours")),
    ("mph", "speed", "mile / hour", "mph", "mph", ("mph", "mi / h", "miles per hour", "millas por hora")),
    ("km/h", "speed", "kilometer / hour", "km/h", "km/h", ("km / h", "kph", "kilometros por hora")),
    ("m/s", "speed", "meter / second", "m/s", "m/s", ("m / s",)),
    ("cfm", "airflow", "foot ** 3 / minute", "cfm", "cfm", ("cfm", "ft3/minute", "pies cubicos por minuto")),
    ("lb/ft2", "weight per area", "pound / foot ** 2", "lb/ft²", "lb/ft²", ("psf", "lb/ft2")),
    ("kg/m2", "weight per area", "kilogram / meter ** 2", "kg/m²", "kg/m²", ("kg/m2",)),
    ("lb/ft2/h", "drying", "pound / foot ** 2 / hour", "lb/ft²/h", "lb/ft²/h", ("lb / ft2 / h", "lb / ft2 / hr")),
    ("kg/m2/h", "drying", "kilogram / meter ** 2 / hour", "kg/m²/h", "kg/m²/h", ("kg / m2 / h",)),
    ("ug/m3", "concentration", "microgram / meter ** 3", "µg/m³", "µg/m³", ("ug / m3", "mcg / m3", "micrograms per m3")),
    ("mg/m3", "concentration", "milligram / meter ** 3", "mg/m³", "mg/m³", ("mg / m3",)),
    # Plain dB is another measure.
    ("dBA", "sound level", "decibel_A", "dBA", "dBA", ("dba", "db(a)", "db (a)")),
    ("1/minute", "rate", "1 / minute", Text("per min", "por min"), Text("per min", "por min"),
     ("per min", "per minute", "por min", "por minuto", "/ min", "lifts per min", "lifts per minute", "lifts / min")),
    ("1/ft2", "number per area", "1 / foot ** 2", Text("per ft²", "por ft²"), Text("per ft²", "por ft²"),
     ("per ft2", "per sq ft", "por ft2", "por pie cuadrado", "/ ft2")),
    ("in lb/ft", "moment", "inch * pound_force / foot", Text("in-lb per ft", "in-lb por ft"),
     Text("in-lb per ft", "in-lb por ft"), ("in-lb per ft", "in-lb por ft", "in-lb / ft", "in lb / ft")),
    ("in3/ft", "section modulus", "inch ** 3 / foot", "in³/ft", "in³/ft", ("in3/ft",)),
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
    """The unit `name` as an expression that `registry()` understands, for checks of dimensions.

    A temperature counts from its own scale's zero there, as it does in a formula.
    """
    return unit_named(_RISE_OF.get(name, name)).definition


def unit_meant(name: str, asked: str) -> str:
    """The unit `name` as it is meant where `asked` is asked for: "100 F" of a rise is no temperature."""
    return _RISE_OF.get(name, name) if unit_named(asked).kind == "temperature rise" else name


@cache
def _line(from_unit: str, to_unit: str) -> tuple[Fraction, Fraction]:
    """What to multiply by and what to add; only a temperature has something to add."""
    nothing = Fraction(0)
    if from_unit == to_unit:
        return Fraction(1), nothing
    if (from_unit, to_unit) == ("ft", "in"):
        return Fraction(INCHES_PER_FOOT), nothing
    if (from_unit, to_unit) == ("in", "ft"):
        return Fraction(1, INCHES_PER_FOOT), nothing
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
    at_zero, at_one = (
        Fraction(made.Quantity(Fraction(value), start.definition).to(end.definition).magnitude)
        for value in (0, 1)
    )
    return at_one - at_zero, at_zero


@overload
def convert(value: float, from_unit: str, to_unit: str) -> float: ...
@overload
def convert(value: Fraction, from_unit: str, to_unit: str) -> Fraction: ...
def convert(value: float | Fraction, from_unit: str, to_unit: str) -> float | Fraction:
    """`value` [from_unit] in [to_unit]; exact for a Fraction, a float stays a float.

    Raises UnknownName for a unit not in UNITS, Refusal when the two measure different kinds.
    """
    factor, offset = _line(from_unit, to_unit)
    if isinstance(value, Fraction):
        return value * factor + offset
    made = value * factor.numerator / factor.denominator
    return made + float(offset) if offset else made
