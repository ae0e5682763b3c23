"""What a question file says of linked numbers: the parts, each with its text, its answer and its slips.

An input of a part takes the answer of a part above as `part:` and that part's id.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.languages import Text
from trainer.questions.kinds.number_file import read_answer, read_slips
from trainer.questions.model import Answer, AnyGiven, EarlierPart, Named, SlipRule
from trainer.questions.places import check_places
from trainer.questions.source import Source

KEYS: Final = ("part", "layout")
PART_KEYS: Final = ("id", "weight", "en", "es", "answer", "field", "slip")
LAYOUTS: Final = ("steps", "table")
FEWEST_PARTS: Final = 2
MOST_PARTS: Final = 8


@dataclass(frozen=True, slots=True)
class Part:
    """One number of several. weight: how much it counts beside the others."""

    id: str
    text: Text
    weight: int
    answer: Answer
    slips: tuple[SlipRule, ...]


@dataclass(frozen=True, slots=True)
class Linked:
    """The parts in the order asked. layout: "steps", one below the other, or "table", the rows of a take-off."""

    layout: str
    parts: tuple[Part, ...]


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> Linked | None:
    """The parts; None, with problems noted, when they cannot stand."""
    layout = source.take(data, "layout", str, default="steps")
    if layout not in LAYOUTS:
        source.problem(("layout",), f"there is no layout {layout!r}; there are {', '.join(LAYOUTS)}.")
    tables = source.take(data, "part", list) or []
    texts = {given.name for given in givens}
    known: list[Named] = list(givens)
    parts: list[Part] = []
    for place, table in enumerate(tables):
        part = _part(source, table, place, known, texts)
        if part is None:
            return None
        if part.id in [above.id for above in parts]:
            source.problem(
                ("part", place, "id"), f"two parts are called {part.id!r}; each needs its own name."
            )
        parts.append(part)
        known.append(EarlierPart(f"part:{part.id}", part.answer.unit))
    if not FEWEST_PARTS <= len(parts) <= MOST_PARTS:
        source.problem(
            ("part",),
            f"linked numbers have {FEWEST_PARTS} to {MOST_PARTS} parts; here there are {len(parts)}.",
        )
        return None
    if not any(feed.given.startswith("part:") for part in parts for feed in part.answer.feeds):
        source.problem(
            ("part",), 'no part takes the answer of a part above (inputs = { NAME = "part:ID" }); link them.'
        )
    return Linked(layout, tuple(parts))


def _part(source: Source, table: Any, place: int, known: list[Named], texts: set[str]) -> Part | None:
    where = ("part", place)
    if not isinstance(table, Mapping):
        source.problem(where, "a part must be a table headed [[part]].")
        return None
    source.known(table, PART_KEYS, where)
    id, text = source.take(table, "id", str, where), source.both(table, where)
    weight = source.take(table, "weight", int, where, default=1)
    if weight < 1:
        source.problem((*where, "weight"), f"a weight is a whole number of 1 or more, not {weight}.")
    answer = read_answer(source, table, known, where)
    if id is None or text is None or answer is None:
        return None
    check_places(source, text, texts, where)
    return Part(id, text, weight, answer, read_slips(source, table, answer, known, where))
