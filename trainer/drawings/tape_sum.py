"""tape.sum: lengths laid off one after the other, forward to add and back to take away, and the sum below them."""

from __future__ import annotations

from itertools import accumulate, pairwise
from typing import Final

from trainer.drawings.dimensions import ROW, across, arrow, remarks
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import WIDTH, Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

LEFT, RIGHT = 20.0, WIDTH - 20.0
STEP: Final = 34.0  # page units from one length to the next
MOST: Final = 12  # lengths drawn; more are only summed


def make(words: Words) -> tuple[Sheet, str]:
    lengths = words.values["length"]
    ends = [0.0, *accumulate(lengths)]
    # Between the least and the greatest place; all zero still needs a scale.
    low, high = min(ends), max(ends)
    scale = (RIGHT - LEFT) / max(high - low, 1 / 16)
    view = View(scale, LEFT - scale * low, 0.0)
    sheet = Sheet()
    for place, (start, end) in enumerate(pairwise(ends[: MOST + 1])):
        y = STEP * place
        said = words.write(lengths[place], "in") if words.may_say("length") else "?"
        sheet.write((view.x(start) + view.x(end)) / 2, y - 5, said, "middle")
        if abs(view.x(end) - view.x(start)) > 1:
            _laid(sheet, view.x(start), view.x(end), y)
        sheet.path("fine", f"M{number(view.x(end))} {number(y)}v{number(STEP - 18)}")
    foot = STEP * min(len(lengths), MOST)
    across(sheet, view.x(0.0), view.x(ends[-1]), foot + ROW - 16, (foot - 10, foot - 10))
    total = words.text("sum ", "suma ") + words.value("total")
    left_out = [words.text("and more", "y más")] if len(lengths) > MOST else []
    remarks(sheet, [*left_out, total], foot + ROW - 8)
    given = (
        "; ".join(words.write(each, "in") for each in lengths) if words.may_say("length") else words.unsaid
    )
    result = words.value("total") if words.may_say("total") else words.unsaid
    return sheet, words.text(
        f"Lengths laid off one after the other, to scale, those with a minus backward: {given}. Sum: {result}.",
        f"Medidas puestas una tras otra, a escala, las que llevan menos hacia atrás: {given}. Suma: {result}.",
    )


def _laid(sheet: Sheet, start: float, end: float, y: float) -> None:
    arrow(sheet, (start, y), (end, y), "dim")
    sheet.line("ink", (start, y), (end, y), part="length", weight=1.2)


FIGURES = (Figure("tape.sum", "tape.add", Text(en="Adding lengths", es="Sumar medidas"), make),)
