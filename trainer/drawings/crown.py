"""The crown's geometry as both its figures draw it, from the calculation's own values."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.calc.openings import Flue, Opening, layout
from trainer.drawings.masonry import BRICK_WALL
from trainer.drawings.sheet import Point
from trainer.drawings.words import Words

GROOVE, GROOVE_WIDE = 0.375, 0.25  # depth and width of the drip groove as drawn [in]


def openings(words: Words) -> tuple[Opening, ...]:
    """The openings in plan, from the slab's centre, x along the chimney's length [in]."""
    values = words.values
    return layout(
        values["flue"],
        words.number("bond_gap"),
        words.number("flue_spacing"),
        values["slab_length"] >= values["slab_width"],
    )


def flue_size(words: Words, place: int) -> str:
    """Outside size of a flue, counted from 0: "13 x 13 in", "10 in dia"; a question mark when it may not be said."""
    return tile_size(words, words.values["flue"][place]) if words.may_say("flue") else "?"


def tile_size(words: Words, flue: Flue) -> str:
    if flue.shape == "round":
        return words.write(flue.length, "in") + words.text(" dia", " diám")
    return f"{words.write(flue.length, 'in').removesuffix(' in')} x {words.write(flue.width, 'in')}"


def flue_remarks(words: Words) -> list[str]:
    """The flues' sizes, their gap and the distance between them, for the foot of a plan."""
    flues = words.values["flue"]
    if not flues:
        return []
    sizes = [flue_size(words, place) for place in range(len(flues))]
    said = []
    if len(flues) > 1 and len(set(sizes)) == 1:
        each = words.text(f", each {sizes[0]}", f", cada uno {sizes[0]}") if words.may_say("flue") else ""
        said.append(words.text(f"{len(flues)} flues", f"{len(flues)} tubos") + each)
    elif words.may_say("flue"):
        numbers = [""] if len(flues) == 1 else [f" {place}:" for place in range(1, len(flues) + 1)]
        said += [f"{words.name('flue')}{place} {size}" for place, size in zip(numbers, sizes, strict=True)]
    return said + words.given("bond_gap", *(["flue_spacing"] if len(flues) > 1 else []))


@dataclass(frozen=True)
class Cut:
    """The crown cut upright along its row of flues; x from the middle of the chimney, y from the wall's top [in].

    slab, chimney, crest: sizes along the cut; edge, deep: thickness at the edge and at the flue
    openings: left and right of each opening; round ones are cut through their middle
    """

    slab: float
    chimney: float
    crest: float
    edge: float
    deep: float
    gap: float
    openings: tuple[tuple[float, float], ...]

    @property
    def overhang(self) -> float:
        return (self.slab - self.chimney) / 2

    @property
    def wall(self) -> float:
        """Thickness of the chimney's wall as drawn, where the flues leave room for it."""
        return max(1.0, min(BRICK_WALL, (self.chimney - self.crest) / 2 - 0.25))

    def top(self, x: float) -> float:
        """Height of the crown's top at x."""
        run = (self.slab - self.crest) / 2
        return (
            self.deep - (self.deep - self.edge) * max(0.0, abs(x) - self.crest / 2) / run
            if run
            else self.deep
        )

    def concrete(self, left: float, right: float) -> list[Point]:
        """Outline of the concrete between two places, drip grooves taken out."""
        corners = [(left, 0.0), (left, self.top(left))]
        corners += [(x, self.deep) for x in (-self.crest / 2, self.crest / 2) if left < x < right]
        corners += [(right, self.top(right)), (right, 0.0)]
        for side in (1, -1):
            groove = self.groove(side)
            if groove and left < groove[0] and groove[1] < right:
                near, far = groove
                corners += [(far, 0.0), (far, GROOVE), (near, GROOVE), (near, 0.0)]
        return corners

    def groove(self, side: int) -> tuple[float, float] | None:
        """Left and right of the drip groove under one overhang (side 1 right, -1 left); None when there is no room.

        Its inner side is half an inch in from the edge, which with 2 in of overhang is the 1 1/2 in from the wall
        that Michigan R 408.30547b asks for.
        """
        if self.overhang < 1:
            return None
        inner, outer = self.slab / 2 - 0.5, self.slab / 2 - 0.5 + GROOVE_WIDE
        return (inner, outer) if side > 0 else (-outer, -inner)


def cut(words: Words) -> Cut:
    """The crown cut along the longer side, where the flues stand in their row."""
    lengthwise = words.values["chimney_length"] >= words.values["chimney_width"]
    side = "length" if lengthwise else "width"
    row = [
        (each.x - each.length / 2, each.x + each.length / 2)
        if lengthwise
        else (each.y - each.width / 2, each.y + each.width / 2)
        for each in openings(words)
    ]
    edge = words.number("edge_thickness")
    return Cut(
        slab=words.number(f"slab_{side}"),
        chimney=words.number(f"chimney_{side}"),
        crest=words.number(f"crest_{side}"),
        edge=edge,
        # Without a flue nothing rises: the slab is flat.
        deep=words.number("flue_thickness") if row else edge,
        gap=words.number("bond_gap"),
        openings=tuple(row),
    )
