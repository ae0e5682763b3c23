"""Values as the trade writes them, in both languages: lengths in inches on questions, feet and inches where asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from trainer.calc import Flue, notation
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


def written_flues(flues: Sequence[Flue]) -> Text:
    """Flues in a row: "13 x 13 in and 8 1/2 x 13 in"."""
    texts = [_flue(flue) for flue in flues]
    return Text(en=AND.en.join(text.en for text in texts), es=AND.es.join(text.es for text in texts))


def written_value(value: Any, unit: str, feet: bool = False) -> Text:
    """A given of any form: flues, a number with its unit, or a word such as "#3" as it is."""
    if isinstance(value, Sequence) and not isinstance(value, str):
        return written_flues(value)
    if isinstance(value, Flue):
        return _flue(value)
    if isinstance(value, str):
        return Text(en=value, es=value)
    return written(value, unit, feet)


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
