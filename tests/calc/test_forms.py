"""form.boards against lumber sizes, a published board measure and boards drawn with shapely."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc.forms import BOARDS
from trainer.errors import Refusal


def boards(**inputs):
    return calc.evaluate("form.boards", inputs).results


def test_dressed_sizes():
    # American Softwood Lumber Standard PS 20, from memory: 2x4 is 1 1/2 x 3 1/2 in, 2x6 is 1 1/2 x 5 1/2 in.
    assert BOARDS["2x4"][:2] == (1.5, 3.5)
    assert BOARDS["2x6"][:2] == (1.5, 5.5)


def test_board_measure():
    # US Army carpentry course: pieces x thickness x width x length in feet over 12; 14 pieces 1 x 4 in x 8 ft are
    # 37 1/3 board feet. The same rule on 2x4: 2 x 4 x 12 ft over 12 is 8.
    made = boards(slab_length=60.0, slab_width=9.0)
    assert made["total_length"] == 12.0
    assert made["board_feet"] == pytest.approx(8.0)
    assert pytest.approx(37 + 1 / 3) == 14 * 1 * 4 * 8 / 12


def test_three_four_five():
    # The 3-4-5 rule for a square corner (common practice): 36 x 48 in has a diagonal of 60 in.
    assert boards(slab_length=48.0, slab_width=36.0)["diagonal"] == 60.0


@settings(max_examples=200, deadline=None)
@given(st.floats(8, 264), st.floats(8, 264), st.sampled_from(sorted(BOARDS)))
def test_boards_drawn_round_the_slab(length, width, board):
    made = boards(slab_length=length, slab_width=width, board=board)
    slab = shapely.box(0, 0, length, width)
    thick = 1.5
    ring = slab.buffer(thick, join_style="mitre").difference(slab)
    long_sides = [
        shapely.box(0, -thick, made["long_boards"], 0),
        shapely.box(0, width, made["long_boards"], width + thick),
    ]
    short_sides = [shapely.box(x, -thick, x + thick, made["short_boards"] - thick) for x in (-thick, length)]
    assert shapely.union_all([*long_sides, *short_sides]).symmetric_difference(ring).area < 1e-6
    assert made["total_length"] * 12 * thick == pytest.approx(ring.area)
    assert made["diagonal"] == pytest.approx(shapely.LineString([(0, 0), (length, width)]).length)


def test_typed_with_spaces_and_refused():
    assert calc.read_inputs("form.boards", {"board": "2 x 6"}) == {"board": "2x6"}
    with pytest.raises(Refusal, match=r"board .* cannot be '2x8'; give one of 2x4, 2x6"):
        boards(slab_length=40.0, slab_width=30.0, board="2x8")
