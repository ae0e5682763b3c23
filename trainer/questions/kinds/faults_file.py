"""What a question file says of a chimney top to be looked over: which faults may occur, how many, how many places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.drawings.chimney_top import FAULTS, PLACES, SHAPES, neighbourhood, places
from trainer.questions.faults_file import NAME, FaultBook
from trainer.questions.model import AnyGiven
from trainer.questions.source import Source

KEYS: Final = ("faults",)
FAULT_KEYS: Final = ("may", "least", "most", "places", "flues")
FEWEST_PLACES, MOST_PLACES = 6, 12


@dataclass(frozen=True, slots=True)
class FaultRule:
    """may: the faults that may occur; least, most: how many; places: how many are marked; shapes: flues and tile."""

    may: tuple[str, ...]
    least: int
    most: int
    places: int
    shapes: tuple[tuple[int, float], ...]
    book: FaultBook


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> FaultRule | None:
    """The file's [faults]; None, with problems noted, when it cannot stand."""
    where = ("faults",)
    table = source.take(data, "faults", dict)
    if table is None:
        return None
    source.known(table, FAULT_KEYS, where)
    if "figure" in data:
        source.problem(("figure",), "find the faults brings its own drawing; leave [figure] out.")
    book = source.beside.get(NAME)
    if book is None:
        source.problem((), f"the bank has no {NAME} that can be read, so there are no faults to find.")
        return None
    may = tuple(source.texts(table, "may", where, optional=True)) or tuple(FAULTS)
    for unknown in sorted(set(may) - set(FAULTS)):
        source.problem((*where, "may"), f"there is no fault {unknown!r}; there are {', '.join(FAULTS)}.")
    least, most, marked = (source.take(table, key, int, where) for key in ("least", "most", "places"))
    flues = source.take(table, "flues", list, where, default=[1, 2])
    shapes = tuple(shape for shape in SHAPES if shape[0] in flues)
    if not flues or set(flues) - {1, 2}:
        source.problem((*where, "flues"), "flues is a list of 1 and 2.")
    if None in (least, most, marked) or source.problems:
        return None
    if not 0 <= least <= most:
        source.problem(
            (*where, "most"), f"most is at least least, which is 0 or more; here {least} to {most}."
        )
    elif not max(FEWEST_PLACES, 3 * most) <= marked <= MOST_PLACES:
        source.problem(
            (*where, "places"),
            f"places is at least three times the faults, so that guessing earns nothing, and {FEWEST_PLACES} to "
            f"{MOST_PLACES}.",
        )
    elif most > min(_room(may, count) for count, _ in shapes):
        source.problem(
            (*where, "most"), f"these faults find no room for {most} at once, each in a corner of its own."
        )
    return FaultRule(may, least, most, marked, shapes, book)


def _room(may: tuple[str, ...], flues: int) -> int:
    """In how many corners of a chimney top one of these faults can be."""
    parts = {FAULTS[fault] for fault in may}
    return len({neighbourhood(place) for place in places(flues) if PLACES[place] in parts})
