"""Reading and writing quantities: what is taken, what is refused and why, and that writing reads back.

The forms are those of tapes, plans, bag labels and site talk in both languages: common practice, no source. The
values are arithmetic on the exact definitions 1 in = 25.4 mm, 1 yd3 = 27 ft3 (NIST Handbook 44, from memory).
"""

from __future__ import annotations

import contextlib
import math
import random
import time
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.calc import notation, unreadable
from trainer.calc.units import UNITS
from trainer.errors import Refusal, UnknownName, Unreadable

# typed, unit asked for, exact value, shown in English, shown in Spanish (None: the same)
ACCEPTED: list[tuple[str, str, str, str, str | None]] = [
    ("4", "in", "4", "4 in", None),
    ("4.5", "in", "9/2", "4 1/2 in", None),
    (".5", "in", "1/2", "1/2 in", None),
    ("4 1/2", "in", "9/2", "4 1/2 in", None),
    ("4-1/2", "in", "9/2", "4 1/2 in", None),
    ("1/2", "in", "1/2", "1/2 in", None),
    ("3/8 in", "in", "3/8", "3/8 in", None),
    ("5/2 in", "in", "5/2", "2 1/2 in", None),
    ("4½", "in", "9/2", "4 1/2 in", None),
    ("4 ½ in", "in", "9/2", "4 1/2 in", None),
    ("4-½ in", "in", "9/2", "4 1/2 in", None),
    ("½", "in", "1/2", "1/2 in", None),
    ("3⅝ in", "in", "29/8", "3 5/8 in", None),
    ("4 1⁄2 in", "in", "9/2", "4 1/2 in", None),
    ('4-1/2"', "in", "9/2", "4 1/2 in", None),
    ("4 1/2''", "in", "9/2", "4 1/2 in", None),
    ("4 1/2 inches", "in", "9/2", "4 1/2 in", None),
    ("4 1/2 In.", "in", "9/2", "4 1/2 in", None),
    ("40 1/2 in", "in", "81/2", "40 1/2 in", None),
    ("  4 1/2   in  ", "in", "9/2", "4 1/2 in", None),
    ("4\u00a01/2\u202fin", "in", "9/2", "4 1/2 in", None),
    ("4 17/32 in", "in", "145/32", "4 17/32 in", None),
    ("4.3 in", "in", "43/10", "4.3 in", None),
    ("4.03125 in", "in", "129/32", "4.03125 in", None),
    ("1/3 in", "in", "1/3", "1/3 in", None),
    ("3' 6 1/2\"", "in", "85/2", "3 ft 6 1/2 in", None),
    ("3'-6 1/2\"", "in", "85/2", "3 ft 6 1/2 in", None),
    ("3' - 6 1/2\"", "in", "85/2", "3 ft 6 1/2 in", None),
    ("3’ 6 1/2”", "in", "85/2", "3 ft 6 1/2 in", None),
    ("3ft6in", "in", "42", "3 ft 6 in", None),
    ("3ft2in", "in", "38", "3 ft 2 in", None),
    ("3FT 6IN", "in", "42", "3 ft 6 in", None),
    ("3 ft 6.5 in", "in", "85/2", "3 ft 6 1/2 in", None),
    ("3 ft 6.3 in", "in", "423/10", "3 ft 6.3 in", None),
    ("3 ft .5 in", "in", "73/2", "3 ft 1/2 in", None),
    ("3 ft 0 in", "in", "36", "3 ft 0 in", None),
    ("0 ft 6 in", "in", "6", "0 ft 6 in", None),
    ("3 feet, 6 inches", "in", "42", "3 ft 6 in", None),
    ("3 feet and 6 inches", "in", "42", "3 ft 6 in", None),
    ("5′ 3″", "in", "63", "5 ft 3 in", None),
    ("3 ft", "in", "36", "3 ft", None),
    ("3.5 ft", "in", "42", "3 1/2 ft", None),
    ("3 ft 6 in", "ft", "7/2", "3 ft 6 in", None),
    ("18 in", "ft", "3/2", "18 in", None),
    ("20", "ft", "20", "20 ft", None),
    ("2 yd", "in", "72", "2 yd (6 ft)", None),
    ("115 mm", "in", "575/127", "115 mm (about 4 1/2 in)", "115 mm (aprox. 4 1/2 in)"),
    ("25.4 mm", "in", "1", "25.4 mm (1 in)", None),
    ("1.2 m", "in", "6000/127", "1.2 m (about 3 ft 11 1/4 in)", "1.2 m (aprox. 3 ft 11 1/4 in)"),
    ("30 cm", "in", "1500/127", "30 cm (about 11 13/16 in)", "30 cm (aprox. 11 13/16 in)"),
    ("0.35 yd3", "yd3", "7/20", "0.35 yd³", None),
    ("0.35 yd3", "ft3", "189/20", "0.35 yd³ (9.45 ft³)", None),
    ("9.5 cu ft", "ft3", "19/2", "9.5 ft³", None),
    ("9.5 ft³", "ft3", "19/2", "9.5 ft³", None),
    ("9.5 ft^3", "ft3", "19/2", "9.5 ft³", None),
    ("9 1/2 cubic feet", "ft3", "19/2", "9 1/2 ft³", None),
    ("1 ft3", "yd3", "1/27", "1 ft³ (about 0.03704 yd³)", "1 ft³ (aprox. 0.03704 yd³)"),
    ("3ft2", "ft2", "3", "3 ft²", None),
    ("12.5 sq. ft.", "ft2", "25/2", "12.5 ft²", None),
    ("2 1/2 gal", "gal", "5/2", "2 1/2 gal", None),
    ("9 pt", "gal", "9/8", "9 pt (1.125 gal)", None),
    ("4 1/2 quarts", "gal", "9/8", "4 1/2 qt (1.125 gal)", None),
    ("2 qt", "pt", "4", "2 qt (4 pt)", None),
    ("1,250 lb", "lb", "1250", "1,250 lb", None),
    ("1,250.5 lbs", "lb", "2501/2", "1,250.5 lb", None),
    ("1,000,000,000", "lb", "1000000000", "1,000,000,000 lb", None),
    ("2 kg", "lb", "200000000/45359237", "2 kg (about 4.409 lb)", "2 kg (aprox. 4.409 lb)"),
    ("1 1/2 tons", "lb", "3000", "1 1/2 tons (3,000 lb)", "1 1/2 toneladas cortas (3,000 lb)"),
    ("8 bags", "count", "8", "8 bags", "8 sacos"),
    ("1 bag", "count", "1", "1 bag", "1 saco"),
    ("8.0", "count", "8", "8", None),
    ("8", "count", "8", "8", None),
    ("5 bars", "count", "5", "5 bars", "5 varillas"),
    ("10 %", "percent", "10", "10 %", None),
    ("10%", "percent", "10", "10 %", None),
    ("10", "percent", "10", "10 %", None),
    ("75.5°", "degree", "151/2", "75.5°", None),
    ("75.5 deg", "degree", "151/2", "75.5°", None),
    ("7 days", "day", "7", "7 days", "7 días"),
    ("24 hours", "day", "1", "24 hours (1 day)", "24 horas (1 día)"),
    ("4,000 psi", "psi", "4000", "4,000 psi", None),
    ("145 pcf", "lb/ft3", "145", "145 lb/ft³", None),
    ("145 lb/ft3", "lb/ft3", "145", "145 lb/ft³", None),
    ("0.376 lb/ft", "lb/ft", "47/125", "0.376 lb/ft", None),
    ("100 ft2/gal", "ft2/gal", "100", "100 ft²/gal", None),
    ("100ft2 per gal", "ft2/gal", "100", "100 ft²/gal", None),
    ("4 1/2", "", "9/2", "4 1/2", None),
    # A temperature names its scale; a difference of temperature has no offset.
    ("55 F", "degF", "55", "55 °F", None),
    ("55°F", "degF", "55", "55 °F", None),
    ("55", "degF", "55", "55 °F", None),
    ("55 grados Fahrenheit", "degF", "55", "55 °F", None),
    ("13 °C", "degF", "277/5", "13 °C (55.4 °F)", None),
    ("100 F", "deltaF", "100", "100 °F", None),
    ("50 C", "deltaF", "90", "50 °C (90 °F)", None),
    ("0.0000055 per °F", "1/degF", "11/2000000", "0.0000055 per °F", "0.0000055 por °F"),
    (
        "5.5 millionths per F",
        "1/degF",
        "11/2000000",
        "5.5 millionths per °F (0.0000055 per °F)",
        "5.5 millonésimas por °F (0.0000055 por °F)",
    ),
    ("120 µg/m³", "ug/m3", "120", "120 µg/m³", None),
    ("0.12 mg/m3", "ug/m3", "120", "0.12 mg/m³ (120 µg/m³)", None),
    ("97 dBA", "dBA", "97", "97 dBA", None),
    ("97 dB(A)", "dBA", "97", "97 dBA", None),
    ("12 mph", "mph", "12", "12 mph", None),
    ("125 cfm", "cfm", "125", "125 cfm", None),
    ("20 psf", "lb/ft2", "20", "20 lb/ft²", None),
    ("60 ksi", "psi", "60000", "60 ksi (60,000 psi)", None),
    ("2 weeks", "day", "14", "2 weeks (14 days)", "2 semanas (14 días)"),
    ("0.2 lb/ft2/h", "lb/ft2/h", "1/5", "0.2 lb/ft²/h", None),
    # A slope is a rise in 12 of run, never a fraction to work out; a bare number is inches per foot.
    ("6 in 12", "in/ft", "6", "6 in 12", "6 en 12"),
    ("6 on 12", "in/ft", "6", "6 in 12", "6 en 12"),
    ("6/12", "in/ft", "6", "6 in 12", "6 en 12"),
    ("6 / 12", "in/ft", "6", "6 in 12", "6 en 12"),
    ("6:12", "in/ft", "6", "6 in 12", "6 en 12"),
    ("6 1/2 in 12", "in/ft", "13/2", "6 1/2 in 12", "6 1/2 en 12"),
    ("6.5/12", "in/ft", "13/2", "6 1/2 in 12", "6 1/2 en 12"),
    ("6 en 12", "in/ft", "6", "6 in 12", "6 en 12"),
    ('6" in 12"', "in/ft", "6", "6 in 12", "6 en 12"),
    ("6", "in/ft", "6", "6 in per ft", "6 in por ft"),
    ("1/4 in/ft", "in/ft", "1/4", "1/4 in per ft", "1/4 in por ft"),
    ('1/4" per foot', "in/ft", "1/4", "1/4 in per ft", "1/4 in por ft"),
    ("1/4", "in/ft", "1/4", "1/4 in per ft", "1/4 in por ft"),
    # Spanish; words are read whichever language is in use.
    ("3 pies 6 1/2 pulg", "in", "85/2", "3 ft 6 1/2 in", None),
    ("3 pies y 6 pulgadas", "in", "42", "3 ft 6 in", None),
    ("1 pie", "in", "12", "1 ft", None),
    ("4 ½ pulgadas", "in", "9/2", "4 1/2 in", None),
    ("1 PULGADA", "in", "1", "1 in", None),
    ("250 libras", "lb", "250", "250 lb", None),
    ("0.35 yardas cúbicas", "yd3", "7/20", "0.35 yd³", None),
    ("0.35 yardas cubicas", "yd3", "7/20", "0.35 yd³", None),
    ("0.35 yardas cu\u0301bicas", "yd3", "7/20", "0.35 yd³", None),
    ("9.5 PIES CÚBICOS", "ft3", "19/2", "9.5 ft³", None),
    ("8 bolsas", "count", "8", "8 bags", "8 sacos"),
    ("8 sacos", "count", "8", "8 bags", "8 sacos"),
    ("5 galones", "gal", "5", "5 gal", None),
    ("10 por ciento", "percent", "10", "10 %", None),
    ("75.5 grados", "degree", "151/2", "75.5°", None),
    ("7 días", "day", "7", "7 days", "7 días"),
    ("1/4 pulg por pie", "in/ft", "1/4", "1/4 in per ft", "1/4 in por ft"),
]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("typed", "unit", "value", "en", "es"), ACCEPTED)
def test_accepted(typed: str, unit: str, value: str, en: str, es: str | None, language: str) -> None:
    reading = notation.read(typed, unit, language)
    assert (reading.value, reading.unit, reading.typed) == (Fraction(value), unit, typed)
    assert isinstance(reading.value, Fraction)
    assert reading.shown("en") == en
    assert reading.shown("es") == (es or en)


