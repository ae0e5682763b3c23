"""The sheet a figure is drawn on: elements in order, labels with their boxes, and the finished SVG.

Page units are the pixels of a 360 px wide phone page: a sheet is 360 wide and as high as what is drawn on it. Line
weights, fills and lettering are set once, by class, as presentation attributes, so that a drawing looks right
alone and in black and white; a style sheet may restyle `.drawing .accent` and its fellows.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from html import escape
from itertools import groupby
from typing import Final

WIDTH: Final = 360.0
MARGIN: Final = 5.0
FONT: Final = 12.0
LINE: Final = 14.0  # from one line of lettering to the next
# A generous guess at the width of one character, so that labels stay apart in any plain sans-serif face.
EM: Final = 0.6

Point = tuple[float, float]

_BREAK: Final = re.compile(r"(?<!\bx)(?<!\bft) (?!\d+/\d|(?:in|ft|lb|psi|ksi|gal)(?![a-z])|%|x |\?)")

# Drawn last, above all material, in this order; the rest keeps the order in which it was drawn.
_ABOVE: Final = ("fine", "dim", "leader", "dot", "ring", "mark", "label")
_LOOKS: Final = {
    "ink": 'fill="none" stroke="currentColor" stroke-width="1.4" stroke-linejoin="round"',
    "hatch": 'fill="none" stroke="currentColor" stroke-width=".6"',
    "fine": 'fill="none" stroke="currentColor" stroke-width=".6"',
    "dim": 'fill="currentColor" stroke="currentColor" stroke-width=".7"',
    "accent": 'fill="currentColor" stroke="currentColor" stroke-width="2.4"',
    "concrete": 'fill="#eee" stroke="currentColor" stroke-width="1.6" stroke-linejoin="round"',
    "body": 'fill="#eee" stroke="none"',
    "brick": 'fill="#ddd" stroke="currentColor" stroke-width="1"',
    "clay": 'fill="#bbb" stroke="currentColor" stroke-width="1"',
    "void": 'fill="#fff" stroke="currentColor" stroke-width=".8"',
    "steel": 'fill="none" stroke="currentColor"',
    "bar": 'fill="#fff" stroke="currentColor" stroke-width="1.2"',
    "mortar": 'fill="#f6f3ea" stroke="currentColor" stroke-width=".8"',
    "sealant": 'fill="#a33" stroke="currentColor" stroke-width=".8"',
    "rust": 'fill="none" stroke="#a33" stroke-width="1.7"',
    "wood": 'fill="#e8d2a4" stroke="currentColor" stroke-width=".8"',
    "filler": 'fill="#fbf3c9" stroke="currentColor" stroke-width=".8"',
    "metal": 'fill="#ccd6dd" stroke="currentColor" stroke-width="1"',
    "water": 'fill="#9cc3e0" stroke="currentColor" stroke-width=".8"',
    "hollow": 'fill="#f2e0d5" stroke="currentColor" stroke-width=".8"',
    "hole": 'fill="#111" stroke="none"',
    "crack": 'fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round"',
    "leader": 'fill="none" stroke="currentColor" stroke-width="1"',
    "dot": 'fill="currentColor" stroke="#fff" stroke-width=".8"',
    "ring": 'fill="none" stroke="currentColor" stroke-width="2.6"',
    "mark": 'fill="#fff" stroke="currentColor" stroke-width="1.4"',
    "label": 'fill="currentColor" stroke="none" font-family="sans-serif" font-size="12"',
}

# Looks that share a class with another: a hatch lies below what is drawn after it, fine lines above everything; a
# body is concrete whose outline is drawn apart.
_CLASSES: Final = {"hatch": "fine", "body": "concrete"}


def number(value: float) -> str:
    """`value` to a hundredth of a page unit, no longer than needed."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def text_width(text: str, size: float = FONT) -> float:
    """Generous width of a line of lettering [page units]."""
    return len(text) * EM * size


