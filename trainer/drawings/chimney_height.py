"""chimney.height: the roof's profile and the chimney, with the two heights that the rule asks for.

How high the chimney must be and which rule governs are answers: while either is held back, the chimney's top is
broken off above both.
"""

from __future__ import annotations

from typing import Final

from trainer.calc import chimney
from trainer.calc.working import shown
from trainer.drawings.dimensions import ROW, Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line
from trainer.drawings.masonry import COURSE
from trainer.drawings.sheet import Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

# The rule's own figures [ft]; they are written on the drawing whatever is held back.
NEARBY: Final = float(chimney.NEARBY)
ABOVE_NEARBY, ABOVE_ROOF = float(chimney.ABOVE_NEARBY) / 12, float(chimney.ABOVE_ROOF) / 12
CHIMNEY: Final = 2.0  # ft, as drawn
BEHIND: Final = 2.6  # ft of roof seen below the chimney
COLUMN, LEFT = 246.0, 14.0


def make(words: Words) -> tuple[Sheet, str]:
    pitch, ridge = words.number("pitch") / 12, words.number("ridge_distance")
    reach, height = words.number("reach"), words.number("height_above_penetration") / 12
    told = words.may_say("height_above_penetration") and words.may_say("governs")
    end = max(NEARBY, min(ridge, NEARBY + 3)) + 1.2
    peak = pitch * min(ridge, end)
    low = min(-pitch * BEHIND, pitch * (2 * min(ridge, end) - end)) - CHIMNEY * pitch
    high = max(height, ABOVE_ROOF, peak + 0.4) + (0.0 if told else 1.2)
    scale = min(214 / (end + BEHIND + CHIMNEY), 240 / (high - low))
    view = View(scale, LEFT + scale * (BEHIND + CHIMNEY), 0.0)
    sheet = Sheet()
    _chimney(sheet, view, pitch, height if told else max(height, ABOVE_ROOF) + 1.0, told)
    _roof(sheet, view, pitch, ridge, end)
    notes = _heights(sheet, view, words, pitch * reach, told)
    foot = _distances(sheet, view, words, (pitch * reach, low))
    notes.sort(key=lambda note: note.target[1])
    foot = max(foot, column(sheet, notes, COLUMN, view.y(high) - 16))
    said = [
        words.roof_rise("pitch"),
        *words.given("roof_at_chimney"),
        _height(words),
        _governs(words),
        words.say("top_height"),
    ]
    foot = remarks(sheet, said, foot + 2)
    remarks(sheet, [words.text("The adopted code governs.", "Manda el código local.")], foot)
    return sheet, _describe(words)


def _height(words: Words) -> str:
    """In feet, as the rule is."""
    name = "height_above_penetration"
    return f"{words.name(name)} {words.write(words.number(name) / 12, 'ft') if words.may_say(name) else '?'}"


def _governs(words: Words) -> str:
    rule = "?"
    if words.may_say("governs"):
        rule = shown(words.values["governs"], chimney.height.quantities["governs"], words.language)
    return words.text("rule that governs ", "regla que manda ") + rule


def _chimney(sheet: Sheet, view: View, pitch: float, height: float, told: bool) -> None:
    """The chimney from the roof up, its uphill face at 0, with its courses; the top broken off when not `told`."""
    foot = -CHIMNEY * pitch
    corners = [view.at(0, 0), view.at(0, height), view.at(-CHIMNEY, height), view.at(-CHIMNEY, foot)]
    sheet.shape("brick", corners, "chimney" if told else "")
    course = COURSE / 12
    while view.scale * course < 4:
        course *= 2
    rows = int((height - foot) / course)
    data = ""
    for row in range(1, rows + 1):
        y = height - row * course
        right = min(0.0, y / pitch) if pitch and y < 0 else 0.0
        if right > -CHIMNEY:
            data += f"M{number(view.x(-CHIMNEY))} {number(view.y(y))}H{number(view.x(right))}"
    if data:
        sheet.path("hatch", data)
    if not told:
        break_line(sheet, view.at(-CHIMNEY, height), view.at(0, height), 5)


