"""Published sizes of clay flue tiles, and what a round one measures outside when it is called by its inside.

USDA Farmers' Bulletin 1889 (1941), Table 2: a rectangular tile is called by its outside size, a round one by its inside
diameter.
"""

from __future__ import annotations

from typing import Final

WALLS: Final = {
    (4.5, 8.5): 0.625,
    (4.5, 13.0): 0.625,
    (7.5, 7.5): 0.625,
    (8.5, 8.5): 0.625,
    (8.5, 13.0): 0.75,
    (8.5, 18.0): 0.875,
    (13.0, 13.0): 0.875,
    (13.0, 18.0): 0.875,
    (18.0, 18.0): 1.125,
    (20.0, 20.0): 1.375,
}
"""Wall of a rectangular tile by its outside size, short side first [in]."""

ROUND_WALLS: Final = {
    6.0: 0.625,
    8.0: 0.75,
    10.0: 0.875,
    12.0: 1.0,
    15.0: 1.125,
    18.0: 1.25,
    20.0: 1.375,
    22.0: 1.625,
    24.0: 1.625,
    27.0: 2.0,
}
"""Wall of a round tile by its inside diameter [in]."""

_OUTSIDES: Final = {inside + 2 * wall: wall for inside, wall in ROUND_WALLS.items()}


def published_wall(shape: str, length: float, width: float) -> float | None:
    """Wall of a tile by its outside size [in]; None when no wall is published for it."""
    if shape == "round":
        return _OUTSIDES.get(length)
    return WALLS.get((min(length, width), max(length, width)))


def round_size(diameter: float, taken: str, wanted: str) -> float | None:
    """A round tile's diameter on the side wanted, from the one taken ("inside" or "outside") [in]; None when no wall is
    published for it."""
    if taken == wanted:
        return diameter
    if taken == "inside":
        wall = ROUND_WALLS.get(diameter)
        return None if wall is None else diameter + 2 * wall
    wall = _OUTSIDES.get(diameter)
    return None if wall is None else diameter - 2 * wall
