"""A picture for the demo, drawn here in place of a photograph: a tied mat in its form, seen from above."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Final

from PIL import Image, ImageDraw, ImageFilter

from trainer.records import files
from trainer.records.cleaning import clean_photo

if TYPE_CHECKING:
    from trainer.cli.demo_shop import Demo

WIDE: Final = 1200  # pixels
HIGH: Final = 900
DECK, BOARD, STEEL, TIE, TILE, SOOT = "#8d8a80", "#b98d55", "#5b5650", "#2f2d2a", "#b5714f", "#2a2623"


def mat_in_form() -> bytes:
    """A PNG, larger than life is neat: bars a little off, one side too near the board."""
    chance = random.Random(1926)
    picture = Image.effect_noise((WIDE, HIGH), 18).convert("RGB")
    picture = Image.blend(picture, Image.new("RGB", (WIDE, HIGH), DECK), 0.75)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((90, 90, WIDE - 90, HIGH - 90), outline=BOARD, width=46)
    pen.rectangle((440, 300, 760, 600), fill=TILE)
    pen.rectangle((480, 340, 720, 560), fill=SOOT)
    across = [190 + step * 108 + chance.randrange(-6, 7) for step in range(8)]
    along = [150, *(290 + step * 120 + chance.randrange(-6, 7) for step in range(4)), HIGH - 180]
    # Bars stop short of the flue: the crown has to move round it.
    for x in across:
        for top, bottom in [(140, 280), (620, HIGH - 145)] if 420 < x < 780 else [(140, HIGH - 145)]:
            pen.line((x, top, x + chance.randrange(-4, 5), bottom), fill=STEEL, width=13)
    for y in along:
        for left, right in [(150, 420), (780, WIDE - 150)] if 280 < y < 620 else [(150, WIDE - 150)]:
            pen.line((left, y, right, y + chance.randrange(-4, 5)), fill=STEEL, width=13)
    for x in across:
        for y in along:
            if not (420 < x < 780 and 280 < y < 620):
                pen.ellipse((x - 9, y - 9, x + 9, y + 9), fill=TIE)
    out = BytesIO()
    picture.filter(ImageFilter.GaussianBlur(1.2)).save(out, "PNG")
    return out.getvalue()


def keep(demo: Demo, who: str, when: datetime, token: str, pictures: Sequence[bytes]) -> list[str]:
    """Keep pictures that the trainer sent of someone's work; the references to them."""
    cleaned = [clean_photo(picture) for picture in pictures]
    trainer, person_id = demo.actors["abel"], demo.actors[who].id
    with demo.store.write() as session:
        return [
            files.keep(session, trainer, when, person_id=person_id, cleaned=one, token=token)
            for one in cleaned
        ]
