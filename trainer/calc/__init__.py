"""The calculation core: units, notation, every calculation with its worked steps. Pure, no I/O.

    names, get              what there is
    read_inputs             typed texts → values in the declared units
    evaluate, work          the numbers; the numbers with their worked solution
    Flue, DEFAULT_SHOP      a flue's size; the shop standard as it comes

Formulas run on plain floats in fixed units; pint stands at the edge (units.py converts what is typed, dimensions.py
checks the units of every expression in the tests).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module
from typing import Any

from trainer.calc import reading, spec, standard, working
from trainer.calc.entries import Entry, Part
from trainer.calc.openings import Flue
from trainer.calc.spec import Calculation, Evaluation, Input, Quantity, get
from trainer.calc.standard import DEFAULT_SHOP
from trainer.calc.working import Step

__all__ = [
    "DEFAULT_SHOP",
    "Calculation",
    "Entry",
    "Evaluation",
    "Flue",
    "Input",
    "Part",
    "Quantity",
    "Step",
    "evaluate",
    "get",
    "names",
    "read_inputs",
    "standard",
    "work",
    "working",
]

# Importing a topic module puts its calculations into the registry.
TOPICS = (
    "batch",
    "bend",
    "brick",
    "chimney",
    "coating",
    "concrete",
    "crown",
    "dust",
    "fall",
    "flue",
    "flue_tiles",
    "forms",
    "ladder",
    "lap",
    "lifting",
    "mortar",
    "movement",
    "noise",
    "rebar",
    "roof",
    "sealant",
    "stock",
    "strength",
    "tape",
    "weather",
)
for _topic in TOPICS:
    import_module(f"trainer.calc.{_topic}")


def names() -> tuple[str, ...]:
    """The name of every calculation, in alphabetical order."""
    return tuple(sorted(spec.REGISTRY))


def read_inputs(name: str, texts: Mapping[str, str | Sequence[str]], language: str = "en") -> dict[str, Any]:
    """Typed texts of the calculation `name` as values in its declared units; Refusal on what cannot be read."""
    return reading.read_inputs(get(name), texts, language)


def evaluate(name: str, inputs: Mapping[str, Any], shop: Mapping[str, Any] = DEFAULT_SHOP) -> Evaluation:
    """The numbers of the calculation `name`; see `Calculation.evaluate`."""
    return get(name).evaluate(inputs, shop)


def work(name: str, inputs: Mapping[str, Any], shop: Mapping[str, Any] = DEFAULT_SHOP) -> Evaluation:
    """The numbers and the worked solution of the calculation `name`; see `Calculation.work`."""
    return get(name).work(inputs, shop)
