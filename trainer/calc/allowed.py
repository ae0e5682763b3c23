"""What an input takes, in words: its range with the unit, its choices, or how it is typed."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from trainer.calc import writing
from trainer.calc.entries import EARLIEST, LATEST
from trainer.calc.units import UNITS
from trainer.languages import Text

if TYPE_CHECKING:
    from trainer.calc.spec import Input


def allowed(each: Input) -> Text:
    """What an input takes, in words."""
    if each.kind == "choice":
        en, es = (
            ", ".join(
                each.words[one].in_language(language) if one in each.words else one for one in each.choices
            )
            for language in ("en", "es")
        )
        return Text(en=f"one of {en}", es=f"uno de {es}")
    if each.kind == "date":
        return Text(
            en=f"year-month-day such as 2026-11-25, {EARLIEST} to {LATEST}",
            es=f"año-mes-día como 2026-11-25, de {EARLIEST} a {LATEST}",
        )
    if each.parts:
        ranges = [_range(part.low, part.high, part.unit) for part in each.parts]
        en, es = (
            "; ".join(dict.fromkeys(one.in_language(language) for one in ranges)) for language in ("en", "es")
        )
        return Text(en=f'for example "{each.example}" ({en})', es=f'por ejemplo "{each.example}" ({es})')
    if each.kind == "flue":
        low, high = f"{each.low:g}", f"{each.high:g} {each.unit}".strip()
        return Text(
            en=f'a size such as "13 x 13 in" or "10 in dia", each side {low} to {high}',
            es=f'una medida como "13 x 13 in" o "10 in diám", cada lado de {low} a {high}',
        )
    return _range(each.low, each.high, each.unit)


def _range(low: float, high: float, unit: str) -> Text:
    least, most, words = _end(low, unit), _end(high, unit), unit_words(unit)
    return Text(
        en=f"{least} to {most} {words.en}".strip(),
        es=f"de {least} a {most} {words.es}".strip(),
    )


def _end(value: float, unit: str) -> str:
    """An end of a range; a length on a sixteenth as it stands on the tape."""
    if unit == "in" and float(value * writing.FINEST).is_integer():
        return writing.mixed(Fraction(value))
    return writing.write_number(value, 6)


def unit_words(unit: str) -> Text:
    """What the unit is called after a number other than 1."""
    return UNITS[unit].many if unit in UNITS else Text(en=unit, es=unit)
