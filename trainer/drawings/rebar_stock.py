"""rebar.stock: the cutting plan, each bar to scale with its pieces and what is left over; equal bars are drawn once."""

from __future__ import annotations

from itertools import groupby
from typing import Final

from trainer.drawings.dimensions import remarks
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import FONT, LINE, Sheet, text_width, wrap
from trainer.drawings.words import Words
from trainer.languages import Text

LEFT, LONG, THICK = 12.0, 336.0, 15.0
MOST: Final = 12  # different bars drawn; a longer plan says how many more there are


def make(words: Words) -> tuple[Sheet, str]:
    sheet = Sheet()
    y = 0.0
    groups = [(list(bar), len(list(same))) for bar, same in groupby(words.values["plan"])]
    told = words.may_say("plan") and words.may_say("bars_needed")
    if told:
        for bar, times in groups[:MOST]:
            y = _bar(sheet, words, bar, times, y)
        more = sum(times for _, times in groups[MOST:])
        if more:
            remarks(sheet, [words.text(f"and {more} more bars", f"y {more} varillas más")], y - 6)
    else:
        sheet.rect("void", (LEFT, 0.0), (LEFT + LONG, THICK), "bar")
    said = [words.say(name) for name in ("stock_length", "bars_needed", "waste")]
    remarks(sheet, [*said, *words.given("kerf")], sheet.bottom + 4)
    return sheet, _describe(words, groups if told else [])


def _bar(sheet: Sheet, words: Words, bar: list[float], times: int, y: float) -> float:
    """How many and what to cut, then the bar; returns the page height where the next begins."""
    stock, kerf = words.number("stock_length") * 12, words.number("kerf")
    for line in wrap(_said(words, bar, times), LONG):
        y += LINE
        sheet.write(LEFT, y, line)
    top, scale = y + 5, LONG / stock
    sheet.rect("void", (LEFT, top), (LEFT + LONG, top + THICK), "bar")
    run = 0.0
    for piece in bar:
        left, right = LEFT + scale * run, LEFT + scale * (run + piece)
        sheet.rect("concrete", (left, top), (right, top + THICK), "piece")
        text = words.write(piece, "in").removesuffix(" in")
        if words.may_say("piece") and text_width(text) <= right - left - 4:
            sheet.write(
                (left + right) / 2, top + THICK / 2 + 0.36 * FONT, text, "middle", part="piece-length"
            )
        run += piece + kerf
    return top + THICK + 8


def _said(words: Words, bar: list[float], times: int) -> str:
    bars = words.text("bar" if times == 1 else "bars", "varilla" if times == 1 else "varillas")
    if not words.may_say("piece"):
        return f"{times} {bars}"
    pieces = " + ".join(
        f"{count} @ {words.write(length, 'in')}"
        for length, count in ((one, len(list(same))) for one, same in groupby(bar))
    )
    left = words.number("stock_length") * 12 - sum(bar) - words.number("kerf") * len(bar)
    over = (
        f", {words.write(max(left, 0.0), 'in')} " + words.text("left", "sobra")
        if words.may_say("waste")
        else ""
    )
    return f"{times} {bars}: {pieces}{over}"


def _describe(words: Words, groups: list[tuple[list[float], int]]) -> str:
    sizes = words.list("stock_length", "bars_needed", "waste")
    plan = "".join(f" {_said(words, bar, times)}." for bar, times in groups[:MOST])
    return words.text(
        f"Bars as they are bought, to scale, with the pieces to saw from each: {sizes}.{plan}",
        f"Las varillas como se compran, a escala, con las piezas que se cortan de cada una: {sizes}.{plan}",
    )


FIGURES = (Figure("rebar.stock", "rebar.stock", Text(en="Cutting plan", es="Plan de corte"), make),)
