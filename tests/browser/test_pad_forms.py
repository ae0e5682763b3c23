"""The pad in forms of many fields, take-off and calculations: a small button beside each length opens it."""

from __future__ import annotations

from typing import Any

from tests.browser.test_pad import THUMB, signed_in, touched


def test_a_take_off_is_typed_with_the_thumb(site: Any, browser: Any) -> None:
    context, page = touched(browser)
    signed_in(page, site.address, "/take-off")
    lengths = page.locator("input:is([data-unit=in], [data-unit=ft])")
    assert lengths.count() == page.locator(".pad-open").count() >= 10
    assert not page.locator("#pitch ~ .pad-open, #flue_1 ~ .pad-open").count()  # no length: no pad
    opener = page.get_by_role("button", name="Feet and inches: Chimney length")
    box, field = opener.bounding_box(), page.locator("#chimney_length").bounding_box()
    assert box["width"] >= THUMB and box["height"] >= THUMB
    assert abs(box["y"] - field["y"]) <= 4 and field["width"] >= 200  # beside it, and room to read

    opener.tap()
    page.locator(".pad:visible [data-part=feet]").tap()
    pad = page.locator(".pad:visible")
    below = page.locator("#chimney_width").bounding_box()["y"]
    pad.get_by_role("button", name="3", exact=True).tap()
    pad.locator("[data-part=inches]").tap()
    pad.get_by_role("button", name="6", exact=True).tap()
    pad.locator("[data-part=sixteenths]").tap()
    pad.get_by_role("button", name="1/2", exact=True).tap()
    assert page.locator("#chimney_length").input_value() == "3 ft 6 1/2 in"
    echo = page.locator(".field:has(#chimney_length) .pad-echo strong")
    assert echo.inner_text() == "3 ft 6 1/2 in"
    assert page.locator("#chimney_width").bounding_box()["y"] == below  # nothing jumps as the reading comes
    pad.get_by_role("button", name="Done").tap()
    page.locator("#chimney_width").fill("24")
    page.get_by_role("button", name="Work it out").tap()
    page.locator("h1", has_text="Job sheet").wait_for()
    assert "46 1/2 in" in page.locator("dl.facts").first.inner_text()  # 42 1/2 in and 2 in on both sides
    context.close()


def test_a_calculation_by_keyboard_alone(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(), site.address, "/calculations/crown.slab")
    field = page.locator("#chimney_length")
    field.fill("")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith(
        "Feet and inches: Chimney length"
    )
    page.keyboard.press("Enter")
    pad = page.locator(".pad:visible")
    for name in ("4", "2"):
        pad.get_by_role("button", name=name, exact=True).press("Enter")
    assert field.input_value() == "42 in"
    page.keyboard.press("Escape")
    assert not pad.is_visible()
    field.press("Enter")
    page.locator("h2", has_text="Results").first.wait_for()
    assert page.locator(".field:has(#chimney_length) .echo:visible").all_inner_texts() == [
        "Read as 42 in"
    ]  # once
    field.fill("43 in")
    assert page.locator(".field:has(#chimney_length) .echo:visible").all_inner_texts() == ["Read as 43 in"]


def test_on_a_wide_screen_the_reading_is_said_and_no_pad_is_offered(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(1280), site.address, "/take-off")
    page.locator("#chimney_length").fill("3' 6 1/2\"")
    assert page.locator(".field:has(#chimney_length) .pad-echo strong").inner_text() == "3 ft 6 1/2 in"
    assert not page.locator(".pad-open:visible").count()
    tops = {page.locator(f"#{name}").bounding_box()["y"] for name in ("chimney_length", "chimney_width")}
    assert len(tops) == 1


def test_without_scripts_the_plain_fields_work(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(scripts=False), site.address, "/take-off")
    assert not page.locator(".pad, .pad-open, .pad-echo").count()
    page.locator("#chimney_length").fill("42 1/2")
    page.locator("#chimney_width").fill("2 ft")
    page.get_by_role("button", name="Work it out").click()
    assert "46 1/2 in" in page.locator("dl.facts").first.inner_text()
