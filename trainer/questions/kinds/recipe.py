"""How a linked number follows from the parts above it, so that it can be worked again from the person's own figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer import calc
from trainer.errors import Refusal
from trainer.questions.drawn import values_from


@dataclass(frozen=True, slots=True)
class Recipe:
    """How a value follows from the parts above.

    inputs: the calculation's, every default filled in; factor: from the result's unit to the one asked for
    carried: input → the id of the part it takes its value from, and the factor from that part's unit
    """

    calculation: str
    inputs: dict[str, Any]
    result: str
    factor: float
    carried: dict[str, tuple[str, float]]

    def own(self, given: Mapping[str, float], stretch: float = 1.0) -> dict[str, float]:
        """The inputs that take the person's own figures for the parts above."""
        return {name: given[part] * factor * stretch for name, (part, factor) in self.carried.items()}

    def value(self, given: Mapping[str, float], stretch: float = 1.0) -> float | None:
        """The value with the person's own figures for the parts above; None when the core refuses them.

        stretch: what those figures are multiplied by first
        """
        inputs = self.inputs | self.own(given, stretch)
        try:
            return float(calc.evaluate(self.calculation, inputs).values[self.result]) * self.factor
        except Refusal:
            return None


def recipe_from(data: Mapping[str, Any]) -> Recipe:
    """The recipe from the JSON of a draw."""
    return Recipe(
        data["calculation"],
        values_from(data["inputs"]),
        data["result"],
        data["factor"],
        {name: (part, factor) for name, (part, factor) in data["carried"].items()},
    )