# typed, unit asked for, why (key of unreadable.REASONS), words of the English sentence, words of the Spanish one
REFUSED: list[tuple[str, str, str, str, str]] = [
    ("", "in", "empty", "such as 3 ft 6 1/2 in", "por ejemplo 3 ft 6 1/2 in"),
    ("   ", "lb", "empty", "a weight, such as 1,250 lb", "un peso, por ejemplo 1,250 lb"),
    ("4" * 61, "in", "long", "61 characters and at most 60", "61 caracteres y se leen 60"),
    ("9**9**9" * 4000, "in", "long", "at most 60", "60 como máximo"),
    ("nan", "in", "no number", "does not begin with a number", "no empieza con un número"),
    ("NaN in", "in", "no number", "does not begin", "no empieza"),
    ("inf", "in", "no number", "does not begin", "no empieza"),
    ("Infinity", "in", "no number", "does not begin", "no empieza"),
    ("infinito", "in", "no number", "does not begin", "no empieza"),
    ("+4", "in", "no number", "does not begin", "no empieza"),
    ("in", "in", "no number", "does not begin", "no empieza"),
    ("∞", "in", "character", "not read here", "aquí no se lee"),
    ("5 дюйм", "in", "character", "not read here", "aquí no se lee"),
    ("4\x00 in", "in", "character", "not read here", "aquí no se lee"),
    ("４ in", "in", "digits", "other than 0 to 9", "no es de 0 a 9"),
    ("٣", "in", "digits", "other than 0 to 9", "no es de 0 a 9"),
    ("Ⅳ in", "in", "digits", "other than 0 to 9", "no es de 0 a 9"),
    ("4²", "in", "digits", "other than 0 to 9", "no es de 0 a 9"),
    ("1_000", "lb", "underscore", "type 1000", "escriba 1000"),
    ("_1", "lb", "underscore", "type 1.", "escriba 1."),
    ("4,5", "in", "decimal comma", "use a point: 4.5", "use un punto: 4.5"),
    ("12,50 lb", "lb", "decimal comma", "use a point: 12.50", "use un punto: 12.50"),
    ("0,250", "yd3", "decimal comma", "use a point: 0.250", "use un punto: 0.250"),
    ("1.250,5 lb", "lb", "decimal comma", "use a point: 1250.5", "use un punto: 1250.5"),
    ("1,25,000", "lb", "comma", "type 125000", "escriba 125000"),
    ("4,", "in", "comma", "type 4.", "escriba 4."),
    ("1.2.3", "in", "point", "point out of place", "punto fuera de lugar"),
    ("4.", "in", "point", "point out of place", "punto fuera de lugar"),
    (".", "in", "point", "point out of place", "punto fuera de lugar"),
    ("3 ft.5 in", "in", "point", "point out of place", "punto fuera de lugar"),
    ("1/0", "in", "zero below", "divides by zero", "divide entre cero"),
    ("4 1/0 in", "in", "zero below", "divides by zero", "divide entre cero"),
    ("6/0", "in/ft", "zero below", "divides by zero", "divide entre cero"),
    ("6:0", "in/ft", "zero below", "divides by zero", "divide entre cero"),
    ("1/2/3", "in", "fraction", "type it as 4 1/2", "escríbala como 4 1/2"),
    ("1.5/2", "in", "fraction", "type it as 4 1/2", "escríbala como 4 1/2"),
    ("1/2.5", "in", "fraction", "type it as 4 1/2", "escríbala como 4 1/2"),
    ("4 5/2", "in", "improper", "type 6 1/2", "escriba 6 1/2"),
    ("4 16/16 in", "in", "improper", "type 5", "escriba 5"),
    ("4.5 1/2", "in", "decimal and fraction", "one of them only", "sólo uno"),
    ("4.5½", "in", "decimal and fraction", "one of them only", "sólo uno"),
    ("4 - 1/2", "in", "subtraction", "type the one number, such as 4 1/2", "un solo número, por ejemplo 4 1/2"),
    ("4 -1/2", "in", "subtraction", "could be a subtraction", "podría ser una resta"),
    ("6-4", "in", "subtraction", "could be a subtraction", "podría ser una resta"),
    ("3 ft -6 in", "in", "subtraction", "could be a subtraction", "podría ser una resta"),
    ("4 5 in", "in", "two numbers", "no unit after the first", "sin unidad después del primero"),
    ("½ ½", "in", "two numbers", "no unit after the first", "sin unidad después del primero"),
    ("3' 6", "in", "unit missing", "type 3 ft 6 in", "escriba 3 ft 6 in"),
    ("3 ft 2 lb", "in", "mixed kinds", "mixes a length and a weight", "mezcla una longitud y un peso"),
    ("8 bags 40 lb", "count", "mixed kinds", "a whole count and a weight", "una cantidad entera y un peso"),
    ("1 m 20 cm", "in", "two units", "only feet then inches", "pies y luego pulgadas"),
    ("6 in 3 ft", "in", "two units", "only feet then inches", "pies y luego pulgadas"),
    ("3 ft 3 ft", "in", "two units", "only feet then inches", "pies y luego pulgadas"),
    ("6 in 12", "in", "two units", "only feet then inches", "pies y luego pulgadas"),
    ("1 yd 2 ft 3 in", "in", "two units", "only feet then inches", "pies y luego pulgadas"),
    ("3.5 ft 6 in", "in", "feet not whole", "4 ft", "4 ft"),
    ("3 1/2 ft 6.3 in", "in", "feet not whole", "4 ft 0.3 in", "4 ft 0.3 in"),
    ("1/3 ft 1/7 in", "in", "feet not whole", "4 1/7 in", "4 1/7 in"),
    ("3 ft 14 in", "in", "inches over a foot", "type 4 ft 2 in", "escriba 4 ft 2 in"),
    ("3 ft 12 in", "in", "inches over a foot", "type 4 ft", "escriba 4 ft"),
    ("4 furlongs", "in", "unit", "“furlongs” in “4 furlongs” is not a unit", "“furlongs” en “4 furlongs” no es"),
    ("1e5", "lb", "unit", "“e” in “1e5”", "“e” en “1e5”"),
    ("0x10", "lb", "unit", "“x”", "“x”"),
    ("9**9**9 m", "in", "unit", "“**”", "“**”"),
    ("2+2", "in", "unit", "“+”", "“+”"),
    ("115^mm", "in", "unit", "“^mm”", "“^mm”"),
    ('__import__("os")', "in", "underscore", "underscore", "guion bajo"),
    ("13 x 13 in", "in", "unit", "“x”", "“x”"),
    ("%(given)s 4 %s %d", "in", "no number", "“%(given)s 4 %s %d”", "“%(given)s 4 %s %d”"),
    ("55°", "degF", "another kind", "an angle and a temperature is wanted", "se pide una temperatura"),
    ("97 dB", "dBA", "unit", "“db” in “97 dB” is not a unit", "“db” en “97 dB” no es"),
    ("-5 F", "degF", "negative", "less than zero", "menor que cero"),
    ("5 lb", "in", "another kind", "is a weight and a length is wanted", "es un peso y se pide una longitud"),
    ("4 in", "lb", "another kind", "is a length and a weight is wanted", "es una longitud y se pide un peso"),
    ("9.5 ft", "ft3", "another kind", "a length and a volume is wanted", "una longitud y se pide un volumen"),
    ("4 in", "", "another kind", "a plain number is wanted", "se pide un número sin unidad"),
    ("6 in", "in/ft", "another kind", "a slope is wanted", "se pide una pendiente"),
    ("2 toneladas", "lb", "unit", "“toneladas”", "“toneladas”"),
    ("-4", "in", "negative", "less than zero", "menor que cero"),
    ("−4 in", "in", "negative", "less than zero", "menor que cero"),
    ("1000000001", "in", "large", "over 1,000,000,000", "mayor que 1,000,000,000"),
    ("9" * 60, "lb", "large", "over 1,000,000,000", "mayor que 1,000,000,000"),
    ("1/1000000001", "in", "large", "over 1,000,000,000", "mayor que 1,000,000,000"),
    ("8.5 bags", "count", "not whole", "type 8 or 9", "escriba 8 o 9"),
    ("1/2 saco", "count", "not whole", "type 0 or 1", "escriba 0 o 1"),
    ("6:10", "in/ft", "run", "not a rise in 12", "no es una subida en 12"),
    ("6/10", "in/ft", "run", "not a rise in 12", "no es una subida en 12"),
    ("10/4", "in/ft", "run", "not a rise in 12", "no es una subida en 12"),
    ("slope", "in/ft", "no number", "6 in 12", "6 en 12"),
]  # fmt: skip

