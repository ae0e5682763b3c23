"""tape.reading: a piece of a steel tape at full detail, with an arrow at a length.

The arrow stands at the exact length, wherever that falls between the marks. The reading is written, and the mark it is
rounded to is pointed at, only when they may be said: the drawing can be a question.
"""

from __future__ import annotations

import math
from typing import Final

from trainer.calc import notation
from trainer.drawings.dimensions import arrow, remarks
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line
from trainer.drawings.sheet import MARGIN, WIDTH, Sheet, View, number, points, text_width
from trainer.drawings.words import Words
from trainer.languages import Text

INCH: Final = 96.0  # page units to an inch: 6 from one sixteenth to the next
BLADE: Final = 92.0  # height of the blade on the page
BEFORE: Final = 1.2  # in, how much of the tape is seen before the whole inch under the arrow
NUMERAL: Final = 19.0
LEFT, RIGHT = MARGIN + 6, WIDTH - MARGIN - 6  # of the blade
# Parts of an inch, how long their mark is and how heavy: the finer, the shorter.
MARKS: Final = ((1, BLADE, 1.8), (2, 46.0, 1.5), (4, 34.0, 1.2), (8, 24.0, 1.0), (16, 15.0, 0.8))
FOOT: Final = 12


def make(words: Words) -> tuple[Sheet, str]:
    length = words.number("length")
    first = max(0.0, math.floor(length) - BEFORE)
    hooked = first == 0.0
    view = View(INCH, LEFT - INCH * first, 0.0)
    last = first + (RIGHT - LEFT) / INCH
    sheet = Sheet()
    sheet.rect("void", (LEFT, 0.0), (RIGHT, BLADE), "blade")
    if hooked:
        _hook(sheet, LEFT)
    else:
        break_line(sheet, (LEFT, 0.0), (LEFT, BLADE))
    break_line(sheet, (RIGHT, 0.0), (RIGHT, BLADE))
    _marks(sheet, view, first, last)
    _numerals(sheet, view, first, last)
    _pointers(sheet, view, words, (first, last))
    remarks(sheet, _remarks(words), sheet.bottom + 2)
    return sheet, _describe(words)


def _hook(sheet: Sheet, left: float) -> None:
    """The hook at the tape's end; its inner face is the zero."""
    sheet.shape("ink", [(left, -5), (left - 4, -5), (left - 4, BLADE + 12), (left, BLADE + 12)], weight=1.2)


def _marks(sheet: Sheet, view: View, first: float, last: float) -> None:
    """Every sixteenth in view, each drawn once, as long as the coarsest division it belongs to."""
    strokes: dict[int, str] = {parts: "" for parts, _, _ in MARKS}
    for sixteenth in range(math.ceil(first * 16), math.floor(last * 16) + 1):
        parts, long = next((parts, long) for parts, long, _ in MARKS if sixteenth * parts % 16 == 0)
        x = view.x(sixteenth / 16)
        strokes[parts] += points([(x, 0.0), (x, long)])
    for parts, _, weight in MARKS:
        sheet.path("ink", strokes[parts], f"mark-{parts}", weight=weight)


def _numerals(sheet: Sheet, view: View, first: float, last: float) -> None:
    """Each inch's number before its mark; a whole foot's mark is heavy and has the feet after it."""
    for inch in range(math.ceil(first), math.floor(last) + 1):
        if not inch:
            continue
        x, text = view.x(inch), str(inch)
        if x - 5 - text_width(text, NUMERAL) > LEFT:
            sheet.write(x - 5, BLADE - 8, text, "end", size=NUMERAL, part="numeral")
        if inch % FOOT == 0:
            sheet.line("accent", (x, 0.0), (x, BLADE), weight=3.0)
            feet = f"{inch // FOOT} ft"
            if x + 6 + text_width(feet) < RIGHT:
                sheet.write(x + 6, BLADE - 33, feet, part="numeral")


def _pointers(sheet: Sheet, view: View, words: Words, window: tuple[float, float]) -> None:
    """The arrow at the length from above; from below, the mark it is rounded to when that is another place."""
    x = view.x(words.number("length"))
    arrow(sheet, (x, -30.0), (x, -1.0), "accent")
    sheet.write(x, -36.0, _length(words), "middle")
    rounded = words.number("rounded")
    if _on_the_mark(words) or not words.may_say("rounded") or not window[0] <= rounded <= window[1]:
        return
    x = view.x(rounded)
    arrow(sheet, (x, BLADE + 26), (x, BLADE + 1))
    sheet.path("dim", f"M{number(x)} {number(BLADE)}V0", "rounded", dash="4 3")
    sheet.write(x, BLADE + 38, words.say("rounded"), "middle")


def _on_the_mark(words: Words) -> bool:
    return abs(words.number("rounded") - words.number("length")) < 1e-9


def _length(words: Words) -> str:
    """The length itself, never rounded to the tape: as a fraction where it is one, else as a decimal."""
    if not words.may_say("length"):
        return words.value("rounded") if _on_the_mark(words) else "?"
    length = words.number("length")
    on_a_sixteenth = length * 16 % 1 == 0
    return words.write(length, "in") if on_a_sixteenth else f"{notation.write_number(length, 8)} in"


def _remarks(words: Words) -> list[str]:
    said = words.given("to")
    if _on_the_mark(words):
        return said
    return (
        [*said, words.say("rounded"), _off_by(words)]
        if words.may_say("off_by")
        else [*said, words.say("rounded")]
    )


def _off_by(words: Words) -> str:
    """In full: a sixteenth would be too coarse."""
    return f"{words.name('off_by')} {notation.write_number(words.number('off_by'))} in"


def _describe(words: Words) -> str:
    read = _length(words)
    place = words.unsaid if read == "?" else read
    sizes = words.list("rounded") + (f"; {_off_by(words)}" if words.may_say("off_by") else "")
    return words.text(
        f"A piece of a steel tape marked in inches, halves, quarters, eighths and sixteenths, with an arrow at a "
        f"length: {place}; {sizes}.",
        f"Un tramo de cinta de medir con marcas de pulgada, media, cuarto, octavo y dieciseisavo, con una flecha en "
        f"una medida: {place}; {sizes}.",
    )


FIGURES = (Figure("tape.reading", "tape.round", Text(en="Steel tape", es="Cinta de medir"), make),)
