"""bucket.fill: how full a bucket may be; debris.stack: how much roof a stack of debris needs."""

from __future__ import annotations

import math

from trainer.drawings.dimensions import ROW, Note, across, column, remarks
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import stones
from trainer.drawings.sheet import Sheet, View, points
from trainer.drawings.words import Words
from trainer.languages import Text

MIDDLE, COLUMN, TALL, HALF = 96.0, 200.0, 120.0, 52.0
LEFT = 20.0


def make_bucket(words: Words) -> tuple[Sheet, str]:
    """The bucket is drawn with straight sides, so that heights are as volumes."""
    whole, fill = words.number("bucket_volume"), words.number("fill")
    told = words.may_say("fill")
    sheet = Sheet()
    left, right = MIDDLE - HALF, MIDDLE + HALF
    level = -TALL * fill / whole
    if told:
        outline = [(left, level), (right, level), (right, 0.0), (left, 0.0)]
        sheet.shape("concrete", outline, "concrete")
        stones(sheet, outline)
    sheet.line("ink", (left, -TALL), (left, 0.0), (right, 0.0), (right, -TALL), part="bucket", weight=2.4)
    sheet.path("ink", points([(left - 4, -TALL), (right + 4, -TALL)]), weight=2.4)
    sheet.path("ink", f"M{left} {-TALL}A{HALF} 40 0 0 1 {right} {-TALL}", weight=1.2)
    sheet.reach(-TALL - 42)
    notes = [Note((right, -TALL), words.say("bucket_volume"), dot=False)]
    notes.append(Note((right, level if told else -TALL / 2), words.say("fill"), dot=False))
    notes.append(Note((MIDDLE, min(level / 2, -8.0) if told else -8.0), words.say("load"), dot=told))
    foot = column(sheet, notes, COLUMN, -TALL - 20)
    said = [words.say("carry_limit"), words.say("trips"), *words.given("bucket_weight")]
    remarks(sheet, said, max(foot, 4.0))
    sizes = words.list("bucket_volume", "fill", "load", "carry_limit", "trips")
    return sheet, words.text(
        f"A bucket from the side, filled as far as it may be, heights to scale: {sizes}.",
        f"Una cubeta de lado, llena hasta donde se puede, alturas a escala: {sizes}.",
    )


def make_stack(words: Words) -> tuple[Sheet, str]:
    """A square of the stack's area beside a door-sized sheet, 4 by 8 ft."""
    area = words.number("stack_area")
    told = words.may_say("stack_area")
    side = math.sqrt(area) if told else 0.0
    view = View(min(150 / max(side, 8.0), 320 / (side + 6.0)), LEFT, 0.0)
    sheet = Sheet()
    if side:
        outline = [view.at(0, 0), view.at(side, 0), view.at(side, side), view.at(0, side)]
        sheet.shape("concrete", outline, "stack")
        stones(sheet, outline)
    start = view.x(side) + (26 if side else 0)
    one = (start, 0.0)
    sheet.rect("void", one, (start + 4 * view.scale, -8 * view.scale), "sheet")
    if side:
        length = words.write(side, "ft")
        across(sheet, view.x(0), view.x(side), ROW, 0.0)
        said = words.text(f"a square of {length} each way", f"un cuadro de {length} por lado")
        remarks(sheet, [said], ROW)
    sheet_said = words.text("beside it, a 4 x 8 ft sheet", "al lado, una hoja de 4 x 8 ft")
    remarks(sheet, [sheet_said, words.say("stack_area"), words.say("weight"), words.say("trips")], ROW)
    caution = words.text(
        "A qualified person says what this roof carries.",
        "Una persona calificada dice cuánto aguanta el techo.",
    )
    remarks(sheet, [caution], sheet.bottom)
    sizes = words.list("stack_area", "weight", "trips", "allowed_load")
    return sheet, words.text(
        f"The roof that a stack of debris needs, seen from above as a square beside a 4 x 8 ft sheet, to scale: {sizes}.",
        f"El techo que necesita el escombro apilado, visto de arriba como un cuadro junto a una hoja de 4 x 8 ft, a "
        f"escala: {sizes}.",
    )


FIGURES = (
    Figure("bucket.fill", "concrete.buckets", Text(en="Bucket", es="Cubeta"), make_bucket),
    Figure("debris.stack", "roof.debris", Text(en="Debris stack", es="Escombro apilado"), make_stack),
)