REFUSED_SIZES: list[tuple[str, str, str, str]] = [
    ("13", "size", "13 x 13 in", "13 x 13 in"),
    ("13 x", "size", "13 x 13 in", "13 x 13 in"),
    ("x", "size", "13 x 13 in", "13 x 13 in"),
    ("13 x 13 x 24", "size", "not two sizes", "no son dos medidas"),
    ("2 ft x 13", "size unit", "2 ft x 13 ft", "2 ft x 13 ft"),
    ("0 x 13 in", "size zero", "sizes over 0", "mayores que 0"),
    ("13 x 13 lb", "another kind", "a length is wanted", "se pide una longitud"),
    ("4,5 x 13", "decimal comma", "4.5", "4.5"),
    ("", "empty", "Nothing was typed", "No se escribió nada"),
    ("1 x " + "1" * 60, "long", "at most 60", "60 como máximo"),
]

REFUSED_FLUES: list[tuple[str, str, str, str]] = [
    ("10 in", "flue", "10 in dia for a round one", "10 in diám para uno redondo"),
    ("dia", "flue", "13 x 13 in", "13 x 13 in"),
    ("0 in dia", "flue", "10 in dia", "10 in diám"),
    ("10 lb dia", "another kind", "a length is wanted", "se pide una longitud"),
    ("13 x 0", "size zero", "sizes over 0", "mayores que 0"),
    ("13 x 13 in ID", "flue side", "10 in ID for a round one", "10 in ID para uno redondo"),
    ("ID", "flue", "10 in dia", "10 in diám"),
    ("", "empty", "Nothing was typed", "No se escribió nada"),
]


