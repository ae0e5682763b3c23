"""crown.fall: the right triangle of a crown's fall from the flue to the edge."""

from __future__ import annotations

import math

from trainer.drawings.dimensions import ROW, across, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import stones
from trainer.drawings.roof_triangle import angle_mark
from trainer.drawings.sheet import Sheet, View
from trainer.drawings.words import Words
from trainer.languages import Text


def make(words: Words) -> tuple[Sheet, str]:
    rise, run = words.number("rise"), words.number("run")
    view = View(min(200 / run, 220 / max(rise, 0.1)), 0.0, 0.0)
    view = View(view.scale, 206 - view.scale * run / 2, 0.0)
    sheet = Sheet()
    outline = [view.at(0, 0), view.at(run, 0), view.at(run, rise)]
    sheet.shape("concrete", outline, "triangle")
    stones(sheet, outline)
    across(sheet, view.x(0), view.x(run), ROW + 2, 0.0, words.say("run"), below=True)
    if rise:
        upright(sheet, view.y(rise), 0.0, view.x(run) + 16, view.x(run), words.lines("rise"), after=True)
        radius = min(46.0, 0.7 * view.scale * run)
        angle_mark(sheet, view.at(0, 0), radius, math.radians(words.number("angle")), words.say("angle"))
    fall = words.text("fall ", "pendiente ") + words.value("slope")
    remarks(sheet, [fall, *words.given("percent")], ROW + 20)
    return sheet, _describe(words)


def _describe(words: Words) -> str:
    sizes = words.list("rise", "run", "angle")
    fall = words.value("slope") if words.may_say("slope") else words.unsaid
    return words.text(
        f"The right triangle of a crown's fall from the flue down to the edge, to scale: {sizes}; fall {fall}.",
        f"El triángulo rectángulo de la pendiente de una corona, del tubo a la orilla, a escala: {sizes}; "
        f"pendiente {fall}.",
    )


FIGURES = (
    Figure("crown.fall", "crown.slope", Text(en="Fall of a crown", es="Pendiente de una corona"), make),
)
