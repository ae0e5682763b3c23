"""What a link of the chain is, and the lists that are made of several references.

A reference is a field's name ("overhang"), a link and one of its quantities ("slab.volume"), or "flues".
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.calc.rebar import mat_bars, mat_openings
from trainer.calc.spec import Board
from trainer.languages import Text
from trainer.takeoff.fields import FLUES

Look = Callable[[str], Any]
"""Gives the value that a reference stands for; None when nothing was given or the link is not in this job."""


@dataclass(frozen=True, slots=True)
class Made:
    """A list made of what references stand for; nothing is computed in it."""

    make: Callable[[Look], Any]


@dataclass(frozen=True, slots=True)
class Link:
    """One calculation of the chain.

    takes: by input, a reference, a `Made` list or a plain value
    blame: the field beside which a refusal is said that names no single input
    parts: the parts of the work that must be in the job, all of them
    only_if: references that must all stand for something other than nothing or zero
    drawn: whether the figures of the calculation belong on the job sheet
    """

    name: str
    calculation: str
    title: Text
    takes: Mapping[str, Any]
    blame: str
    parts: tuple[str, ...] = ()
    only_if: tuple[str, ...] = ()
    drawn: bool = False


def flues(look: Look) -> list[Any]:
    """The flues there are, in their order."""
    return [flue for number in FLUES if (flue := look(f"flue_{number}")) is not None]


def pieces(look: Look) -> list[tuple[float, float]]:
    """The pieces of the mat, (how many, how long [in]), longest first."""
    board = Board({name: look(f"mat.{name}") for name in _MAT_NAMES})
    longs, shorts = mat_bars(board, mat_openings(board))
    counted = Counter(round(length, 9) for bar in (*longs, *shorts) for length in bar.lengths)
    return [(float(times), length) for length, times in sorted(counted.items(), reverse=True)]


_MAT_NAMES: Final = (
    "slab_length", "slab_width", "cover", "flue", "bond_gap", "flue_spacing", "bar_diameter",
    "long_bars", "long_spacing", "long_length", "short_bars", "short_spacing", "short_length",
)  # fmt: skip


def faces(look: Look) -> list[Any]:
    """The four faces of the chimney side by side."""
    return [look("chimney_length"), look("chimney_width")] * 2


def brick_line(look: Look) -> list[Any]:
    """The four faces of one thickness of brick, each corner taken once."""
    return [*faces(look), *[-look("brick_depth")] * 4]


def same(*names: str) -> dict[str, str]:
    """Inputs that take the field of their own name."""
    return {name: name for name in names}


MADE: Final[Mapping[str, Callable[[Look], Any]]] = {"flues": flues}
"""References that stand for a list of several fields."""
