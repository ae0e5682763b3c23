"""Charts in the manner of the working drawings: ink on paper, a thin line with slashed ends as the scale, one accent.

    rows        a line for each thing with its bar or its marks between 0 and 1: skills, crews, dates to come
    columns     a column for each week: what was given, and the part of it that was right

Each is one SVG with a name for screen readers and no style, script or reference; the colours are the page's own classes.
A chart says nothing that the table beside it does not say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

WIDTH: Final = 360.0
MARGIN: Final = 8.0
ROW: Final = 44.0
LONGEST: Final = 40  # letters of a label that fit beside its value
COLUMN_HEIGHT: Final = 120.0
LETTERS: Final = 14  # size of the lettering


@dataclass(frozen=True, slots=True)
class Row:
    """One line. bar: how far its bar reaches, 0 to 1; marks: where its dots stand, 0 to 1; said: its value in words."""

    label: str
    said: str
    bar: float | None = None
    marks: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Column:
    """One week. part of whole, in answers; a partly right answer is its share."""

    label: str
    whole: int
    part: float


def rows(name: str, lines: Sequence[Row], ticks: Sequence[tuple[float, str]] = ()) -> str:
    """The lines one below the other; ticks: (place from 0 to 1, what stands there) along the foot."""
    height = ROW * len(lines) + (30 if ticks else 8)
    body = [part for place, line in enumerate(lines) for part in _row(line, place * ROW)]
    foot = ROW * len(lines)
    for at, said in ticks:
        x = _x(at)
        anchor = "start" if at < 0.2 else "end" if at > 0.8 else "middle"
        body += [
            f'<path class="fine" d="M{x:.1f} 4V{foot:.1f}" stroke-dasharray="2 4"/>',
            _text(x, foot + 18, said, anchor),
        ]
    return _svg(name, height, body)


def columns(name: str, weeks: Sequence[Column]) -> str:
    """A column a week, the oldest first: its outline is what was given, what is filled was right."""
    most = max((week.whole for week in weeks), default=0) or 1
    step = (WIDTH - 2 * MARGIN) / max(len(weeks), 1)
    foot = COLUMN_HEIGHT + 24
    body = [*_line(foot)]
    every = -(-len(weeks) // 4)  # so that their names do not run into one another
    for place, week in enumerate(weeks):
        x, wide = MARGIN + place * step + step * 0.15, step * 0.7
        for share, kind in ((week.whole / most, "whole"), (week.part / most, "part")):
            tall = COLUMN_HEIGHT * share
            if tall:
                body.append(
                    f'<rect class="{kind}" x="{x:.1f}" y="{foot - tall:.1f}" width="{wide:.1f}" height="{tall:.1f}"/>'
                )
        if week.whole:
            body.append(
                _text(x + wide / 2, foot - COLUMN_HEIGHT * week.whole / most - 5, str(week.whole), "middle")
            )
        if place % every == 0:
            body.append(_text(x, foot + 20, week.label, "start"))
    return _svg(name, foot + 28, body)


def _row(line: Row, top: float) -> Iterator[str]:
    label = line.label if len(line.label) <= LONGEST else line.label[: LONGEST - 1].rstrip() + "…"
    yield _text(MARGIN, top + 16, label)
    yield _text(WIDTH - MARGIN, top + 16, line.said, "end")
    base = top + 29
    yield from _line(base)
    if line.bar:
        yield f'<rect class="part" x="{MARGIN}" y="{base - 4:.1f}" width="{_x(line.bar) - MARGIN:.1f}" height="8"/>'
    for at in line.marks:
        yield f'<circle class="spot" cx="{_x(at):.1f}" cy="{base:.1f}" r="5"/>'


def _line(y: float) -> Iterator[str]:
    """The scale: a thin line from 0 to 1 with slashed ends."""
    yield f'<path class="fine" d="M{MARGIN} {y:.1f}H{WIDTH - MARGIN}"/>'
    for x in (MARGIN, WIDTH - MARGIN):
        yield f'<path class="accent" d="M{x - 4:.1f} {y + 4:.1f}L{x + 4:.1f} {y - 4:.1f}"/>'


def _x(share: float) -> float:
    return MARGIN + min(max(share, 0.0), 1.0) * (WIDTH - 2 * MARGIN)


def _text(x: float, y: float, said: str, anchor: str = "start") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{LETTERS}" text-anchor="{anchor}">{escape(said)}</text>'


def _svg(name: str, height: float, body: Sequence[str]) -> str:
    return (
        f'<svg class="drawing chart" role="img" aria-label="{escape(name)}" viewBox="0 0 {WIDTH:.0f} {height:.0f}" '
        f'fill="none" stroke="currentColor">{"".join(body)}</svg>'
    )