def check_sentence(error: Unreadable, reason: str, en: str, es: str) -> None:
    assert error.facts["reason"] == reason
    english, spanish = error.in_language("en"), error.in_language("es")
    assert en in english
    assert es in spanish
    assert english != spanish
    for sentence in (english, spanish):
        assert sentence.endswith(".") and ". " not in sentence.replace(". ft. ", "")  # one sentence
        assert sentence.isprintable()
        assert len(sentence) < 300


@pytest.mark.parametrize(("typed", "unit", "reason", "en", "es"), REFUSED)
def test_refused(typed: str, unit: str, reason: str, en: str, es: str) -> None:
    with pytest.raises(Unreadable) as caught:
        notation.read(typed, unit)
    check_sentence(caught.value, reason, en, es)


@pytest.mark.parametrize(("typed", "reason", "en", "es"), REFUSED_SIZES)
def test_refused_size(typed: str, reason: str, en: str, es: str) -> None:
    with pytest.raises(Unreadable) as caught:
        notation.read_size(typed)
    check_sentence(caught.value, reason, en, es)


@pytest.mark.parametrize(("typed", "reason", "en", "es"), REFUSED_FLUES)
def test_refused_flue(typed: str, reason: str, en: str, es: str) -> None:
    with pytest.raises(Unreadable) as caught:
        notation.read_flue(typed)
    check_sentence(caught.value, reason, en, es)


