"""Dimension lines with extension lines and slanted ticks, as on building drawings; leaders and columns of notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from trainer.drawings.sheet import FONT, LINE, MARGIN, WIDTH, Point, Sheet, number, text_width, wrap

BELOW = 18.0  # from a dimension line to the base of lettering below it
ROW = 22.0  # from the outline to the first dimension line, and from one to the next
_OFF, _PAST, _TICK = 2.5, 3.5, 3.0


Start = float | tuple[float | None, float | None]


def across(
    sheet: Sheet, x1: float, x2: float, y: float, start: Start, text: str = "", below: bool = False
) -> None:
    """A level dimension at page height y, lettered above the line or below it.

    start: page height of what is measured (one for each end when they differ); extension lines run from there, none
    from an end that is None
    """
    starts = start if isinstance(start, tuple) else (start, start)
    data = ""
    for x, begin in zip((x1, x2), starts, strict=True):
        if begin is not None:
            away = 1 if y > begin else -1
            data += f"M{number(x)} {number(begin + away * _OFF)}V{number(y + away * _PAST)}"
    sheet.path("fine", data)
    _line(sheet, (x1, y), (x2, y))
    if text:
        sheet.write(
            (x1 + x2) / 2, y + BELOW if below else y - (4 if fits(text, x1, x2) else 6), text, "middle"
        )


def pair(
    sheet: Sheet,
    inner: tuple[float, float],
    outer: tuple[float, float],
    y: float,
    start: float,
    foot: float,
    text: str,
    clear: float = 0.0,
) -> None:
    """The two equal margins between an inner and an outer length, as short dimensions at page height y, lettered once
    at page height `foot` with a line up to the right-hand one.

    start: page height of the outer ends; clear: page place that the line down has to stay right of
    """
    for near, far in zip(inner, outer, strict=True):
        across(sheet, near, far, y, (None, start))
    middle = (inner[1] + outer[1]) / 2
    down = max(middle, clear)
    aside = f"V{number(y + 6)}H{number(down)}" if down > middle else ""
    beside = text_width(text) <= down - 10 - MARGIN
    end = f"V{number(foot - 0.36 * FONT)}h-7" if beside else f"V{number(foot - 0.9 * FONT)}"
    sheet.path("fine", f"M{number(middle)} {number(y)}{aside}{end}")
    sheet.write(*((down - 10, foot, text, "end") if beside else (down, foot, text, "middle")))


def clear_of_turned(sheet: Sheet, foot: float) -> float:
    """`foot`, the base of a line of lettering, or lower where lettering turned on its side reaches down that far."""
    return max([foot, *(label.box()[3] + 0.8 * FONT + 1 for label in sheet.labels if label.turned)])


def fits(text: str, x1: float, x2: float) -> bool:
    """Whether the lettering stands between the ends of its dimension."""
    return text_width(text) <= abs(x2 - x1) - 6


def upright(
    sheet: Sheet, y1: float, y2: float, x: float, start: Start, lines: Sequence[str] = (), after: bool = False
) -> None:
    """An upright dimension at page place x, lettered upwards before the line (left of it), or after it.

    start: page place of what is measured, one for each end when they differ; None draws no extension line
    """
    starts = start if isinstance(start, tuple) else (start, start)
    data = ""
    for y, begin in zip((y1, y2), starts, strict=True):
        if begin is not None:
            away = 1 if x > begin else -1
            data += f"M{number(begin + away * _OFF)} {number(y)}H{number(x + away * _PAST)}"
    sheet.path("fine", data)
    _line(sheet, (x, y1), (x, y2))
    base = x + LINE + 2 if after else x - 6 - LINE * (len(lines) - 1)
    for place, text in enumerate(lines):
        sheet.write(base + place * LINE, (y1 + y2) / 2, text, "middle", turned=True)


def _line(sheet: Sheet, one: Point, other: Point) -> None:
    (x1, y1), (x2, y2) = one, other
    sheet.reach(y1 - _PAST, y1 + _PAST, y2 - _PAST, y2 + _PAST)
    level = y1 == y2
    dx, dy = (_PAST, 0.0) if level else (0.0, _PAST)
    if (x1, y1) > (x2, y2):
        dx, dy = -dx, -dy
    sheet.path("dim", f"M{number(x1 - dx)} {number(y1 - dy)}L{number(x2 + dx)} {number(y2 + dy)}")
    ticks = "".join(
        f"M{number(x - _TICK)} {number(y + _TICK)}l{number(2 * _TICK)} {number(-2 * _TICK)}"
        for x, y in (one, other)
    )
    sheet.path("dim", ticks, weight=1.5)


def arrow(sheet: Sheet, tail: Point, tip: Point, look: str = "dim") -> None:
    """A thin arrow with a solid head."""
    (x1, y1), (x2, y2) = tail, tip
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    bx, by = x2 - 6 * ux, y2 - 6 * uy
    sheet.reach(y1, y2)
    sheet.path(
        look,
        f"M{number(x1)} {number(y1)}L{number(bx)} {number(by)}L{number(bx - 1.9 * uy)} {number(by + 1.9 * ux)}"
        f"L{number(x2)} {number(y2)}L{number(bx + 1.9 * uy)} {number(by - 1.9 * ux)}L{number(bx)} {number(by)}",
    )


@dataclass(frozen=True, slots=True)
class Note:
    """Words that point at a place. dot: ends on an area, so with a dot; a dimension line is met without one."""

    target: Point
    text: str
    dot: bool = True


def column(sheet: Sheet, notes: Sequence[Note], x: float, top: float) -> float:
    """Notes one below the other from page place x to the sheet's right edge, each with its leader.

    Notes keep their order, stand as near to the height of what they point at as their neighbours allow, and never
    begin above `top`. Returns the page height below the last.
    """
    blocks = [(note, wrap(note.text, WIDTH - 6 - x)) for note in notes]
    heights = [LINE * len(lines) for _, lines in blocks]
    begins = _spread([note.target[1] - h / 2 for note, h in zip(notes, heights, strict=True)], heights, top)
    for (note, lines), begin in zip(blocks, begins, strict=True):
        for place, line in enumerate(lines):
            sheet.write(x, begin + place * LINE + 0.8 * FONT + 1, line)
        _leader(sheet, note, (x - 4, begin + LINE / 2))
    return begins[-1] + heights[-1]


def _spread(wanted: Sequence[float], heights: Sequence[float], top: float, apart: float = 4.0) -> list[float]:
    """Where blocks begin so that they keep their order and do not touch, each as near to where it is wanted as its
    neighbours allow: blocks that would touch move as one, to the mean of what they want (isotonic regression)."""
    stacked = [sum(heights[:place]) + apart * place for place in range(len(heights))]
    pools: list[list[float]] = []
    for want, offset in zip(wanted, stacked, strict=True):
        pool = [want - offset]
        while pools and fmean(pools[-1]) > fmean(pool):
            pool = pools.pop() + pool
        pools.append(pool)
    levels = [max(top, fmean(pool)) for pool in pools for _ in pool]
    return [offset + level for offset, level in zip(stacked, levels, strict=True)]


def _leader(sheet: Sheet, note: Note, end: Point) -> None:
    (x, y), (ex, ey) = note.target, end
    elbow = ex - 7
    data = f"M{number(x)} {number(y)}"
    if abs(y - ey) > 0.5 and x < elbow:
        data += f"L{number(elbow)} {number(ey)}"
    sheet.path("fine", data + f"L{number(ex)} {number(ey)}")
    if note.dot:
        sheet.circle("dim", note.target, 1.5)


def remarks(sheet: Sheet, phrases: Sequence[str], y: float, x: float = 12.0) -> float:
    """Short phrases below a figure, as many to a line as fit; returns the page height below the last."""
    lines: list[str] = []
    for phrase in phrases:
        joined = f"{lines[-1]} · {phrase}" if lines else ""
        if joined and text_width(joined) <= WIDTH - 6 - x:
            lines[-1] = joined
        else:
            lines += wrap(phrase, WIDTH - 6 - x)
    y = max(y, sheet.bottom - 2)
    for line in lines:
        y += LINE + 1
        sheet.write(x, y, line)
    return y
