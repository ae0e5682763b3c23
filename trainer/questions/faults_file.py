"""question_bank/faults.toml: the words for every part, place and fault that a drawn chimney top can have."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from trainer.calc.sources import SOURCES
from trainer.drawings.chimney_top import FAULTS, PLACES
from trainer.errors import ContentError
from trainer.languages import Text
from trainer.questions.places import check_places
from trainer.questions.source import Source, read_file

NAME: Final = "faults.toml"
FAULT_KEYS: Final = ("name", "seen", "matters", "do", "sources")
RIM: Final = "rim"  # the one part whose words may say the flue's height


@dataclass(frozen=True, slots=True)
class FaultWords:
    """One fault: its name, what is seen there, what it does two winters later, what to do about it."""

    name: Text
    seen: Text
    matters: Text
    do: Text
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaultBook:
    """Part to what is seen where it is sound; place to its name; fault to its words."""

    sound: dict[str, Text]
    places: dict[str, Text]
    faults: dict[str, FaultWords]


def load_faults(folder: Path, problems: list[ContentError]) -> FaultBook | None:
    """The bank's fault book; None when the folder has none or, with problems added, when it cannot stand."""
    file = folder / NAME
    if not file.exists():
        return None
    content = read_file(file, NAME, problems)
    if content is None:
        return None
    source = Source(NAME, content)
    data = source.tables()
    if not data and not source.problems:
        source.problem((), "the file is empty.")
    if not data:
        problems += source.problems
        return None
    source.known(data, ("part", "place", "fault"))
    sound, places, faults = {}, {}, {}
    for part, table in _tables(source, data, "part", set(PLACES.values())):
        source.known(table, ("sound",), ("part", part))
        if (text := source.both(table.get("sound"), ("part", part, "sound"))) is not None:
            check_places(source, text, _known(part), ("part", part, "sound"))
            sound[part] = text
    for place, table in _tables(source, data, "place", PLACES):
        source.known(table, ("en", "es"), ("place", place))
        if (text := source.both(table, ("place", place))) is not None:
            check_places(source, text, set(), ("place", place))
            places[place] = text
    for fault, table in _tables(source, data, "fault", FAULTS):
        if (words := _fault(source, fault, table)) is not None:
            faults[fault] = words
    problems += source.problems
    return None if source.problems else FaultBook(sound, places, faults)


def _tables(
    source: Source, data: Mapping[str, Any], head: str, known: Collection[str]
) -> list[tuple[str, Mapping[str, Any]]]:
    """The tables under a heading: each that the drawing knows must be there, and no other."""
    found = source.take(data, head, dict, default={}) or {}
    for missing in sorted(set(known) - set(found)):
        source.problem((head,), f"the {head} {missing!r} has no words; give it a table [{head}.{missing}].")
    for unknown in sorted(set(found) - set(known)):
        source.problem(
            (head, unknown), f"the drawing has no {head} {unknown!r}; it has {', '.join(sorted(known))}."
        )
    tables = []
    for id, table in found.items():
        if not isinstance(table, Mapping):
            source.problem((head, id), f"{head} {id} must be a table headed [{head}.{id}].")
        elif id in known:
            tables.append((id, table))
    return tables


def _fault(source: Source, fault: str, table: Mapping[str, Any]) -> FaultWords | None:
    where = ("fault", fault)
    source.known(table, FAULT_KEYS, where)
    texts = {}
    for key in FAULT_KEYS[:-1]:
        text = source.both(table.get(key), (*where, key))
        if text is not None:
            check_places(source, text, _known(FAULTS[fault]) if key == "seen" else set(), (*where, key))
            texts[key] = text
    sources = source.texts(table, "sources", where)
    for unknown in sorted(set(sources) - set(SOURCES)):
        source.problem(
            (*where, "sources"), f"there is no source {unknown!r}; there are {', '.join(sorted(SOURCES))}."
        )
    if not sources or len(texts) < len(FAULT_KEYS) - 1:
        return None
    return FaultWords(**texts, sources=tuple(sources))


def _known(part: str) -> set[str]:
    """The values that a part's words may name."""
    return {"height"} if part == RIM else set()