def test_every_reason_is_refused_somewhere() -> None:
    shown = {row[2] for row in REFUSED} | {row[1] for row in REFUSED_SIZES + REFUSED_FLUES}
    in_entries = {"at", "ratio", "date", "no such day"}  # refused in test_entries.py
    assert shown | in_entries == set(unreadable.REASONS)


def test_a_refusal_cannot_turn_the_reading_direction_or_break_the_line() -> None:
    with pytest.raises(Unreadable) as caught:
        notation.read("4\u202ein\n5\x1b[31m", "in")
    assert caught.value.in_language("en").isprintable()


def test_unit_asked_for_must_exist() -> None:
    with pytest.raises(UnknownName):
        notation.read("4", "furlong")


@pytest.mark.parametrize(
    ("typed", "unit", "value", "shown"),
    [
        ("-4 1/2 in", "in", "-9/2", "−4 1/2 in"),
        ("−3 ft 6 in", "in", "-42", "−3 ft 6 in"),
        ("- 25.4 mm", "in", "-1", "−25.4 mm (−1 in)"),
        ("4", "in", "4", "4 in"),
        ("-0 in", "in", "0", "0 in"),
        ("-11 C", "degF", "61/5", "−11 °C (12.2 °F)"),
        ("-40 C", "degF", "-40", "−40 °C (−40 °F)"),
        ("-4 F", "degC", "-20", "−4 °F (−20 °C)"),
        ("-9 F", "deltaC", "-5", "−9 °F (−5 °C)"),
    ],
)
def test_a_minus_is_taken_only_when_asked_for(typed: str, unit: str, value: str, shown: str) -> None:
    reading = notation.read(typed, unit, signed=True)
    assert reading.value == Fraction(value)
    assert reading.shown() == shown


