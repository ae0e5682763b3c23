"""Lettering on a 360 px wide page: large enough, inside the drawing, and no two labels on each other.

Text boxes are estimated with 0.6 em for every character, wider than common sans-serif faces run on average.
"""

from __future__ import annotations

import re

import pytest

from tests.drawings.cases import extremes
from trainer import drawings

EM = 0.6
# What is shown while the rest is hidden; a calculation's own inputs where nothing else is named.
SHOWN = {
    "crown.plan": {"chimney_length", "chimney_width", "overhang"},
    "crown.section": {"chimney_length", "flue_thickness"},
    "rebar.plan": {"slab_length", "slab_width", "cover", "max_spacing", "bar"},
    "flue.section": {"flue_above_wall", "flue_thickness"},
    "roof.triangle": {"rise"},
    "ladder.side": {"support_height"},
}


def text_box(each, size):
    x, y, text = float(each.get("x")), float(each.get("y")), each.text
    width = EM * size * len(text)
    start = {None: 0.0, "middle": -width / 2, "end": -width}[each.get("text-anchor")]
    if each.get("transform"):
        assert re.fullmatch(
            rf"rotate\(-90 {re.escape(each.get('x'))} {re.escape(each.get('y'))}\)", each.get("transform")
        )
        return x - 0.8 * size, y - start - width, x + 0.25 * size, y - start
    return x + start, y - 0.8 * size, x + start + width, y + 0.25 * size


def sizes(root):
    """Each text with its lettering size, which stands on its group."""
    for group in root:
        for each in group:
            if each.tag.endswith("text"):
                yield each, float(each.get("font-size") or group.get("font-size"))


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("figure", sorted(drawings.FIGURES))
@pytest.mark.parametrize("hiding", [False, True])
def test_labels_stand_free(figure, language, hiding, evaluations, read):
    for name, evaluation in (evaluations[figure] | extremes(figure)).items():
        shown = SHOWN.get(figure, set(evaluation.inputs)) if hiding else None
        root = read(figure, evaluation, language, shown).root
        left, top, width, height = (float(each) for each in root.get("viewBox").split())
        assert width == 360
        boxes = []
        for each, size in sizes(root):
            assert size >= 11.5
            box = text_box(each, size)
            where = f"{name}: {each.text!r}"
            assert box[0] >= left, where
            assert box[2] <= left + width, where
            assert box[1] >= top and box[3] <= top + height, where
            for other, their in boxes:
                apart = box[0] >= their[2] or their[0] >= box[2] or box[1] >= their[3] or their[1] >= box[3]
                assert apart, f"{name}: {each.text!r} on {other!r}"
            boxes.append((each.text, box))
        assert boxes or hiding