def wrap(text: str, width: float) -> list[str]:
    """`text` in lines no wider than `width`, as few as words allow; a number keeps its fraction and its unit."""
    lines: list[str] = []
    for word in _BREAK.split(text):
        if lines and text_width(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


@dataclass(frozen=True, slots=True)
class View:
    """Where a piece of the real thing lies on the sheet, one scale in both axes.

    scale: page units per unit of the real thing; x0, y0: the page place of its origin. Real y points up.
    """

    scale: float
    x0: float
    y0: float

    def x(self, real: float) -> float:
        return self.x0 + self.scale * real

    def y(self, real: float) -> float:
        return self.y0 - self.scale * real

    def at(self, x: float, y: float) -> Point:
        return self.x(x), self.y(y)


@dataclass(frozen=True, slots=True)
class Label:
    """One line of lettering; x, y is the anchor on its base line. Turned ones read upwards.

    part: names lettering that belongs to the thing drawn, such as the numbers printed on a tape
    """

    x: float
    y: float
    text: str
    anchor: str = "start"
    turned: bool = False
    size: float = FONT
    part: str = ""

    def svg(self) -> str:
        turn = f' transform="rotate(-90 {number(self.x)} {number(self.y)})"' if self.turned else ""
        anchor = "" if self.anchor == "start" else f' text-anchor="{self.anchor}"'
        size = "" if self.size == FONT else f' font-size="{number(self.size)}"'
        part = f' data-part="{self.part}"' if self.part else ""
        place = f'x="{number(self.x)}" y="{number(self.y)}"'
        return f"<text {place}{anchor}{turn}{size}{part}>{escape(self.text)}</text>"

    def box(self) -> tuple[float, float, float, float]:
        """left, top, right, bottom [page units], by the generous width."""
        width, size = text_width(self.text, self.size), self.size
        before = {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        if self.turned:
            return self.x - 0.8 * size, self.y + before - width, self.x + 0.25 * size, self.y + before
        return self.x - before, self.y - 0.8 * size, self.x - before + width, self.y + 0.25 * size


def points(corners: Iterable[Point]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in corners)


@dataclass
class Sheet:
    """A drawing in the making."""

    elements: list[tuple[str, str]] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    top: float = 0.0
    bottom: float = 0.0

    def reach(self, *ys: float) -> None:
        """Make the sheet high enough for these places."""
        self.top, self.bottom = min(self.top, *ys), max(self.bottom, *ys)

    def _put(self, look: str, tag: str, geometry: str, part: str, dash: str, weight: float) -> None:
        named = f' data-part="{part}"' if part else ""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        weighed = f' stroke-width="{number(weight)}"' if weight else ""
        self.elements.append((look, f"<{tag} {geometry}{named}{dashed}{weighed}/>"))

    def path(self, look: str, data: str, part: str = "", dash: str = "", weight: float = 0.0) -> None:
        """A path of the class `look`; `part` names an outline of the real thing, `weight` overrides the line's."""
        self._put(look, "path", f'd="{data}"', part, dash, weight)

    def line(self, look: str, *corners: Point, part: str = "", dash: str = "", weight: float = 0.0) -> None:
        self.reach(*(y for _, y in corners))
        self.path(look, points(corners), part, dash, weight)

    def shape(
        self, look: str, corners: Sequence[Point], part: str = "", dash: str = "", weight: float = 0.0
    ) -> None:
        """A closed outline."""
        self.reach(*(y for _, y in corners))
        self.path(look, points(corners) + "Z", part, dash, weight)

    def rect(
        self, look: str, one: Point, other: Point, part: str = "", dash: str = "", weight: float = 0.0
    ) -> None:
        """A rectangle between two opposite corners."""
        (x1, x2), (y1, y2) = sorted((one[0], other[0])), sorted((one[1], other[1]))
        self.reach(y1, y2)
        sides = f'width="{number(x2 - x1)}" height="{number(y2 - y1)}"'
        self._put(look, "rect", f'x="{number(x1)}" y="{number(y1)}" {sides}', part, dash, weight)

    def circle(self, look: str, centre: Point, radius: float, part: str = "", dash: str = "") -> None:
        self.reach(centre[1] - radius, centre[1] + radius)
        place = f'cx="{number(centre[0])}" cy="{number(centre[1])}" r="{number(radius)}"'
        self._put(look, "circle", place, part, dash, 0.0)

    def write(
        self,
        x: float,
        y: float,
        text: str,
        anchor: str = "start",
        turned: bool = False,
        size: float = FONT,
        part: str = "",
    ) -> Label:
        """A line of lettering, moved sideways if it would leave the sheet."""
        label = Label(x, y, text, anchor, turned, size, part)
        left, top, right, bottom = label.box()
        shift = max(0.0, MARGIN - left) - max(0.0, right - (WIDTH - MARGIN))
        label = replace(label, x=x + shift)
        self.labels.append(label)
        self.elements.append(("label", label.svg()))
        self.reach(top, bottom)
        return label

    @property
    def view_box(self) -> str:
        top, height = self.top - MARGIN, self.bottom - self.top + 2 * MARGIN
        return f"0 {number(top)} {number(WIDTH)} {number(height)}"

    def finish(self, title: str, description: str) -> str:
        """The SVG; its ids come from its content, so that several drawings can stand on one page."""
        ground = [each for each in self.elements if each[0] not in _ABOVE]
        above = [each for look in _ABOVE for each in self.elements if each[0] == look]
        body = "".join(
            f'<g class="{_CLASSES.get(look, look)}" {_LOOKS[look]}>{"".join(element for _, element in group)}</g>'
            for look, group in groupby(ground + above, key=lambda each: each[0])
        )
        key = "d" + hashlib.sha256((title + description + body).encode()).hexdigest()[:10]
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img" viewBox="{self.view_box}" '
            f'aria-labelledby="{key}-title {key}-desc">'
            f'<title id="{key}-title">{escape(title)}</title><desc id="{key}-desc">{escape(description)}</desc>'
            f"{body}</svg>"
        )
