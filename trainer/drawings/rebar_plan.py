"""rebar.plan: the mat from above, bars held back from the form and cut at the flues.

The number of bars drawn would give away a count that is asked for, so a hidden count shows only the first and the
last bar of that direction, and a hidden number of cut bars shows the bars whole.
"""

from __future__ import annotations

from trainer.calc.bars import LaidBar
from trainer.calc.rebar import mat_bars
from trainer.calc.spec import Board
from trainer.drawings.crown import flue_remarks, openings
from trainer.drawings.dimensions import BELOW, ROW, across, clear_of_turned, fits, pair, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import WIDTH, Sheet, View, number, text_width
from trainer.drawings.words import Words
from trainer.languages import Text


def make(words: Words) -> tuple[Sheet, str]:
    length, width = words.number("slab_length"), words.number("slab_width")
    view = View(min(248 / length, 200 / width), WIDTH / 2, 0.0)
    sheet = Sheet()
    sheet.rect("concrete", view.at(-length / 2, width / 2), view.at(length / 2, -width / 2), "slab")
    for opening in openings(words):
        centre = view.at(opening.x, opening.y)
        if opening.shape == "round":
            sheet.circle("void", centre, view.scale * opening.length / 2, "opening")
        else:
            half = opening.length / 2, opening.width / 2
            one = view.at(opening.x - half[0], opening.y + half[1])
            sheet.rect("void", one, view.at(opening.x + half[0], opening.y - half[1]), "opening")
    _bars(sheet, view, words)
    foot = _dimensions(sheet, view, words)
    foot = remarks(sheet, words.given("bar", "max_spacing"), foot + 4)
    counts = ["long_bars", "short_bars", *(["bars_cut"] if words.values["flue"] else [])]
    foot = remarks(sheet, [*(words.say(name) for name in counts), *words.given("total_length")], foot)
    remarks(sheet, flue_remarks(words), foot)
    return sheet, _describe(words)


def bars(words: Words) -> dict[str, tuple[LaidBar, ...]]:
    """The "long" and the "short" bars as the core lays and cuts them."""
    long, short = mat_bars(Board(dict(words.values)), openings(words))
    return {"long": long, "short": short}


def _bars(sheet: Sheet, view: View, words: Words) -> None:
    laid = bars(words)
    thick = max(1.2, view.scale * words.number("bar_diameter"))
    for which in ("short", "long"):
        whole = words.number(f"{which}_length") / 2
        found = laid[which]
        if not words.may_say(f"{which}_bars"):
            found = (found[0], found[-1])
        data = []
        for bar in found:
            for one, other in bar.pieces if words.may_say("bars_cut") else ((-whole, whole),):
                at = bar.across
                ends = ((one, at), (other, at)) if which == "long" else ((at, one), (at, other))
                (x1, y1), (x2, y2) = (view.at(*end) for end in ends)
                data.append(f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}")
        sheet.path("steel", "".join(data), f"{which}-bars", weight=thick)
    hidden = [which for which in ("long", "short") if not words.may_say(f"{which}_bars")]
    if hidden:
        _and_so_on(sheet, view, words, hidden)


def _and_so_on(sheet: Sheet, view: View, words: Words, hidden: list[str]) -> None:
    """Dots in place of the bars whose number is asked for."""
    half_length, half_width = words.number("slab_length") / 2, words.number("slab_width") / 2
    edge = words.number("cover") * 3
    for which in hidden:
        for share in (-0.1, 0.0, 0.1):
            x = -half_length + edge if which == "long" else share * half_length
            y = share * half_length if which == "long" else half_width - edge
            sheet.circle("dim", view.at(x, y), 1.2)


def _dimensions(sheet: Sheet, view: View, words: Words) -> float:
    """Dimension lines round the mat; returns the page height below them."""
    half_length, half_width = words.number("slab_length") / 2, words.number("slab_width") / 2
    top, bottom = view.y(half_width), view.y(-half_width)
    left, right = view.x(-half_length), view.x(half_length)
    row, start, laid = top - 16, top, bars(words)
    if words.may_say("short_bars"):
        places = [bar.across for bar in laid["short"]]
        first = max(0, (len(places) - 2) // 2)
        end = view.y(words.number("short_length") / 2)
        across(sheet, view.x(places[first]), view.x(places[first + 1]), row, end, words.say("short_spacing"))
        if not fits(words.say("short_spacing"), left, right):
            start = row - 18  # the extension lines leave the lettering free
        row -= ROW
    across(sheet, left, right, row, start, words.say("slab_length"))
    upright(sheet, top, bottom, left - 14, left, words.lines("slab_width"))
    if words.may_say("long_bars"):
        places = [bar.across for bar in laid["long"]]
        first = max(0, (len(places) - 2) // 2)
        end = view.x(words.number("long_length") / 2)
        ys = view.y(places[first + 1]), view.y(places[first])
        upright(sheet, *ys, right + 14, end, words.lines("long_spacing"), after=True)
    chain = bottom + ROW
    reach = words.number("long_length") / 2
    ends = view.y(-words.number("long_spacing") * (words.number("long_bars") - 1) / 2)
    said, inner = words.say("long_length"), (view.x(-reach), view.x(reach))
    below = not fits(said, *inner)
    across(sheet, *inner, chain, ends, said, below)
    foot = clear_of_turned(sheet, chain + (17 + BELOW if below else 17))
    if words.number("cover"):
        clear = WIDTH / 2 + text_width(said) / 2 + 6 if below else 0.0
        pair(sheet, inner, (left, right), chain, bottom, foot, words.say("cover"), clear)
    return foot


def _describe(words: Words) -> str:
    names = [
        *("slab_length", "slab_width", "cover", "bar", "max_spacing", "long_bars", "short_bars"),
        *("long_spacing", "short_spacing", "long_length", "short_length"),
    ]
    if words.values["flue"]:
        names += ["bars_cut", "bond_gap"]
    names.append("total_length")
    sizes = words.list(*names)
    return words.text(
        f"The rebar mat from above, to scale, evenly spaced and held back from the form: {sizes}.",
        f"La parrilla de varilla vista desde arriba, a escala, repartida y separada de la cimbra: {sizes}.",
    )


FIGURES = (
    Figure("rebar.plan", "rebar.mat", Text(en="Rebar mat, plan", es="Parrilla de varilla, planta"), make),
)