@pytest.mark.parametrize("typed", ["--4", "-", "- -4", "4-"])
def test_one_minus_only(typed: str) -> None:
    with pytest.raises(Unreadable):
        notation.read(typed, "in", signed=True)


@pytest.mark.parametrize(
    ("typed", "length", "width"),
    [
        ("13 x 13 in", "13", "13"),
        ("8 1/2 x 13 in", "17/2", "13"),
        ("8 1/2 × 13", "17/2", "13"),
        ("8½ por 13 pulg", "17/2", "13"),
        ("8½X13", "17/2", "13"),
        ('8 1/2" x 13"', "17/2", "13"),
        ("8.5 by 13", "17/2", "13"),
        ("13 in x 13", "13", "13"),
        ("1 ft 6 in x 2 ft", "18", "24"),
        ("4 x 8 ft", "48", "96"),
        ("254 x 508 mm", "10", "20"),
    ],
)
def test_size(typed: str, length: str, width: str) -> None:
    assert notation.read_size(typed) == (Fraction(length), Fraction(width))


def test_size_in_another_unit() -> None:
    assert notation.read_size("4 x 8", "ft") == (4, 8)
    assert notation.read_size("48 x 96 in", "ft") == (4, 8)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("13 x 13 in", ("rectangular", 13, 13)),
        ("8 1/2 × 13", ("rectangular", Fraction(17, 2), 13)),
        ("10 in dia", ("round", 10, 10)),
        ("10 in dia.", ("round", 10, 10)),
        ("10 in diám", ("round", 10, 10)),
        ('10" round', ("round", 10, 10)),
        ("10 dia", ("round", 10, 10)),
        ("10 pulg de diámetro", ("round", 10, 10)),
        ("Ø10 in", ("round", 10, 10)),
        ("10½ in Ø", ("round", Fraction(21, 2), Fraction(21, 2))),
        ("diámetro 10 pulg", ("round", 10, 10)),
        ("254 mm dia", ("round", 10, 10)),
        ("10 in ID", ("round inside", 10, 10)),
        ("10 in I.D.", ("round inside", 10, 10)),
        ("10 in inside dia", ("round inside", 10, 10)),
        ("10 in diám. int.", ("round inside", 10, 10)),
        ("10 pulg por dentro", ("round inside", 10, 10)),
        ("11 3/4 in OD", ("round outside", Fraction(47, 4), Fraction(47, 4))),
        ("11 3/4 pulg de diámetro exterior", ("round outside", Fraction(47, 4), Fraction(47, 4))),
    ],
)
def test_flue(typed: str, expected: tuple[str, Fraction, Fraction]) -> None:
    assert notation.read_flue(typed) == expected


