"""Where the bars of a mat lie and where they are cut; one place for the number, the drawing and the cutting.

Plain numbers only. Bars of one direction lie evenly spaced about the slab's middle. A bar whose steel would come nearer to an
opening than the cover is cut, and its ends are held back from the opening by the cover; a round opening counts as its
bounding square.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from trainer.calc.openings import Opening

# Lengths nearer than this are the same [in].
SAME = 1e-9


class LaidBar(NamedTuple):
    """One bar. across: where its centreline lies, from the slab's middle; pieces: both ends of what remains [in]."""

    across: float
    length: float
    pieces: tuple[tuple[float, float], ...]

    @property
    def lengths(self) -> list[float]:
        """Length of each piece [in]."""
        return [last - first for first, last in self.pieces]

    @property
    def is_cut(self) -> bool:
        if len(self.pieces) != 1:
            return True
        first, last = self.pieces[0]
        return last - first < self.length - SAME


@lru_cache(maxsize=256)
def lay(
    along_length: bool,
    count: float,
    spacing: float,
    length: float,
    openings: tuple[Opening, ...],
    cover: float,
    diameter: float,
) -> tuple[LaidBar, ...]:
    """The bars of one direction, those along the slab's length or those across it.

    The last ones are kept: one slip after another, the slip search and the drawing ask for the same bars.

    spacing: centre to centre; length: of a whole bar; openings: from the slab's middle; cover, diameter [in]
    """
    bars = round(count)
    spots = [
        (each.x, each.y, each.length, each.width)
        if along_length
        else (each.y, each.x, each.width, each.length)
        for each in openings
    ]
    # What each opening takes: how far to each side of its middle it is felt, and from where to where it is taken.
    taken = [
        (
            off,
            wide / 2 + cover + diameter / 2 - SAME,
            (max(middle - size / 2 - cover, -length / 2), min(middle + size / 2 + cover, length / 2)),
        )
        for middle, off, size, wide in spots
    ]
    places = [spacing * (place - (bars - 1) / 2) for place in range(bars)]
    left = ((-length / 2, length / 2),) if length > SAME else ()
    laid = []
    for at in places:
        removed = [span for off, reach, span in taken if abs(at - off) < reach]
        laid.append(LaidBar(at, length, _left(length, sorted(removed)) if removed else left))
    return tuple(laid)


def _left(length: float, removed: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """The pieces of one bar without the spans removed, which are sorted by where they begin."""
    pieces, start = [], -length / 2
    for first, last in removed:
        if first > start + SAME:
            pieces.append((start, first))
        start = max(start, last)
    if length / 2 > start + SAME:
        pieces.append((start, length / 2))
    return tuple(pieces)
