"""The bounded scanner under `notation`: typed text → numbers, each with the words that follow it.

    fold    typed text as lower-case ASCII: ½ as 1/2, any prime or quote as ' or ", accents off
    scan    folded text → amounts

A number is whole, decimal, a fraction or a whole number with a fraction. Nothing is evaluated, every pattern is
linear, and the text is at most LONGEST characters before it comes here.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import Final, NamedTuple

from trainer.calc.units import unit_spelled
from trainer.calc.unreadable import LARGEST, unreadable
from trainer.calc.writing import mixed

_VULGAR: Final = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅒": "1/10",
}  # fmt: skip
_POWERS: Final = {"²": "^2", "³": "^3"}
_PLAIN: Final = {
    **dict.fromkeys("′’‘´ʹ", "'"),
    **dict.fromkeys("″”“ʺ", '"'),
    **dict.fromkeys("−–‐‑", "-"),
    **dict.fromkeys("\u00a0\u2009\u202f", " "),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("°º", " deg"),
    **dict(zip("áéíóúüñ", "aeiouun", strict=True)),
    **dict.fromkeys("µμ", "u"),
    "×": "x",
}

# A run of digits; then perhaps a second run after a space or hyphen; then perhaps a third after a slash.
_NUMBER: Final = re.compile(r"([\d.,_]+)(?:( *- *| +)([\d.,_]+))?(?: */ *([\d.,_]+))?")
_WORDS: Final = re.compile(r"(?:[^\d.]|\.(?!\d))*")
_AFTER_POWER: Final = re.compile(r" *(?:$|/ *[a-z]|(?:per|por)\b)")
_WHOLE: Final = re.compile(r"\d+")
_GROUPED: Final = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?")
_DECIMAL: Final = re.compile(r"\d*\.\d+")
_DECIMAL_COMMA: Final = re.compile(r"\d+(?:\.\d{3})*,\d+")
_COMMAS: Final = re.compile(r"\d[\d,]*(?:\.\d+)?")


class Amount(NamedTuple):
    """One number as typed; fractional: typed with a fraction; words: the unit as typed, "" for none."""

    value: Fraction
    fractional: bool
    words: str


class Asked(NamedTuple):
    """What a refusal speaks of: the text as it was given, and the unit asked for."""

    given: str
    unit: str


def fold(text: str, asked: Asked) -> str:
    """`text` as lower-case ASCII. Raises Unreadable on other digits and on characters with no meaning here."""
    folded = text.lower().replace("\t", " ")
    if not folded.isascii():
        folded = "".join(_folded_letters(unicodedata.normalize("NFC", folded), asked))
    if not folded.isprintable():
        raise unreadable("character", *asked)
    return folded.replace("''", '"')


def _folded_letters(text: str, asked: Asked) -> list[str]:
    letters: list[str] = []
    for place, letter in enumerate(text):
        before = text[place - 1] if place else ""
        if letter.isascii():
            letters.append(letter)
        elif letter in _VULGAR:
            # "4½" and "4 ½" are one mixed number; "4-½" keeps its hyphen tight.
            letters.append(f"{'' if before in '-–' else ' '}{_VULGAR[letter]} ")
        elif letter in _POWERS and not before.isnumeric():
            letters.append(_POWERS[letter])
        elif letter in _PLAIN:
            letters.append(_PLAIN[letter])
        else:
            raise unreadable("digits" if letter.isnumeric() else "character", *asked)
    return letters


def scan(folded: str, asked: Asked) -> list[Amount]:
    """Every number of `folded` with the words after it; the text must begin with a number.

    Raises Unreadable.
    """
    amounts: list[Amount] = []
    place = 0
    while place < len(folded):
        found = _NUMBER.match(folded, place)
        if found is None:
            raise unreadable("no number", *asked)
        value, fractional = number(found, asked)
        end = _end_of_words(folded, found.end())
        words = folded[found.end() : end]
        if words[-1:].isalpha() and folded[end : end + 1] == ".":
            raise unreadable("point", *asked)  # "3 ft.5 in": 5 in or half an inch
        if end < len(folded):
            words = _without_joint(words, asked)
        amounts.append(Amount(value, fractional, words.strip()))
        place = end
    return amounts


def first_number(folded: str, asked: Asked) -> tuple[Fraction, bool, str] | None:
    """The number that `folded` begins with, whether it has a fraction, and the rest; None when there is none."""
    found = _NUMBER.match(folded)
    return None if found is None else (*number(found, asked), folded[found.end() :].strip())


def number(found: re.Match[str], asked: Asked) -> tuple[Fraction, bool]:
    """The number that _NUMBER found, and whether it was typed with a fraction. Raises Unreadable."""
    first, joint, second, below = found.groups()
    if below is None:
        if second is not None:
            raise unreadable("subtraction" if "-" in joint else "two numbers", *asked)
        return _checked(_plain(first, asked), asked), False
    above = first if second is None else second
    if not (_WHOLE.fullmatch(above) and _WHOLE.fullmatch(below)):
        for run in (above, below):
            _plain(run, asked)  # a run that is no number at all has its own sentence
        raise unreadable("fraction", *asked)
    if not int(below):
        raise unreadable("zero below", *asked)
    if max(int(above), int(below)) > LARGEST:
        raise unreadable("large", *asked)
    part = Fraction(int(above), int(below))
    if second is None:
        return part, True
    whole = _plain(first, asked)
    if "." in first:
        raise unreadable("decimal and fraction", *asked)
    if part >= 1:
        raise unreadable("improper", *asked, instead=mixed(whole + part))
    if "-" in joint and joint != "-":
        raise unreadable("subtraction", *asked, instead=f"{first} {above}/{below}")
    return _checked(whole + part, asked), True


def _plain(run: str, asked: Asked) -> Fraction:
    """A whole or decimal number; a comma stands only before groups of three."""
    if _WHOLE.fullmatch(run):
        return Fraction(int(run))
    if _DECIMAL.fullmatch(run):
        return Fraction(run)
    if _GROUPED.fullmatch(run):
        return Fraction(run.replace(",", ""))
    if "_" in run:
        digits = run.replace("_", "")
        raise unreadable("underscore", *asked, **({"instead": digits} if digits.isdigit() else {}))
    if _DECIMAL_COMMA.fullmatch(run):
        raise unreadable("decimal comma", *asked, instead=run.replace(".", "").replace(",", "."))
    if _COMMAS.fullmatch(run):
        raise unreadable("comma", *asked, instead=run.replace(",", ""))
    raise unreadable("point", *asked)


def _checked(value: Fraction, asked: Asked) -> Fraction:
    if value > LARGEST:
        raise unreadable("large", *asked)
    return value


def _end_of_words(folded: str, start: int) -> int:
    """Where the words that begin at `start` end: at the next number, but past the 2 of "ft2" and the 3 of "yd3"."""
    found = _WORDS.match(folded, start)
    end = found.end() if found else start
    # "3 ft2" is an area, "3ft2in" is feet and inches: a power is the last thing of a unit.
    while folded[end : end + 1] in ("2", "3") and (folded[end - 1].isalpha() or folded[end - 1] == "^"):
        if not _AFTER_POWER.match(folded, end + 1):
            break
        found = _WORDS.match(folded, end + 1)
        end = found.end() if found else end + 1
    return end


def _without_joint(words: str, asked: Asked) -> str:
    """The unit before another number, without what may stand between feet and inches: "3'-6", "3 pies y 6"."""
    unit = words.strip()
    if unit_spelled(unit):
        return unit
    if unit.startswith("/"):
        raise unreadable("fraction", *asked)
    if unit.endswith("-"):
        before = unit[:-1]
        if before.endswith(" ") and not words.endswith(" "):
            raise unreadable("subtraction", *asked)
        return before
    if not unit:
        raise unreadable("two numbers", *asked)
    return unit.removesuffix(",").removesuffix(" and").removesuffix(" y")