# Common practice, no source: how a tape length is written.
@pytest.mark.parametrize(
    ("value", "unit", "en", "es"),
    [
        (42.5, "in", "3 ft 6 1/2 in", "3 ft 6 1/2 in"),
        (12, "in", "1 ft", "1 ft"),
        (12.5, "in", "1 ft 0 1/2 in", "1 ft 0 1/2 in"),
        (11.98, "in", "1 ft", "1 ft"),  # 11 15.68/16: the sixteenth carries up
        (23.99, "in", "2 ft", "2 ft"),
        (0, "in", "0 in", "0 in"),
        (0.02, "in", "0 in", "0 in"),
        (Fraction(1, 32), "in", "1/16 in", "1/16 in"),  # half a part goes up
        (-42.5, "in", "−3 ft 6 1/2 in", "−3 ft 6 1/2 in"),
        (-0.01, "in", "0 in", "0 in"),
        (4.75, "ft", "4 ft 9 in", "4 ft 9 in"),
        (1200, "ft", "1,200 ft", "1,200 ft"),
        (9.44999, "ft3", "9.45 ft³", "9.45 ft³"),
        (0.35, "yd3", "0.35 yd³", "0.35 yd³"),
        (1250, "lb", "1,250 lb", "1,250 lb"),
        (12345.6, "lb", "12,346 lb", "12,346 lb"),
        (8, "count", "8", "8"),
        (8.0, "bags", "8 bags", "8 sacos"),
        (1, "bags", "1 bag", "1 saco"),
        (10, "percent", "10 %", "10 %"),
        (18.434948, "degree", "18.43°", "18.43°"),
        (6.0, "in/ft", "6 in per ft", "6 in por ft"),
        (0.25, "in/ft", "1/4 in per ft", "1/4 in por ft"),
        (0.7391, "in/ft", "0.7391 in per ft", "0.7391 in por ft"),
        (7, "day", "7 days", "7 días"),
        (3.5, "", "3.5", "3.5"),
    ],
)
def test_written(value: float, unit: str, en: str, es: str) -> None:
    assert notation.write(value, unit) == en
    assert notation.write(value, unit, "es") == es


@pytest.mark.parametrize(
    ("value", "to", "written"),
    [
        (44.5, 16, "44 1/2 in"),
        (44.47, 16, "44 1/2 in"),
        (44.4, 16, "44 3/8 in"),
        (44.4, 2, "44 1/2 in"),
        (44.3, 8, "44 1/4 in"),
        (44.99, 16, "45 in"),
        (0.3, 1, "0 in"),
        (-0.5, 16, "−1/2 in"),
        (1440, 16, "1,440 in"),
    ],
)
def test_inches_written_without_feet(value: float, to: int, written: str) -> None:
    assert notation.write_inches(value, to) == written


@pytest.mark.parametrize(
    ("value", "digits", "written"),
    [(1250, 4, "1,250"), (0.1 + 0.2, 4, "0.3"), (1234567.8, 4, "1,234,568"), (0.000123456, 4, "0.0001235"),
     (2 / 3, 2, "0.67"), (-2.5, 4, "−2.5"), (0, 4, "0"), (-1e-12, 4, "0"), (9.99996, 4, "10"), (1038.5, 4, "1,039"), (128.25, 4, "128.3"), (1e300, 4, f"{10**300:,}"), (1e9, 4, "1,000,000,000")],
)  # fmt: skip
def test_number_written(value: float, digits: int, written: str) -> None:
    assert notation.write_number(value, digits) == written


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_never_written(bad: float) -> None:
    for attempt in (
        lambda: notation.write(bad, "in"),
        lambda: notation.write(bad, "ft3"),
        lambda: notation.write(bad, "in/ft"),
        lambda: notation.write(bad, "count"),
        lambda: notation.write_inches(bad),
        lambda: notation.write_number(bad),
    ):
        with pytest.raises(ValueError, match="cannot write"):
            attempt()


def test_inches_are_written_to_parts_a_tape_has() -> None:
    with pytest.raises(ValueError, match="not 10"):
        notation.write_inches(4.5, to=10)


languages = st.sampled_from(["en", "es"])


@settings(deadline=None, max_examples=300)
@given(st.integers(0, 16 * 12 * 10_000), languages)
def test_sixteenths_written_read_back(sixteenths: int, language: str) -> None:
    value = Fraction(sixteenths, 16)
    assert notation.read(notation.write(value, "in", language), "in", language).value == value
    assert notation.read(notation.write_inches(value), "in", language).value == value
    assert notation.read(notation.write(value, "ft", language), "ft", language).value == value


@settings(deadline=None, max_examples=300)
@given(
    st.sampled_from(
        [unit.name for unit in UNITS.values() if unit.name not in ("in", "ft") and unit.kind != "count"]
    ),
    st.integers(0, 9999),
    st.integers(0, 4),
    languages,
)
def test_four_figures_written_read_back(unit: str, figures: int, places: int, language: str) -> None:
    value = Fraction(figures, 10**places)
    assert notation.read(notation.write(value, unit, language), unit, language).value == value


