"""Quantities as the trade writes them: 3 ft 6 1/2 in, 9.5 ft³, 1,250 lb, 8 bags.

Callers use these through `notation`. What is written here, `notation.read` reads back.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from typing import Final

from trainer.calc.units import INCHES_PER_FOOT, unit_named

FINEST: Final = 16
"""Lengths are written to the sixteenth of an inch at the finest, as a tape is marked."""

MINUS: Final = "−"
"""Not a hyphen, which a tired eye takes for a dash: "-1 1/2"."""

MOST_DECIMALS: Final = 9
HALF_UP: Final = Context(prec=400, rounding=ROUND_HALF_UP)
"""Holds every digit of the largest float."""
MOST_EXACT_DECIMALS: Final = 60


def write(value: float | Fraction, unit: str, language: str = "en") -> str:
    """`value` [unit] as the trade writes it.

    Inches and feet become feet and inches to the nearest sixteenth; counts are whole; slopes on a sixteenth are
    fractions; anything else is a decimal of four figures. Raises ValueError when the value is not finite.
    """
    _finite(value)
    if unit == "in":
        return _feet_and_inches(value)
    if unit == "ft":
        return _feet_and_inches(value * INCHES_PER_FOOT)
    measure = unit_named(unit)
    if measure.kind == "count":
        number = f"{_nearest(value, 1):,}"
    elif measure.kind == "slope" and Fraction(value) * FINEST % 1 == 0:
        number = mixed(Fraction(value))
    else:
        number = write_number(value)
    return number + measure.written(number, language)


def write_inches(value: float | Fraction, to: int = FINEST, language: str = "en") -> str:
    """Inches without feet, "44 1/2 in".

    value: [in]; to: parts of an inch to round to (1, 2, 4, 8 or 16), half a part away from zero
    language: taken for callers that write every quantity alike; inches are written the same in both
    Raises ValueError for another `to`, or when the value is not finite.
    """
    if to not in (1, 2, 4, 8, FINEST):
        raise ValueError(f"inches are written to 1, 2, 4, 8 or {FINEST} parts, not {to}")
    return f"{mixed(Fraction(_nearest(value, to), to))} in"


def write_number(value: float | Fraction, digits: int = 4) -> str:
    """A plain decimal with a point, commas before groups of three and no idle zeros: "1,250", "0.35".

    digits: significant figures kept, a half away from zero; whole figures are never rounded away
    Raises ValueError when the value is not finite.
    """
    _finite(value)
    if not value:
        return "0"
    decimals = min(max(digits - 1 - math.floor(math.log10(abs(float(value)))), 0), MOST_DECIMALS)
    rounded = Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-decimals), context=HALF_UP)
    return _plain(f"{rounded:,f}".replace("-", MINUS))


def mixed(value: Fraction) -> str:
    """A whole number, a fraction or both, in lowest terms: "4 1/2"."""
    whole, part = divmod(abs(value.numerator), value.denominator)
    sign = MINUS if value < 0 else ""
    if not part:
        return f"{sign}{whole:,}"
    return f"{sign}{whole:,} {part}/{value.denominator}" if whole else f"{sign}{part}/{value.denominator}"


def exact(value: Fraction) -> str:
    """Every figure of `value`: as a decimal, or as a mixed number when no finite decimal holds it."""
    places, scale = 0, 1
    while scale % value.denominator:
        places, scale = places + 1, scale * 10
        if places > MOST_EXACT_DECIMALS:
            return mixed(value)
    whole, part = divmod(abs(value.numerator) * scale // value.denominator, scale)
    sign = MINUS if value < 0 else ""
    return _plain(f"{sign}{whole:,}.{part:0{places}d}") if places else f"{sign}{whole:,}"


def _feet_and_inches(inches: float | Fraction) -> str:
    """Feet only from 12 in up; sixteenths carry into inches and inches into feet."""
    parts = _nearest(inches, FINEST)
    feet, rest = divmod(abs(parts), FINEST * INCHES_PER_FOOT)
    sign = MINUS if parts < 0 else ""
    written = [f"{feet:,} ft"] if feet else []
    if rest or not feet:
        # "1 ft 0 1/2 in": without the 0 the half could be taken for half a foot.
        zero = "0 " if feet and rest < FINEST else ""
        written.append(f"{zero}{mixed(Fraction(rest, FINEST))} in")
    return sign + " ".join(written)


def _nearest(value: float | Fraction, parts: int) -> int:
    """`value` in whole parts, half a part away from zero."""
    _finite(value)
    size = math.floor(abs(Fraction(value)) * parts + Fraction(1, 2))
    return -size if value < 0 else size


def _finite(value: float | Fraction) -> None:
    if not math.isfinite(value):
        raise ValueError(f"cannot write {value}")


def _plain(decimal: str) -> str:
    trimmed = decimal.rstrip("0").rstrip(".") if "." in decimal else decimal
    return "0" if trimmed == f"{MINUS}0" else trimmed
