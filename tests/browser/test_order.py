"""Steps put in order at 390 px: with the thumb, by keyboard alone, and without scripts."""

from __future__ import annotations

from typing import Any

from tests.shipped import shipped_bank
from trainer.questions import draw

PASSWORD = "brick and mortar"
PATH = "/practice/flue-cut-order/3"


def signed_in(page: Any, address: str) -> Any:
    page.goto(address)
    page.get_by_label("Sign-in name").fill("luis")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.goto(address + PATH)
    return page


def right_order() -> list[str]:
    drawn = draw(shipped_bank().questions["flue-cut-order"], 3)
    return [drawn.body.step(id).letter for id in drawn.body.order]


def letters(page: Any) -> list[str]:
    return [
        box["name"][-1]
        for box in page.locator("ol.order select").evaluate_all("all => all.map(one => ({name: one.name}))")
    ]


def test_with_the_thumb(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(), site.address)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not page.locator("ol.order select").first.is_visible()
    for button in page.locator(".moves button").all():
        box = button.bounding_box()
        assert box["width"] >= 48 and box["height"] >= 48
    for place, letter in enumerate(right_order()):
        while letters(page)[place] != letter:
            page.locator("ol.order > li").filter(has=page.locator(f"#place_{letter}")).locator(
                "[data-by='-1']"
            ).click()
    page.get_by_role("button", name="Check", exact=True).click()
    assert page.locator(".result-right").count() == 1


def test_by_keyboard(site: Any, open_page: Any) -> None:
    """The first step is moved to the end with one button under the focus, and what happened is said."""
    page = signed_in(open_page(), site.address)
    before = letters(page)
    page.locator("ol.order > li").first.locator("[data-by='1']").focus()
    for _ in before[1:-1]:
        page.keyboard.press("Enter")
    assert letters(page) == [*before[1:-1], before[0], before[-1]]
    page.keyboard.press("Space")
    assert letters(page) == [*before[1:], before[0]]
    assert page.locator("[role=status].unseen").inner_text().strip().endswith(str(len(before)))
    # At the end of the list the focus goes to the button that still does something.
    assert page.evaluate("document.activeElement.dataset.by") == "-1"


def test_without_scripts(site: Any, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
    page = signed_in(context.new_page(), site.address)
    for place, letter in enumerate(right_order(), start=1):
        page.select_option(f"#place_{letter}", str(place))
    page.get_by_role("button", name="Check", exact=True).click()
    assert page.locator(".result-right").count() == 1
    context.close()
