"""Flues and the openings a crown leaves for them; one place for the row's geometry.

The flues stand in one row on the chimney's longer side, the group centred; each opening is the flue and the
compressible gap all round it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.calc.algebra import PI, Traced


@dataclass(frozen=True, slots=True)
class Flue:
    """A flue tile's outside size [in]: `length` lies along the chimney's length; a round one has both equal."""

    shape: str
    length: Any
    width: Any

    def __str__(self) -> str:
        if self.shape == "round":
            return f"{self.length:g} in dia"
        return f"{self.length:g} x {self.width:g} in"

    def traced(self, name: str) -> Flue:
        if self.shape == "round":
            diameter = Traced(self.length, name=f"{name}.diameter", unit="in")
            return Flue(self.shape, diameter, diameter)
        return Flue(
            self.shape,
            Traced(self.length, name=f"{name}.length", unit="in"),
            Traced(self.width, name=f"{name}.width", unit="in"),
        )

    def opening_area(self, gap: Any) -> Any:
        """Area of the opening, flue and gap [in²]; a round flue leaves a circle."""
        if self.shape == "round":
            return PI * (self.length + 2 * gap) ** 2 / 4
        return (self.length + 2 * gap) * (self.width + 2 * gap)


@dataclass(frozen=True, slots=True)
class Opening:
    """One opening in plan, its centre measured from the slab's centre [in]."""

    shape: str
    x: float
    y: float
    length: float
    width: float


def layout(
    flues: Sequence[Flue], gap: float, spacing: float, along_length: bool = True
) -> tuple[Opening, ...]:
    """Where the openings lie in plan.

    flues: plain sizes [in]; gap: all round each [in]; spacing: clear between outside faces of neighbours [in]
    along_length: the row runs along x (the slab's length), else along y
    """
    runs = [flue.length if along_length else flue.width for flue in flues]
    start = -(sum(runs) + spacing * max(0, len(runs) - 1)) / 2
    openings = []
    for flue, run in zip(flues, runs, strict=True):
        middle = start + run / 2
        x, y = (middle, 0.0) if along_length else (0.0, middle)
        openings.append(Opening(flue.shape, x, y, flue.length + 2 * gap, flue.width + 2 * gap))
        start += run + spacing
    return tuple(openings)
