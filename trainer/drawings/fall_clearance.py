"""fall.clearance: the drop below the D-ring piece by piece, and the clear height there is.

Whether it is enough is an answer: while it may not be said, the surface that could be struck is not drawn.
"""

from __future__ import annotations

from typing import Final

from trainer.drawings.dimensions import Note, arrow, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line
from trainer.drawings.person import SHOULDER, standing
from trainer.drawings.sheet import Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

PIECES: Final = ("total_free_fall", "deceleration", "stretch", "dring_height", "margin")
ABOVE, AFTER, CHAIN, COLUMN = (
    100.0,
    150.0,
    190.0,
    206.0,
)  # page places of the two persons, the chain, the notes
LEFT: Final = 44.0
FURTHER: Final = 1.3  # of what is needed: a surface lower than that is drawn beyond a break


def make(words: Words) -> tuple[Sheet, str]:
    required = words.number("required")
    told = words.may_say("enough")
    stature = words.number("dring_height") / SHOULDER
    room = words.number("available") if told else required
    drawn = max(required, min(room, FURTHER * required))
    over = max(stature - words.number("dring_height"), 0.5)
    view = View(250 / max(drawn + over, 1.0), 0.0, 0.0)
    sheet = Sheet()
    _persons(sheet, view, words, stature)
    if told:
        _struck(sheet, view, words, drawn)
    notes = _chain(sheet, view, words)
    if words.may_say("required"):
        y = view.y(-required)
        sheet.line("accent", (LEFT, y), (CHAIN + 10, y), part="needed", dash="6 3", weight=1.6)
    upright(sheet, view.y(0), view.y(-required), LEFT, (None, None), words.lines("required"))
    foot = column(sheet, notes, COLUMN, view.y(over) - 4)
    said = [words.say("available"), _enough(words)] if words.values["available"] is not None else []
    foot = remarks(sheet, [*said, *_given(words)], foot + 2)
    caution = words.text(
        "The maker's instructions govern; a swing needs more room.",
        "Manda el fabricante; si se columpia, necesita más espacio.",
    )
    remarks(sheet, [caution], foot)
    return sheet, _describe(words)


def _given(words: Words) -> list[str]:
    below = words.number("anchor_below")
    if not below or not words.may_say("anchor_below"):
        return []
    said = words.value("anchor_below")
    return [words.text(f"anchorage {said} below the D-ring", f"anclaje {said} abajo del anillo D")]


def _enough(words: Words) -> str:
    if not words.may_say("enough"):
        return words.text("enough ?", "alcanza ?")
    return (
        words.text("enough", "alcanza") if words.values["enough"] else words.text("not enough", "no alcanza")
    )


def _persons(sheet: Sheet, view: View, words: Words, stature: float) -> None:
    """Before the fall, on the edge; and stopped, with the D-ring lower by the whole drop."""
    feet, stop = words.number("dring_height"), words.number("stop")
    edge, y = view.y(-feet), 0.0
    anchor = view.y(-words.number("anchor_below"))
    sheet.line("ink", (54.0, edge), (ABOVE + 14, edge), weight=2.2)
    sheet.path("fine", f"M{number(ABOVE + 14)} {number(edge)}v9M54 {number(edge + 5)}H{number(ABOVE + 14)}")
    sheet.reach(edge + 9)
    place = View(view.scale, ABOVE, 0.0)
    standing(sheet, place, 0.0, -feet, stature)
    sheet.line("fine", (ABOVE - 30, anchor), (ABOVE, y), weight=1.2)
    sheet.rect("dim", (ABOVE - 34, anchor - 4), (ABOVE - 28, anchor + 4))
    sheet.circle("accent", (ABOVE, y), 1.2, "d-ring")
    fallen = View(view.scale, AFTER, 0.0)
    standing(sheet, fallen, 0.0, -stop - feet, stature)
    sheet.line("fine", (AFTER, y), (AFTER, view.y(-stop)), dash="4 3")
    sheet.circle("accent", (AFTER, view.y(-stop)), 1.2, "d-ring-stopped")
    sheet.line("fine", (ABOVE + 6, y), (CHAIN + 8, y), dash="2 2")
    if view.scale * stop > 24:
        arrow(sheet, (AFTER, view.y(-stop * 0.25)), (AFTER, view.y(-stop * 0.6)))


def _chain(sheet: Sheet, view: View, words: Words) -> list[Note]:
    """The five pieces one below the other, each with its note."""
    top, notes = 0.0, []
    for name in PIECES:
        long = words.number(name)
        if long:
            upright(sheet, view.y(-top), view.y(-top - long), CHAIN, (None, None), part=name)
        notes.append(Note((CHAIN, view.y(-top - long / 2)), words.say(name), dot=False))
        top += long
    return notes


def _struck(sheet: Sheet, view: View, words: Words, drawn: float) -> None:
    """What could be struck, at the clear height there is; beyond a break when it lies far below."""
    there = words.number("available")
    level = view.y(-min(there, drawn))
    if there > drawn:
        level += 22
        break_line(sheet, (LEFT + 12, level - 10), (CHAIN + 10, level - 10), 0)
    sheet.line(
        "ink", (LEFT + 12, level), (CHAIN + 10, level), part="" if there > drawn else "struck", weight=2.2
    )
    strokes = "".join(f"M{number(x)} {number(level)}l-5 5" for x in range(62, int(CHAIN + 10), 9))
    sheet.path("fine", strokes)
    sheet.reach(level + 5)


def _describe(words: Words) -> str:
    sizes = words.list(*PIECES, "required")
    said = words.list("available") + f"; {_enough(words).replace('?', '')}".rstrip()
    there = f" {said[0].upper()}{said[1:]}." if words.may_say("available") and words.may_say("enough") else ""
    return words.text(
        f"A person on an edge and the same person hanging after a fall is stopped, to scale, with the pieces of the clear "
        f"height below the D-ring, from the top: {sizes}.{there}",
        f"Una persona en un borde y la misma persona colgada después de la caída, a escala, con las partes de la altura "
        f"libre bajo el anillo D, desde arriba: {sizes}.{there}",
    )


FIGURES = (
    Figure("fall.clearance", "fall.clearance", Text(en="Fall clearance", es="Espacio libre de caída"), make),
)
