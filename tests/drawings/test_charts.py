"""Charts: what stands where, measured on the SVG; safe, named, and silent about nothing."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from trainer.drawings.charts import MARGIN, WIDTH, Column, Row, columns, rows

ELEMENTS = {"svg", "path", "rect", "circle", "text"}
ATTRIBUTES = {
    *(
        "class",
        "role",
        "aria-label",
        "viewBox",
        "fill",
        "stroke",
        "stroke-dasharray",
        "d",
        "x",
        "y",
        "width",
        "height",
    ),
    *("cx", "cy", "r", "font-size", "text-anchor"),
}
LINES = [
    Row("Slab volume", "25 %", bar=0.25),
    Row('A <b>bold</b> & "quoted" name that goes on much too long to fit', "100 %", bar=1.0),
    Row("Crew", "50 %", marks=(0.0, 0.5, 1.0)),
]


def read(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


@pytest.mark.parametrize(
    "svg",
    [
        rows("Skills & more", LINES, ((0.0, "0 %"), (1.0, "100 %"))),
        columns("Weeks", [Column("2 Nov 2026", 4, 3.5)]),
    ],
)
def test_plain_shapes_with_a_name_inside_the_frame(svg):
    root = read(svg)
    assert root.get("role") == "img" and root.get("aria-label") in ("Skills & more", "Weeks")
    _, _, width, height = map(float, root.get("viewBox").split())
    for part in root.iter():
        assert part.tag in ELEMENTS and set(part.attrib) <= ATTRIBUTES
        for across, down in (("x", "y"), ("cx", "cy")):
            if part.get(across):
                assert 0 <= float(part.get(across)) <= width and 0 <= float(part.get(down)) <= height


def test_bars_and_dots_stand_where_their_share_says():
    root = read(rows("n", LINES))
    scale = WIDTH - 2 * MARGIN
    bars = [float(one.get("width")) for one in root.iter("rect")]
    assert bars == [pytest.approx(0.25 * scale), pytest.approx(scale)]
    dots = [float(one.get("cx")) for one in root.iter("circle")]
    assert dots == [pytest.approx(MARGIN), pytest.approx(MARGIN + scale / 2), pytest.approx(MARGIN + scale)]
    said = [one.text for one in root.iter("text")]
    assert "Slab volume" in said and "25 %" in said
    assert next(one for one in said if one.startswith("A <b>")).endswith("…")


def test_a_column_is_as_tall_as_its_answers_and_filled_as_far_as_they_were_right():
    weeks = [Column("2 Nov", 8, 6.0), Column("9 Nov", 0, 0.0), Column("16 Nov", 4, 1.0)]
    shapes = [(one.get("class"), float(one.get("height"))) for one in read(columns("w", weeks)).iter("rect")]
    tallest = max(height for _kind, height in shapes)
    assert shapes == [
        ("whole", pytest.approx(tallest)),
        ("part", pytest.approx(tallest * 6 / 8)),
        ("whole", pytest.approx(tallest * 4 / 8)),
        ("part", pytest.approx(tallest * 1 / 8)),
    ]
    assert [one.text for one in read(columns("w", weeks)).iter("text")][:1] == ["8"]


def test_no_weeks_and_no_rows_draw_nothing_but_the_frame():
    assert list(read(columns("w", [])).iter("rect")) == list(read(rows("n", [])).iter("rect")) == []
