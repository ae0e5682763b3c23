"""Why a typed quantity is refused: one sentence a reason, in both languages.

Every sentence quotes what was given and says what would be read instead.
"""

from __future__ import annotations

from typing import Final

from trainer.calc.units import KINDS, unit_named
from trainer.errors import Unreadable
from trainer.languages import Text

LONGEST: Final = 60
"""Characters of text that are read at all."""

LARGEST: Final = 10**9
"""Largest number that is read."""

REASONS: Final[dict[str, Text]] = {
    "empty": Text(
        "Nothing was typed; type %(kind)s, such as %(examples)s.",
        "No se escribió nada; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "long": Text(
        "That text has %(length)d characters and at most %(longest)d are read; type %(kind)s, such as %(examples)s.",
        "Ese texto tiene %(length)d caracteres y se leen %(longest)d como máximo; escriba %(kind)s, por ejemplo "
        "%(examples)s.",
    ),
    "digits": Text(
        "“%(given)s” has a digit other than 0 to 9; type %(kind)s, such as %(examples)s.",
        "“%(given)s” tiene un dígito que no es de 0 a 9; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "character": Text(
        "“%(given)s” has a character that is not read here; type %(kind)s, such as %(examples)s.",
        "“%(given)s” tiene un carácter que aquí no se lee; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "underscore": Text(
        "“%(given)s” has an underscore in a number; type %(instead)s.",
        "“%(given)s” tiene un guion bajo en un número; escriba %(instead)s.",
    ),
    "decimal comma": Text(
        "“%(given)s” has a comma for the decimal mark; use a point: %(instead)s.",
        "“%(given)s” tiene una coma decimal; use un punto: %(instead)s.",
    ),
    "comma": Text(
        "“%(given)s” has a comma that does not stand before a group of three digits; type %(instead)s.",
        "“%(given)s” tiene una coma que no va antes de un grupo de tres dígitos; escriba %(instead)s.",
    ),
    "point": Text(
        "“%(given)s” has a point out of place; type %(kind)s, such as %(examples)s.",
        "“%(given)s” tiene un punto fuera de lugar; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "zero below": Text(
        "“%(given)s” divides by zero; the number under the line must be 1 or more, as in 4 1/2.",
        "“%(given)s” divide entre cero; el número de abajo debe ser 1 o más, como en 4 1/2.",
    ),
    "fraction": Text(
        "“%(given)s” has a fraction that is not one whole number over another; type it as 4 1/2.",
        "“%(given)s” tiene una fracción que no es un entero sobre otro; escríbala como 4 1/2.",
    ),
    "improper": Text(
        "“%(given)s” has a fraction of 1 or more after a whole number; type %(instead)s.",
        "“%(given)s” tiene una fracción de 1 o más después de un entero; escriba %(instead)s.",
    ),
    "decimal and fraction": Text(
        "“%(given)s” has a decimal followed by a fraction; type one of them only, such as 4.5 or 4 1/2.",
        "“%(given)s” tiene un decimal seguido de una fracción; escriba sólo uno, por ejemplo 4.5 o 4 1/2.",
    ),
    "subtraction": Text(
        "“%(given)s” could be a subtraction, and nothing is worked out here; type the one number, such as %(instead)s.",
        "“%(given)s” podría ser una resta, y aquí no se hacen cuentas; escriba un solo número, por ejemplo "
        "%(instead)s.",
    ),
    "two numbers": Text(
        "“%(given)s” has two numbers with no unit after the first; type %(kind)s, such as %(examples)s.",
        "“%(given)s” tiene dos números sin unidad después del primero; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "unit missing": Text(
        "“%(given)s” has no unit after the inches; type %(instead)s.",
        "“%(given)s” no tiene unidad después de las pulgadas; escriba %(instead)s.",
    ),
    "mixed kinds": Text(
        "“%(given)s” mixes %(first)s and %(second)s; type %(kind)s only, such as %(examples)s.",
        "“%(given)s” mezcla %(first)s y %(second)s; escriba sólo %(kind)s, por ejemplo %(examples)s.",
    ),
    "two units": Text(
        "“%(given)s” has more than one unit; only feet then inches go together, so type %(kind)s such as %(examples)s.",
        "“%(given)s” tiene más de una unidad; sólo van juntos pies y luego pulgadas, así que escriba %(kind)s, por "
        "ejemplo %(examples)s.",
    ),
    "feet not whole": Text(
        "“%(given)s” has a part of a foot and then inches; type whole feet and inches: %(instead)s.",
        "“%(given)s” tiene parte de un pie y luego pulgadas; escriba pies enteros y pulgadas: %(instead)s.",
    ),
    "inches over a foot": Text(
        "“%(given)s” has 12 or more inches after the feet; type %(instead)s.",
        "“%(given)s” tiene 12 pulgadas o más después de los pies; escriba %(instead)s.",
    ),
    "unit": Text(
        "“%(words)s” in “%(given)s” is not a unit read here; type %(kind)s, such as %(examples)s.",
        "“%(words)s” en “%(given)s” no es una unidad que se lea aquí; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "another kind": Text(
        "“%(given)s” is %(other)s and %(kind)s is wanted, such as %(examples)s.",
        "“%(given)s” es %(other)s y se pide %(kind)s, por ejemplo %(examples)s.",
    ),
    "no number": Text(
        "“%(given)s” does not begin with a number; type %(kind)s, such as %(examples)s.",
        "“%(given)s” no empieza con un número; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "negative": Text(
        "“%(given)s” is less than zero; type %(kind)s of 0 or more, such as %(examples)s.",
        "“%(given)s” es menor que cero; escriba %(kind)s de 0 o más, por ejemplo %(examples)s.",
    ),
    "large": Text(
        "“%(given)s” has a number over 1,000,000,000, the largest that is read; type %(kind)s, such as %(examples)s.",
        "“%(given)s” tiene un número mayor que 1,000,000,000, el mayor que se lee; escriba %(kind)s, por ejemplo %(examples)s.",
    ),
    "not whole": Text(
        "“%(given)s” is not a whole number; type %(instead)s.",
        "“%(given)s” no es un número entero; escriba %(instead)s.",
    ),
    "run": Text(
        "“%(given)s” is not a rise in 12; a slope is the rise in 12 in of level run, such as %(examples)s.",
        "“%(given)s” no es una subida en 12; la pendiente es lo que sube en 12 in a nivel, por ejemplo %(examples)s.",
    ),
    "size": Text(
        "“%(given)s” is not two sizes; type length by width, such as 13 x 13 in or 8 1/2 x 13 in.",
        "“%(given)s” no son dos medidas; escriba largo por ancho, por ejemplo 13 x 13 in u 8 1/2 x 13 in.",
    ),
    "size unit": Text(
        "“%(given)s” has a unit after the first size only; type it after the second: %(instead)s.",
        "“%(given)s” tiene unidad sólo después de la primera medida; escríbala después de la segunda: %(instead)s.",
    ),
    "size zero": Text(
        "“%(given)s” has a size of zero; type sizes over 0, such as 13 x 13 in.",
        "“%(given)s” tiene una medida de cero; escriba medidas mayores que 0, por ejemplo 13 x 13 in.",
    ),
    "at": Text(
        "“%(given)s” is not one number at another; type the first, an @ and the second, such as 12 @ 42 in.",
        "“%(given)s” no son un número y otro; escriba el primero, una @ y el segundo, por ejemplo 12 @ 42 in.",
    ),
    "ratio": Text(
        "“%(given)s” is not %(numbers)d parts; type them with : between, such as 1:2:3.",
        "“%(given)s” no son %(numbers)d partes; escríbalas con : en medio, por ejemplo 1:2:3.",
    ),
    "date": Text(
        "“%(given)s” is not a date; type year-month-day, such as 2026-11-25.",
        "“%(given)s” no es una fecha; escriba año-mes-día, por ejemplo 2026-11-25.",
    ),
    "no such day": Text(
        "“%(given)s” is no day of the calendar; type year-month-day, such as 2026-11-25.",
        "“%(given)s” no es un día del calendario; escriba año-mes-día, por ejemplo 2026-11-25.",
    ),
    "flue side": Text(
        "“%(given)s” names a side of the wall, which is read for a round flue only; type 13 x 13 in, or 10 in ID for a "
        "round one.",
        "“%(given)s” dice de qué lado de la pared se midió, y eso se lee sólo en un conducto redondo; escriba 13 x 13 in, o "
        "10 in ID para uno redondo.",
    ),
    "flue": Text(
        "“%(given)s” is neither two sizes nor a diameter; type 13 x 13 in for a rectangular flue or 10 in dia for a "
        "round one.",
        "“%(given)s” no son dos medidas ni un diámetro; escriba 13 x 13 in para un conducto rectangular o 10 in diám "
        "para uno redondo.",
    ),
}


def unreadable(reason: str, given: str, unit: str, **facts: object) -> Unreadable:
    """The refusal of `given`, asked for in `unit`.

    reason: key of REASONS, kept in the error's facts; facts: the rest of the places in the sentence
    """
    kind = KINDS[unit_named(unit).kind]
    # Nothing typed may steer a terminal or turn the reading direction of the page.
    quoted = "".join(letter if letter.isprintable() else "?" for letter in given.strip()[:LONGEST])
    facts = {"kind": kind.noun, "examples": kind.examples, "instead": kind.examples, **facts}
    return Unreadable(REASONS[reason], reason=reason, given=quoted, **facts)