def _roof(sheet: Sheet, view: View, pitch: float, ridge: float, end: float) -> None:
    """The slope up to the ridge and down beyond it, as far as it is seen."""
    start = -CHIMNEY - BEHIND
    corners = [view.at(start, pitch * start)]
    if ridge < end:
        corners.append(view.at(ridge, pitch * ridge))
    corners.append(view.at(end, pitch * (ridge - abs(end - ridge))))
    sheet.line("ink", *corners, part="roof", weight=2.2)
    # The deck's thickness, below.
    deck = [(x, y + 5) for x, y in corners]
    sheet.line("fine", *deck)


def _heights(sheet: Sheet, view: View, words: Words, rise: float, told: bool) -> list[Note]:
    """3 ft above where the chimney leaves the roof, 2 ft above the roof at the end of the reach."""
    reach = words.number("reach")
    three, two = view.x(0) + 12, view.x(reach) + 12
    level = rise + ABOVE_NEARBY
    upright(sheet, view.y(ABOVE_ROOF), view.y(0), three, (view.x(0), None))
    upright(sheet, view.y(level), view.y(rise), two, (None, view.x(reach)))
    if told:
        y = view.y(words.number("height_above_penetration") / 12)
        sheet.line(
            "accent", (view.x(-CHIMNEY) - 6, y), (max(two, three) + 8, y), part="top", dash="6 3", weight=1.6
        )
    return [
        Note(
            (three, view.y(ABOVE_ROOF * 0.55)),
            words.text(f"{ABOVE_ROOF:g} ft above the roof here", f"{ABOVE_ROOF:g} ft sobre el techo aquí"),
            False,
        ),
        Note(
            (two, view.y(rise + 1)),
            words.text(f"{ABOVE_NEARBY:g} ft above this point", f"{ABOVE_NEARBY:g} ft sobre este punto"),
            False,
        ),
    ]


def _distances(sheet: Sheet, view: View, words: Words, levels: tuple[float, float]) -> float:
    """The level distance to the point that counts, below everything; returns the page height below."""
    rise, low = levels
    reach, ridge = words.number("reach"), words.number("ridge_distance")
    line = view.y(low) + ROW
    starts = (view.y(0), view.y(rise))
    if reach:
        if ridge >= NEARBY:
            said = words.text(f"{NEARBY:g} ft, level", f"{NEARBY:g} ft, a nivel")
        else:
            said = words.say("ridge_distance")
        across(sheet, view.x(0), view.x(reach), line, starts, said, below=True)
    return (
        remarks(sheet, [words.say("ridge_distance")], line + 22)
        if ridge >= NEARBY or not reach
        else line + 20
    )


def _describe(words: Words) -> str:
    sizes = words.roof_rise("pitch").replace("?", words.unsaid) + "; "
    sizes += words.list("ridge_distance", "top_height")
    governs = f"{_height(words)}; {_governs(words)}".replace("?", words.unsaid)
    return words.text(
        f"A chimney on a sloping roof seen from the side, to scale. It has to stand {ABOVE_ROOF:g} ft above the roof "
        f"where it passes through, and {ABOVE_NEARBY:g} ft above any part of the building within {NEARBY:g} ft: {sizes}; {governs}.",
        f"Una chimenea en un techo inclinado vista de lado, a escala. Debe quedar {ABOVE_ROOF:g} ft sobre el "
        f"techo donde lo atraviesa y {ABOVE_NEARBY:g} ft sobre toda parte del edificio a menos de {NEARBY:g} ft: {sizes}; {governs}.",
    )


FIGURES = (
    Figure("chimney.height", "chimney.height", Text(en="Chimney height", es="Altura de la chimenea"), make),
)
