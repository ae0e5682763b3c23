"""bar.lap: two bars lapped, with the length of the lap and how far one bar has to run in the concrete to hold."""

from __future__ import annotations

from trainer.drawings.dimensions import BELOW, ROW, across, remarks
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import stones
from trainer.drawings.sheet import WIDTH, Sheet, View
from trainer.drawings.words import Words
from trainer.languages import Text

TALL = 54.0


def make(words: Words) -> tuple[Sheet, str]:
    lap, hold, bar = (words.number(name) for name in ("lap_length", "development_length", "bar_diameter"))
    view = View(190 / lap, WIDTH / 2, 0.0)
    sheet = Sheet()
    outline = [(10.0, 0.0), (WIDTH - 10, 0.0), (WIDTH - 10, TALL), (10.0, TALL)]
    sheet.shape("body", outline)
    stones(sheet, outline, apart=16.0)
    sheet.line("fine", (10.0, 0.0), (WIDTH - 10, 0.0))
    sheet.line("fine", (10.0, TALL), (WIDTH - 10, TALL))
    thick = max(1.6, view.scale * bar)
    left, right = view.x(-lap / 2), view.x(lap / 2)
    middle = TALL / 2
    for ends, y in (((10.0, right), middle - thick * 0.6), ((left, WIDTH - 10.0), middle + thick * 0.6)):
        sheet.line("steel", (ends[0], y), (ends[1], y), part="bar", weight=thick)
    across(sheet, left, right, -16.0, middle, words.say("lap_length"))
    across(
        sheet, left, left + view.scale * hold, TALL + ROW, middle, words.say("development_length"), below=True
    )
    remarks(sheet, words.given("bar", "strength", "yield_strength"), TALL + ROW + BELOW + 2)
    sizes = words.list("bar", "lap_length", "development_length")
    return sheet, words.text(
        f"Two bars lapped in concrete, to scale: {sizes}.",
        f"Dos varillas traslapadas en el concreto, a escala: {sizes}.",
    )


FIGURES = (Figure("bar.lap", "rebar.lap", Text(en="Lap splice", es="Traslape"), make),)
