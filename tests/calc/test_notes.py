"""What a reader of a number is told beside it: complete in both languages, and true of the number."""

from __future__ import annotations

import math
import re

import pytest
import shapely

from trainer import calc
from trainer.calc import Flue
from trainer.calc.shop_fields import FIELDS
from trainer.languages import Text

DEFAULTS_OF_OUR_OWN = (
    ("crown.bend", "4,000 psi"), ("concrete.strength", "4,000 psi"), ("rebar.lap", "4,000 psi"),
    ("mortar.repoint", "0.6 ft³"), ("flue.weight", "140 lb/ft³"), ("roof.debris", "20 lb/ft²"),
    ("roof.protect", "4 ft"), ("flue.cut", "1/2 in"), ("concrete.bags", "94 lb"),
)  # fmt: skip


def every_text():
    for name in calc.names():
        one = calc.get(name)
        yield from ((name, text) for text in (one.title, one.purpose, *one.notes))
        for each in (*one.inputs, *one.quantities.values()):
            yield f"{name} {each.name}", each.meaning
            yield from ((f"{name} {each.name}", word) for word in each.words.values())
    for field in FIELDS.values():
        yield field.name, field.meaning
        yield from ((field.name, field.said(position)) for position in field.positions)


def figures(text: str) -> list[str]:
    return sorted(re.findall(r"\d+(?:[.,/]\d+)*", text))


def test_both_languages_give_the_same_figures():
    texts = list(every_text())
    assert len(texts) > 500
    for where, text in texts:
        assert text.en.strip() and text.es.strip(), where
        assert figures(text.en) == figures(text.es), (where, text)


@pytest.mark.parametrize(("name", "figure"), DEFAULTS_OF_OUR_OWN)
def test_a_default_without_a_source_is_called_so_where_the_number_is_read(name, figure):
    notes = " ".join(note.en for note in calc.get(name).notes)
    assert figure in notes


def note(name: str, of: str) -> Text:
    (found,) = (note for note in calc.get(name).notes if of in note.en)
    return found


def test_weight_of_a_tile_against_common_practice():
    # Common practice, no source: 60 to 80 lb for a 13 x 13 in tile 24 in long.
    said = note("flue.weight", "60 to 80 lb").en
    tile = lambda size: Flue("rectangular", size, size)  # noqa: E731
    called = calc.evaluate("flue.weight", {"outside": tile(13.0)}).results["weight"]
    measured = calc.evaluate("flue.weight", {"outside": tile(12.75), "wall_thickness": 0.875}).results[
        "weight"
    ]
    outer = shapely.box(0, 0, 12.75, 12.75).buffer(-1.5).buffer(1.5)
    inner = shapely.box(0, 0, 11, 11).buffer(-0.625).buffer(0.625)
    rounded = (outer.area - inner.area) * 24 / 1728 * 140
    for weight in (called, measured, rounded):
        assert f"{weight:.1f} lb" in said
    assert f"{called - 80:.1f} lb over" in said and rounded < 80


def test_batch_against_an_old_table():
    # A carpentry book of about 1910, a cubic foot of 1:2 1/2:5: 0.048 barrel of cement (four bags each), 0.0170 yd³ of
    # sand, 0.0341 yd³ of stone.
    more = []
    for ratio in (0.45, 0.60):
        made = calc.evaluate(
            "concrete.batch", {"volume": 1.0, "parts": (1.0, 2.5, 5.0), "water_cement": ratio, "air": 0.0}
        ).results
        more += [
            0.048 * 4 / (made["cement"] / 94),
            0.0170 / (made["sand"] / 2700),
            0.0341 / (made["stone"] / 2700),
        ]
    least, most = math.floor((min(more) - 1) * 100 + 0.5), math.ceil((max(more) - 1) * 100)
    assert f"{least} to {most} %" in note("concrete.batch", "1910").en


def test_figures_that_the_core_knows():
    assert "11 3/4 in" in note("crown.slab", "10 in ID").en
    read = calc.read_inputs("crown.slab", {"flue": ["10 in ID"]})
    assert read["flue"] == [Flue("round", 11.75, 11.75)]
    # ASTM C1283 8.1: 10 degrees.
    assert f"{math.tan(math.radians(10)) * 12:.3f} in per foot" in note("crown.slab", "C1283").en
    assert (
        f"{calc.evaluate('concrete.strength', {'age': 28.0}).results['fraction']:.3f}"
        in note("concrete.strength", "28").en
    )
    area = calc.evaluate("flue.area", {"nominal": Flue("rectangular", 8.5, 13.0)}).results["area"]
    assert f"{area:g} in²" in note("flue.area", "three areas").en
