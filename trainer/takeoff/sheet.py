"""What the job sheet says of a take-off, in one language.

A line is there when what it speaks of was worked out and is not nothing.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from trainer.calc import notation
from trainer.languages import Text
from trainer.takeoff.cautions import CAUTIONS
from trainer.takeoff.lines import KEY_FIGURES, LOADS, MATERIALS, STEPS
from trainer.takeoff.run import TakeOff

PLACE: Final = re.compile(r"\{([\w.]+)\}")


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """A material as it stands in the list of one job. value: in `unit`; link: the evaluation it comes from"""

    item: str
    value: float
    unit: str
    shown: str
    link: str


def filled(take_off: TakeOff, text: Text, language: str = "en") -> str:
    """The sentence with its places filled."""
    return PLACE.sub(lambda place: take_off.on_tape(place[1], language), text.in_language(language))


def materials(take_off: TakeOff, language: str = "en") -> Iterator[MaterialLine]:
    """The material list of the job."""
    for material in MATERIALS:
        value = take_off.value(material.quantity)
        if value:
            shown = (
                take_off.on_tape(material.quantity, language)
                if material.unit == "in"
                else notation.write(value, material.unit, language)
            )
            item = filled(take_off, material.item, language)
            yield MaterialLine(item, value, material.unit, shown, material.quantity.partition(".")[0])


def key_figures(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, str]]:
    """(what, value) of the figures that head the sheet."""
    for figure in KEY_FIGURES:
        if take_off.value(figure.when):
            yield figure.what.in_language(language), filled(take_off, figure.value, language)


def loads(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, str, str]]:
    """(what, weight, trips) of everything heavy; no trips is ""."""
    for load in LOADS:
        if take_off.value(load.weight) is not None:
            trips = take_off.shown(load.trips, language) if load.trips else ""
            yield filled(take_off, load.what, language), take_off.shown(load.weight, language), trips


def steps(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, Any]]:
    """(what to do, its date or None), in the order of the work."""
    for step in STEPS:
        if take_off.value(step.when):
            yield filled(take_off, step.what, language), take_off.value(step.on) if step.on else None


def cautions(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, str]]:
    """(signal word in small letters, sentence)."""
    for caution in CAUTIONS:
        if caution.when(take_off):
            yield caution.level, filled(take_off, caution.sentence, language)


def cuts(take_off: TakeOff, language: str = "en") -> Iterator[tuple[int, str]]:
    """(how many bars, what to saw from each) of the cutting plan."""
    for bar, times in Counter(map(tuple, take_off.value("stock.plan") or ())).items():
        pieces = Counter(notation.write_inches(length, language=language) for length in bar)
        yield times, " + ".join(f"{count} × {length}" for length, count in pieces.items())
