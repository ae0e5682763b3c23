"""Values as the trade writes them, in both languages: lengths in inches on questions, feet and inches where asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from trainer.calc import Flue, Input, notation
from trainer.calc.entries import JOINTS, Entry, written_entry
from trainer.languages import Text
from trainer.questions.drawn import Given
from trainer.questions.template import fill

AND: Final = Text(en=" and ", es=" y ")
DIAMETER: Final = Text(en="in dia", es="in diám")


@lru_cache(maxsize=8192)
def written(value: float | Fraction, unit: str, feet: bool = False) -> Text:
    """A number with its unit; a length [in] in inches alone unless `feet` is asked for."""
    if unit == "in" and not feet:
        inches = notation.write_inches(value)
        return Text(en=inches, es=inches)
    return Text(en=notation.write(value, unit, "en"), es=notation.write(value, unit, "es"))


def written_input(each: Input, value: Any, feet: bool = False) -> Text:
    """The value of an input in words: one, or several in a row: "13 x 13 in and 8 1/2 x 13 in"."""
    if not each.many:
        return _one(each, value, feet)
    texts = [_one(each, one, feet) for one in value]
    return Text(en=_row([text.en for text in texts], AND.en), es=_row([text.es for text in texts], AND.es))


def _one(each: Input, value: Any, feet: bool) -> Text:
    if isinstance(value, Flue):
        return _flue(value)
    if isinstance(value, Entry):
        return _entry(each, value, feet)
    if isinstance(value, str):
        return each.words.get(value, Text(value, value))
    if isinstance(value, date):
        return Text(value.isoformat(), value.isoformat())
    return written(value, each.unit, feet)


def _entry(each: Input, entry: Entry, feet: bool) -> Text:
    """ "12 @ 42 in", "6 h @ 55 °F": a length in inches alone, as elsewhere on a question; "1:2:3", "4 x 8 ft"."""
    if each.kind != "at":
        text = written_entry(each.kind, each.parts, entry)
        return Text(text, text)
    numbers = [written(entry.numbers()[part.name], part.unit, feet) for part in each.parts]
    at = JOINTS["at"]
    return Text(en=at.join(one.en for one in numbers), es=at.join(one.es for one in numbers))


def _row(texts: Sequence[str], last: str) -> str:
    return last.join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts)


def _flue(flue: Flue) -> Text:
    length, width = written(flue.length, "in"), written(flue.width, "in")
    if flue.shape == "round":
        return Text(en=_bare(length.en) + " " + DIAMETER.en, es=_bare(length.es) + " " + DIAMETER.es)
    return Text(en=f"{_bare(length.en)} x {width.en}", es=f"{_bare(length.es)} x {width.es}")


def _bare(length: str) -> str:
    """A length without its unit."""
    return length.rpartition(" ")[0]


def fill_both(text: Text, givens: Mapping[str, Given]) -> Text:
    """A text of the bank with the givens' values in both languages."""
    if "{" not in text.en and "{" not in text.es:
        return text
    return Text(
        en=fill(text.en, {name: given.text.en for name, given in givens.items()}),
        es=fill(text.es, {name: given.text.es for name, given in givens.items()}),
    )
