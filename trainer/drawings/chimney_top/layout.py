"""Where the parts of a drawn chimney top lie [in]; x from the middle, y up from the top of the wall.

What is small is drawn larger than it is, so that it can be seen on a phone: the overhang at least 2 3/4 in, which no
source finds too little; the drip groove and the gap round a flue wider.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from trainer.drawings.chimney_top.description import ChimneyTop
from trainer.drawings.masonry import BRICK_WALL, COURSE, JOINT
from trainer.drawings.sheet import WIDTH, View

HALF_BRICK: Final = 4.0  # half a modular brick with its joint
CUT_COURSES: Final = 3  # courses of the wall seen cut
FACE_COURSES: Final = 5  # courses of the face seen from outside
LEAST_OVERHANG, LEAST_GAP, LEAST_CAVITY = 2.75, 0.55, 1.2
GROOVE_LIP, GROOVE_WIDE, GROOVE_DEEP = 0.5, 0.6, 0.65
THIN_EDGE: Final = 1.0  # half of the 2 in that the least strict source asks for
BEARING: Final = 1.0  # of the board over an opening on the wall


@dataclass(frozen=True)
class Layout:
    """The parts of one chimney top, and the view that puts them on the sheet."""

    top: ChimneyTop

    @property
    def half(self) -> float:
        """From the middle to the wall's outer face: whole half bricks, with room for flues and cavities."""
        least = 2 * BRICK_WALL + self.top.flues * (self.top.tile + 2 * LEAST_CAVITY)
        if self.top.flues == 2:
            least += BRICK_WALL - LEAST_CAVITY
        return (math.ceil((least + JOINT) / HALF_BRICK) * HALF_BRICK - JOINT) / 2

    @property
    def cavity(self) -> float:
        """Between a flue and the outer wall."""
        inside = 2 * (self.half - BRICK_WALL) - self.top.flues * self.top.tile
        return inside / 2 if self.top.flues == 1 else (inside - BRICK_WALL) / 3

    @property
    def tiles(self) -> dict[str, tuple[float, float]]:
        """Left and right of each flue tile."""
        start, tile = -self.half + BRICK_WALL + self.cavity, self.top.tile
        if self.top.flues == 1:
            return {"flue": (start, start + tile)}
        return {"flue1": (start, start + tile), "flue2": (-start - tile, -start)}

    @property
    def overhang(self) -> float:
        return max(self.top.overhang, LEAST_OVERHANG)

    @property
    def slab(self) -> float:
        """From the middle to the edge of a sound crown."""
        return self.half + self.overhang

    def gap(self, flue: str) -> float:
        """Round a flue; nothing where the crown was poured against it."""
        return 0.0 if self.top.fault(f"{flue}-gap") == "no-bond-break" else self.sound_gap

    @property
    def sound_gap(self) -> float:
        return max(self.top.gap, LEAST_GAP)

    @property
    def steel_level(self) -> float:
        """Height of the bar along the cut, about the middle of the crown and never below its cover."""
        return max(1.9, self.top.cover + 0.25)

    def edge(self, side: str) -> float:
        """From the middle to the crown's edge on a side."""
        return self.half if self.top.fault(f"{side}-edge") == "no-overhang" else self.slab

    def edge_height(self, side: str) -> float:
        """Of the crown's top at its edge."""
        if self.top.fault(f"{side}-edge") == "thin-edge":
            return THIN_EDGE
        wash = self.top.fault(f"{side}-wash")
        return {"flat-crown": self.top.deep, "slopes-in": self.top.deep + 1.4}.get(wash, self.top.edge)

    def surface(self, side: str, out: float) -> float:
        """Height of the crown's top, `out` from the middle."""
        start, end = self.half - BRICK_WALL - self.cavity, self.edge(side)
        share = min(1.0, max(0.0, (out - start) / (end - start)))
        return self.top.deep + share * (self.edge_height(side) - self.top.deep)

    @property
    def view(self) -> View:
        return View(min(308 / (2 * self.slab), 10.5), WIDTH / 2, 0.0)

    @property
    def top_height(self) -> float:
        """Of the highest thing there could be, the same whatever the faults."""
        return self.top.deep + max(self.top.too_high, self.top.projection)

    @property
    def cut_bottom(self) -> float:
        return -CUT_COURSES * COURSE

    @property
    def face_top(self) -> float:
        """Where the face begins, below a space for lettering [in]."""
        return self.cut_bottom - 26 / self.view.scale

    @property
    def face_bottom(self) -> float:
        return self.face_top - FACE_COURSES * COURSE
