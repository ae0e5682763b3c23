"""lift.side: a person lifting, seen from the side, with the three distances that the lifting equation asks for."""

from __future__ import annotations

from typing import Final

from trainer.drawings.dimensions import BELOW, ROW, Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.person import lifting
from trainer.drawings.sheet import Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

SCALE: Final = 2.7  # page units to the inch: hands reach 70 in up at most, and a load may be moved 70 in
ANKLES, COLUMN = 96.0, 218.0
BOX: Final = 12.0  # in, the load as drawn


def make(words: Words) -> tuple[Sheet, str]:
    out, up, way = (words.number(name) for name in ("horizontal", "vertical", "travel"))
    view = View(SCALE, ANKLES, 0.0)
    sheet = Sheet()
    sheet.line("ink", (28.0, 0.0), (COLUMN - 14, 0.0), weight=1.6)
    sheet.path("fine", "".join(f"M{number(36 + 9 * each)} 0l-4 4" for each in range(18)))
    lifting(sheet, view, (out, up))
    hands = view.at(out, up)
    sheet.rect("void", (hands[0] - 6, hands[1] - 6), (hands[0] + SCALE * BOX - 6, hands[1] + 16), "load")
    sheet.circle("accent", hands, 1.4, "hands")
    sheet.circle("dim", view.at(0, 0), 1.8, "ankles")
    line = ROW + 4.0
    across(sheet, view.x(0), hands[0], line, (4.0, hands[1] + 16))
    sheet.write((view.x(0) + hands[0]) / 2, line + BELOW, words.say("horizontal"), "middle")
    upright(sheet, hands[1], 0.0, 44.0, (hands[0] - 8, None), words.lines("vertical"))
    right = view.x(25.0) + SCALE * BOX + 4
    notes = [Note((hands[0] + SCALE * BOX - 6, hands[1] + 5), words.say("load"), dot=False)]
    if way:
        # Up where there is room above, else down.
        end = up + way if up + way <= 75 else up - way
        if end < 0:
            end = up + way
        top, bottom = sorted((view.y(up), view.y(end)))
        upright(sheet, top, bottom, right, (None, None))
        notes.append(Note((right, (top + bottom) / 2), words.say("travel"), dot=False))
    notes.sort(key=lambda note: note.target[1])
    foot = max(column(sheet, notes, COLUMN, sheet.top), line + BELOW)
    said = [words.say("recommended_limit"), words.say("lifting_index")]
    remarks(sheet, [*said, *words.given("asymmetry")], foot + 2)
    return sheet, _describe(words)


def _describe(words: Words) -> str:
    sizes = words.list(
        "horizontal", "vertical", "travel", "asymmetry", "load", "recommended_limit", "lifting_index"
    )
    return words.text(
        f"A person holding a load, seen from the side, with the distances to scale: {sizes}.",
        f"Una persona con una carga vista de lado, con las distancias a escala: {sizes}.",
    )


FIGURES = (Figure("lift.side", "lift.limit", Text(en="Lift, side view", es="Levantar, vista lateral"), make),)