@settings(deadline=None)
@given(
    st.sampled_from([unit.name for unit in UNITS.values() if unit.kind == "count"]),
    st.integers(0, 10**9),
    languages,
)
def test_counts_written_read_back(unit: str, count: int, language: str) -> None:
    assert notation.read(notation.write(count, unit, language), unit, language).value == count


@settings(deadline=None, max_examples=300)
@given(st.floats(0, 1e6), st.sampled_from([1, 2, 4, 8, 16]))
def test_rounding_is_to_the_nearest_part(value: float, to: int) -> None:
    written = notation.read(notation.write_inches(value, to), "in").value
    assert abs(written - Fraction(value)) <= Fraction(1, 2 * to)
    assert (written * to).denominator == 1


PIECES = [
    *"0123456789", *"0123456789", " ", " ", " ", "/", "-", ".", ",", "'", '"', "1/2", "3/4", "½", "⅝", "′", "″", "12",
    "in", "ft", " in", " ft ", "lb", "yd3", "ft³", "cu ft", "mm", "m", "bags", "%", "°", "pulg", "pies", "sacos",
    "yardas cúbicas", ":", "per", "x", "×", "_", "e", "*", "**", "(", ")", "nan", "inf", "٣", "４", "²", "\u202e", "\x00",
    "\n", "\t", "\u00a0", "🧱", "ñ", "^", "+", "−", "–", "por", " y ", "and", "in 12", "dia", "Ø",
]  # fmt: skip


ASKED = ["in", "ft", "ft3", "yd3", "lb", "count", "percent", "degree", "in/ft", "day", "lb/ft3", ""]


def random_text(source: random.Random) -> tuple[str, str]:
    """A text and the unit it is asked in."""
    kind, unit = source.random(), source.choice(ASKED)
    if kind < 0.3:
        return "".join(source.choice(PIECES) for _ in range(source.randint(0, 9))), unit
    if kind < 0.9:  # a text that is read, with one piece put in or taken out
        typed, wanted, *_ = source.choice(ACCEPTED)
        place = source.randint(0, len(typed))
        return typed[:place] + source.choice(["", *PIECES]) + typed[place + source.randint(0, 1) :], wanted
    points = (source.choice([source.randint(0, 0x2FF), source.randint(0x300, 0xD7FF)]) for _ in range(50))
    return "4" + "".join(map(chr, points)), unit


MOST = 0.005  # seconds


def seconds(typed: str, unit: str) -> float:
    """Processor time that reading takes; the best of three when the first is interrupted."""
    best = math.inf
    for _ in range(3):
        began = time.thread_time()
        with contextlib.suppress(Unreadable):
            notation.read(typed, unit)
        best = min(best, time.thread_time() - began)
        if best < MOST:
            break
    return best


def test_random_texts_give_a_value_or_a_refusal_quickly() -> None:
    source = random.Random(20_000)
    notation.read("115 mm", "in")  # the first conversion loads pint; that is not reading time
    slowest, taken, refused = 0.0, 0, 0
    for turn in range(20_000):
        typed, unit = random_text(source)
        language = "es" if turn % 2 else "en"
        slowest = max(slowest, seconds(typed, unit))
        try:
            reading = notation.read(typed, unit, language)
        except Unreadable as error:
            refused += 1
            assert error.in_language("en").isprintable() and error.in_language("es").isprintable()
        else:
            taken += 1
            assert isinstance(reading.value, Fraction)
            assert reading.value >= 0
            # What is shown is what was read: read again, it gives the same value.
            for language in ("en", "es"):
                shown = reading.shown(language).partition(" (")[0]
                assert len(shown) > 60 or notation.read(shown, unit).value == reading.value, (typed, shown)
    assert taken > 2_000 and refused > 2_000, (taken, refused)
    assert slowest < MOST, f"{slowest * 1000:.1f} ms"


def test_random_sizes_and_flues_give_sizes_or_a_refusal() -> None:
    source = random.Random(7)
    taken = 0
    for _ in range(5_000):
        typed = (
            random_text(source)[0]
            + source.choice([" x ", "x", " por ", " dia", ""])
            + source.choice(["13 in", "8", ""])
        )
        for reader in (notation.read_size, notation.read_flue):
            try:
                *_, length, width = reader(typed)
            except Refusal:
                continue
            taken += 1
            assert length > 0 and width > 0
    assert taken > 100, taken


@pytest.mark.parametrize("piece", ["1", " ", "1 ", "1/", "'", "in ", ".", "1,", "-", "ft2 ", "½"])
def test_repeated_pieces_take_no_longer(piece: str) -> None:
    typed = (piece * 60)[:60]
    began = time.thread_time()
    with pytest.raises(Unreadable):
        notation.read(typed, "in")
    assert time.thread_time() - began < 0.05
