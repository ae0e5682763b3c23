"""The stylesheets: contrast of every pair of tokens that meet, weight, and no colour outside the tokens.

Contrast as WCAG 2.2 defines it (relative luminance; 1.4.3 text 4.5 to 1, 1.4.11 marks and field edges 3 to 1).
"""

from __future__ import annotations

import gzip
import re

import pytest

from trainer.paths import content_dir

CSS = (content_dir("static") / "site.css").read_text("utf-8")
DRAWINGS = (content_dir("static") / "drawings.css").read_text("utf-8")
TEXT_ON = {
    "paper": ("ink", "soft", "accent", "good", "bad", "wait", "held"),
    "sheet": ("ink", "soft", "accent", "good", "bad", "wait", "held"),
    "ground": ("ink",),
    "accent": ("on-accent", "paper"),
    "bad": ("paper",),
    "wait": ("paper",),
    "ink": ("paper",),
    "concrete": ("ink",),
}
MARKS_ON = {
    "paper": ("edge", "accent", "steel"),
    "sheet": ("edge", "accent", "steel"),
    "concrete": ("steel",),
}


def tokens(scheme: str) -> dict[str, str]:
    blocks = re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)
    light = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", blocks[0]))
    dark = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", blocks[1]))
    assert set(light) == set(dark) and len(light) > 12
    return light if scheme == "light" else dark


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_against_published_pairs():
    # Black on white is 21; #767676 is the lightest grey that passes on white (WCAG techniques, G18).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_and_marks_stand_out(scheme):
    held = tokens(scheme)
    weak = [
        f"{front} on {back}: {contrast(held[front], held[back]):.2f}"
        for table, least in ((TEXT_ON, 4.5), (MARKS_ON, 3.0))
        for back, fronts in table.items()
        for front in fronts
        if contrast(held[front], held[back]) < least
    ]
    assert not weak


def test_the_stylesheet_is_light():
    assert len(CSS.encode()) < 16 * 1024 and len(gzip.compress(CSS.encode())) < 5 * 1024
    assert len(DRAWINGS.encode()) < 4 * 1024


def test_colours_are_tokens():
    rules = re.sub(r":root \{.*?\}", "", CSS + DRAWINGS, flags=re.DOTALL)
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", rules)) <= {"#0000"}  # see-through


def test_nothing_is_fetched_from_elsewhere():
    assert "url(" not in CSS + DRAWINGS and "@import" not in CSS + DRAWINGS
