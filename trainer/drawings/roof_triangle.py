"""roof.triangle: the right triangle of a roof's rise, its 12 in of run and its angle."""

from __future__ import annotations

import math

from trainer.drawings.dimensions import ROW, across, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.sheet import Point, Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

RUN = 12.0  # in; the trade says the rise in 12 inches of run
RISE_UNIT = "in"


def make(words: Words) -> tuple[Sheet, str]:
    rise, angle = words.number("rise"), math.radians(words.number("angle"))
    scale = min(200 / RUN, 220 / max(rise, 0.1))
    view = View(scale, 206 - scale * RUN / 2, 0.0)
    sheet = Sheet()
    _deck(sheet, view, rise, angle)
    sheet.shape("ink", [view.at(0, 0), view.at(RUN, 0), view.at(RUN, rise)], "triangle")
    across(sheet, view.x(0), view.x(RUN), ROW + 2, 0.0, f"{words.name('run')} {words.write(RUN, RISE_UNIT)}")
    if rise:
        upright(sheet, view.y(rise), 0.0, view.x(RUN) + 16, view.x(RUN), (_rise(words),), after=True)
        angle_mark(sheet, view.at(0, 0), min(46.0, 0.7 * view.scale * RUN), angle, words.say("angle"))
    remarks(sheet, _remarks(words), ROW + 10)
    return sheet, _describe(words)


def _rise(words: Words) -> str:
    said = words.write(words.number("rise"), RISE_UNIT) if words.may_say("rise") else "?"
    return f"{words.name('rise')} {said}"


def _deck(sheet: Sheet, view: View, rise: float, angle: float) -> None:
    """The roof deck that lies on the slope, cut."""
    thick = 6 / view.scale
    dx, dy = -math.sin(angle) * thick, math.cos(angle) * thick
    outline = [view.at(0, 0), view.at(RUN, rise), view.at(RUN + dx, rise + dy), view.at(dx, dy)]
    sheet.shape("void", outline)


def angle_mark(sheet: Sheet, corner: Point, radius: float, angle: float, text: str) -> None:
    """An arc from level up to `angle` [radians] at a corner, lettered before it."""
    x, y = corner
    end = number(x + radius * math.cos(angle)), number(y - radius * math.sin(angle))
    arc = number(radius)
    sheet.path("fine", f"M{number(x + radius)} {number(y)}A{arc} {arc} 0 0 0 {end[0]} {end[1]}")
    sheet.write(x - 10, y + 4, text, "end")


def _remarks(words: Words) -> list[str]:
    said = [words.say("slope_factor")]
    if words.may_say("low_slope"):
        said.append(
            words.text("low-slope roof", "techo de baja pendiente")
            if words.values["low_slope"]
            else words.text("steeper than low-slope", "más inclinado que baja pendiente")
        )
    return said


def _describe(words: Words) -> str:
    rise = _rise(words) if words.may_say("rise") else f"{words.name('rise')} {words.unsaid}"
    run = f"{words.name('run')} {words.write(RUN, RISE_UNIT)}"
    sizes = f"{rise}; {run}; {words.list('angle', 'slope_factor')}"
    return words.text(
        f"The right triangle of a roof's slope, to scale: {sizes}.",
        f"El triángulo rectángulo de la pendiente de un techo, a escala: {sizes}.",
    )


FIGURES = (Figure("roof.triangle", "roof.slope", Text(en="Roof slope", es="Pendiente del techo"), make),)
