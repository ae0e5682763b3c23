"""The calculations by topic: which names stand together, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from trainer.calc.spec import Calculation
from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Group:
    """One topic and the first words of the names that belong to it ("crown" of "crown.slab")."""

    title: Text
    first_words: tuple[str, ...]


GROUPS: Final = (
    Group(Text(en="Crown and form", es="Corona y cimbra"), ("crown", "form")),
    Group(Text(en="Steel", es="Acero"), ("rebar",)),
    Group(Text(en="Concrete", es="Concreto"), ("concrete",)),
    Group(Text(en="Brick and mortar", es="Ladrillo y mortero"), ("brick", "mortar")),
    Group(Text(en="Flue and chimney height", es="Tubo y altura de la chimenea"), ("flue", "chimney")),
    Group(Text(en="Sealing and coating", es="Sellado y recubrimiento con brocha"), ("sealant", "coating")),
    Group(Text(en="Roof, ladder and falls", es="Techo, escalera y caídas"), ("roof", "ladder", "fall")),
    Group(Text(en="Loads and health", es="Cargas y salud"), ("lift", "dust", "noise")),
    Group(Text(en="Tape", es="Cinta métrica"), ("tape",)),
)
OTHER: Final = Group(Text(en="Other", es="Otros"), ())


def grouped(calculations: Iterable[Calculation]) -> dict[Group, list[Calculation]]:
    """The calculations under their topics, in the order of GROUPS; a topic without any is left out."""
    of = {word: group for group in GROUPS for word in group.first_words}
    held: dict[Group, list[Calculation]] = {group: [] for group in (*GROUPS, OTHER)}
    for calculation in calculations:
        held[of.get(calculation.name.partition(".")[0], OTHER)].append(calculation)
    return {group: those for group, those in held.items() if those}
