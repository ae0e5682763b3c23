"""PLACEHOLDER until the full reader lands: writing, and a plain reading of the commonest forms."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from trainer.calc.units import convert, unit_named, unit_spelled
from trainer.errors import Unreadable
from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Reading:
    value: Fraction
    unit: str
    typed: str

    def shown(self, language: str = "en") -> str:
        return write(self.value, self.unit, language)


def _refuse(text: str) -> Unreadable:
    return Unreadable(
        Text(en="%(text)s is not understood.", es="%(text)s no se entiende."), text=repr(text[:60])
    )


def _number(text: str) -> Fraction:
    text = text.replace(",", "")
    found = re.fullmatch(r"(?:(\d+)[ -])?(\d+)/(\d+)", text)
    if found:
        whole, top, bottom = found.groups()
        if int(bottom) == 0:
            raise _refuse(text)
        return Fraction(int(whole or 0)) + Fraction(int(top), int(bottom))
    if not re.fullmatch(r"\d{1,10}(\.\d+)?", text):
        raise _refuse(text)
    return Fraction(text)


def read(text: str, unit: str, language: str = "en") -> Reading:
    typed = text.strip()
    if not typed or len(typed) > 60:
        raise _refuse(text)
    folded = typed.lower().replace("''", '"')
    total, used = Fraction(0), 0
    rest = folded
    while rest:
        found = re.match(r"\s*-?((?:\d[\d,.]*[ -])?\d[\d,.]*(?:/\d+)?)\s*([^\d]*)", rest)
        if not found:
            raise _refuse(text)
        amount, word = found.group(1), found.group(2).strip().rstrip("-").strip()
        name = (unit_spelled(word) if word else unit) if word or not used else "in"
        if name is None:
            raise _refuse(text)
        total += convert(_number(amount), name, unit) if name else _number(amount)
        rest = rest[found.end() :].strip()
        used += 1
    return Reading(total, unit, typed)


def read_size(text: str) -> tuple[Fraction, Fraction]:
    parts = re.split(r"\s*[x×]\s*|\s+por\s+", text.lower())
    if len(parts) != 2:
        raise _refuse(text)
    return read(parts[0], "in").value, read(parts[1], "in").value


def read_flue(text: str) -> tuple[str, Fraction, Fraction]:
    found = re.fullmatch(r"(.*?)\s*(dia\.?|diám\.?|diam\.?)", text.strip().lower())
    if found:
        side = read(found.group(1), "in").value
        return "round", side, side
    return ("rectangular", *read_size(text))


def write_number(value: float | Fraction, digits: int = 4) -> str:
    value = float(value)
    text = f"{value:,.{max(0, digits)}f}" if abs(value) >= 10**digits else f"{value:.{digits}g}"
    if "e" in text:
        text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text


def write_inches(value: float | Fraction, to: int = 16) -> str:
    return f"{_mixed(value, to)} in"


def _mixed(value: float | Fraction, to: int = 16) -> str:
    parts = round(abs(value) * to)
    whole, left = divmod(parts, to)
    fraction = Fraction(left, to)
    sign = "-" if value < 0 and parts else ""
    if not left:
        return f"{sign}{whole}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def write(value: float | Fraction, unit: str, language: str = "en") -> str:
    if unit == "in" and abs(value) >= 12:
        feet, inches = divmod(round(abs(value) * 16), 192)
        sign = "-" if value < 0 else ""
        return f"{sign}{feet} ft" + (f" {_mixed(Fraction(inches, 16))} in" if inches else "")
    if unit == "in":
        return write_inches(value)
    return write_number(value) + unit_named(unit).written(value, language)
