"""rebar.cuts: each bar to buy with the cuts in it, to scale, and what is left over.

A hidden plan or number of bars shows one whole bar, so that neither can be counted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from trainer.calc import notation
from trainer.drawings.dimensions import ROW, across, remarks
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import LINE, WIDTH, Sheet, View, number, wrap
from trainer.drawings.words import Words
from trainer.languages import Text

LEFT, TALL = 12.0, 9.0
INCHES_PER_FOOT = 12


def make(words: Words) -> tuple[Sheet, str]:
    stock = words.number("stock_length") * INCHES_PER_FOOT
    view = View((WIDTH - 2 * LEFT) / stock, LEFT, 0.0)
    sheet = Sheet()
    across(sheet, view.x(0), view.x(stock), -ROW + 4, 0.0, words.say("stock_length"))
    top = 0.0
    for bar, times in _bars(words):
        top = _bar(sheet, view, words, top, bar, times)
    foot = remarks(sheet, [words.say("bars_needed"), *_pieces(words)], top - LINE)
    if words.number("kerf"):
        remarks(sheet, words.given("kerf"), foot)
    return sheet, _describe(words)


def _open(words: Words) -> bool:
    return words.may_say("plan") and words.may_say("bars_needed")


def _bars(words: Words) -> list[tuple[tuple[float, ...], int]]:
    """Each different bar with how many there are of it."""
    return list(Counter(map(tuple, words.values["plan"])).items()) if _open(words) else [((), 0)]


def _bar(sheet: Sheet, view: View, words: Words, top: float, bar: Sequence[float], times: int) -> float:
    """One bar with its cuts and what is sawn from it below; returns where the next begins."""
    stock, kerf = words.number("stock_length") * INCHES_PER_FOOT, words.number("kerf")
    used = min(sum(bar) + kerf * len(bar), stock)
    sheet.rect("concrete", (view.x(0), top), (view.x(stock), top + TALL), "bar")
    at, cuts = 0.0, ""
    for length in bar:
        at += length
        if at < stock:
            cuts += f"M{number(view.x(at))} {number(top - 2)}V{number(top + TALL + 2)}"
        at += kerf
    if cuts:
        sheet.path("ink", cuts, "cuts")
    if bar and used < stock:
        sheet.rect("void", (view.x(used), top), (view.x(stock), top + TALL), "left-over", dash="3 2")
    below = top + TALL + LINE + 2
    for line in wrap(_sawn(bar, times), WIDTH - 2 * LEFT) if bar else ():
        sheet.write(LEFT, below, line)
        below += LINE
    return below + 4


def _sawn(bar: Sequence[float], times: int) -> str:
    """ "2 × (3 @ 40 in + 1 @ 36 in)" """
    counted = Counter(map(notation.write_inches, bar))
    return f"{times} × ({' + '.join(f'{count} @ {length}' for length, count in counted.items())})"


def _pieces(words: Words) -> list[str]:
    """The pieces that are wanted, when they may be said."""
    if not words.may_say("piece"):
        return []
    return [f"{each.count:g} @ {notation.write_inches(each.length)}" for each in words.values["piece"]]


def _describe(words: Words) -> str:
    sizes = words.list("stock_length", "bars_needed")
    if _open(words):
        sizes += "; " + "; ".join(_sawn(bar, times) for bar, times in _bars(words))
    return words.text(
        f"The bars to buy, to scale, each with what is sawn from it and what is left over: {sizes}.",
        f"Las varillas que se compran, a escala, con lo que se corta de cada una y lo que sobra: {sizes}.",
    )


FIGURE = Figure("rebar.cuts", "rebar.stock", Text(en="Cutting plan", es="Plan de corte"), make)
