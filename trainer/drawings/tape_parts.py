"""tape.parts: a length in equal parts, and where the last mark falls when the rounded part is marked again and again."""

from __future__ import annotations

from typing import Final

from trainer.drawings.dimensions import Note, across, column, remarks
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import MARGIN, WIDTH, Sheet, View, points
from trainer.drawings.words import Words
from trainer.languages import Text

LEFT, RIGHT = 16.0, WIDTH - 16.0
THICK, CLOSEST = 20.0, 4.0  # of the length as drawn; between two marks
COLUMN: Final = 200.0
END: Final = 96.0  # page place of the length's end in the detail


def make(words: Words) -> tuple[Sheet, str]:
    length, parts = words.number("length"), round(words.number("parts"))
    view = View((RIGHT - LEFT) / length, LEFT, 0.0)
    sheet = Sheet()
    sheet.rect("void", (LEFT, 0.0), (RIGHT, THICK), "length")
    across(sheet, LEFT, RIGHT, -14.0, 0.0, words.say("length"))
    part = view.scale * length / parts
    if words.may_say("parts") and part >= CLOSEST:
        places = [LEFT + part * place for place in range(1, parts)]
        data = "".join(points([(x, 0.0), (x, THICK)]) for x in places)
        if data:
            sheet.path("ink", data, "marks", weight=1.0)
        across(sheet, LEFT, LEFT + part, THICK + 18, THICK)
        target = (LEFT + part / 2, THICK + 18.0)
    else:
        # Too many to draw, or their number is asked for.
        for place in (-8.0, 0.0, 8.0):
            sheet.circle("dim", (WIDTH / 2 + place, THICK / 2), 1.2)
        target = (LEFT + 6, THICK)
    said = [Note(target, words.say("part"), dot=False)]
    foot = column(sheet, said, COLUMN, THICK + 10)
    foot = max(foot, _end(sheet, words, foot + 20))
    remarks(sheet, [words.say("parts"), words.say("nearest"), _run_out(words), *words.given("to")], foot)
    return sheet, _describe(words)


def _end(sheet: Sheet, words: Words, top: float) -> float:
    """The end, enlarged: where the length ends and where the last mark falls; returns the page height below."""
    off = words.number("run_out")
    if not words.may_say("run_out") or abs(off) < 1e-9:
        return top - 20
    sheet.write(12, top, words.text("The last mark, enlarged", "La última marca, ampliada"))
    scale = 50 / abs(off)
    y = top + 12
    sheet.line("ink", (MARGIN + 10, y), (END, y), (END, y + 44), (MARGIN + 10, y + 44), part="end")
    last = END + scale * off
    sheet.line("accent", (last, y - 3), (last, y + 47), part="last-mark", dash="6 3")
    line = y + 60
    across(sheet, min(END, last), max(END, last), line, y + 47)
    note = Note((max(END, last), line), words.say("run_out"), dot=False)
    return max(column(sheet, [note], COLUMN, y), line + 6)


def _run_out(words: Words) -> str:
    if not words.may_say("run_out"):
        return words.say("run_out")
    off = words.number("run_out")
    if abs(off) < 1e-9:
        return words.text("comes out even", "sale exacto")
    return (
        words.text("runs past the end", "se pasa de la punta")
        if off > 0
        else words.text("falls short of the end", "no llega a la punta")
    )


def _describe(words: Words) -> str:
    sizes = words.list("length", "parts", "part", "nearest", "run_out")
    return words.text(
        f"A length marked in equal parts, to scale, and the last mark enlarged when the part is rounded to the tape: "
        f"{sizes}.",
        f"Un largo marcado en partes iguales, a escala, y la última marca ampliada cuando la parte se redondea a la "
        f"cinta: {sizes}.",
    )


FIGURES = (Figure("tape.parts", "tape.divide", Text(en="Equal parts", es="Partes iguales"), make),)
