"""Find the faults in a real Chromium: a tap on the drawing ticks the box, with room for a finger, without scripts."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest

from tests.shipped import shipped_bank
from trainer.drawings.chimney_top import SHAPES
from trainer.questions import draw

BANK = shipped_bank()
FINGER = 44  # px, WCAG 2.2, 2.5.5 Target Size (Enhanced)


def seed_of(shape):
    """A seed whose chimney has this many flues and this tile."""
    for seed in range(200):
        top = draw(BANK.questions["look-it-over"], seed).body.top
        if (top.flues, top.tile) == shape:
            return seed
    raise AssertionError(f"no chimney of {shape}")


@pytest.mark.parametrize("shape", SHAPES)
def test_a_tap_on_the_drawing_ticks_its_box(site: Any, open_page: Any, shape: tuple[int, float]) -> None:
    page = open_page(340)
    page.goto(f"{site.address}")
    page.get_by_label("Sign-in name").fill("luis")
    page.get_by_label("Password").fill("brick and mortar")
    page.get_by_role("button", name="Sign in").click()
    page.goto(f"{site.address}/practice/look-it-over/{seed_of(shape)}")
    taps = page.locator("svg.taps label")
    boxes = [taps.nth(place).bounding_box() for place in range(taps.count())]
    assert len(boxes) == 9
    middles = [(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2) for box in boxes]
    assert all(min(box["width"], box["height"]) >= FINGER - 0.5 for box in boxes)
    for (ax, ay), (bx, by) in combinations(middles, 2):
        assert ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5 >= FINGER - 0.5
    for place in range(taps.count()):
        box = page.locator(f"#answer-{place}")
        for ticked in (True, False, True):
            taps.nth(place).click()
            assert box.is_checked() is ticked
        ring = taps.nth(place).evaluate("each => getComputedStyle(each).borderTopColor")
        assert ring != "rgba(0, 0, 0, 0)"
    # By keyboard alone.
    page.locator("#answer-0").focus()
    page.keyboard.press("Space")
    assert not page.locator("#answer-0").is_checked()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
