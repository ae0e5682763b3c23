"""The pad for feet, inches and sixteenths at 390 px: with the thumb, by keyboard alone, without scripts, in Spanish.

What it says of a typed length is held against trainer.calc.notation, which reads it on the server.
"""

from __future__ import annotations

import itertools
import random
from fractions import Fraction
from typing import Any

import pytest

from trainer.calc.notation import read
from trainer.calc.writing import write
from trainer.errors import Unreadable

PASSWORD = "brick and mortar"
SLAB = "/practice/crown-slab-length/5"  # its answer is 54 1/2 in (tests/web/test_practice.py)
THUMB = 48

TYPED = [
    "3 ft 6 1/2 in", "3ft6in", "3' 6 1/2\"", "3'-6\"", "3’ 6½”", "3 ft, 6 in", "3 pies 6 1/2 pulg", "44 1/2", "44-1/2 in",
    "44.5", "3.3", "3.30 ft", ".5 in", "0", "0 in", "17/16", "1/3 ft", "2/4 in", "1234 in", "12 feet", "3 ft 0 1/2 in",
    "0 ft 6 in", "007 in", "3 FT 6 IN", "  3 ft  ", "5''", "5 inches", "8 pulgadas", "0.0625", "0.000001 ft", "6 ft 11 15/16 in",
]  # fmt: skip
NOT_SAID = [
    "", "abc", "3 ft 12 in", "3 ft 6", "3 1/2 ft 6 in", "4 5/4", "4 - 1/2", "1/0", "0/0", "3 ft 14 1/2 in", "-3 in", "3,5 in",
    "3.5 1/2 in", "12 3", "3 in 6 ft", "1_000 in", "３ in", "9" * 61, "3. in", "\ufeff3 in", "0pies.25pulg",
]  # fmt: skip


def signed_in(page: Any, address: str, path: str = SLAB, sign_in: str = "luis") -> Any:
    page.goto(address)
    page.get_by_label("Sign-in name").fill(sign_in)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.goto(address + path)
    return page


def touched(browser: Any, **given: Any) -> Any:
    """A context as a phone has it, and its page."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, **given
    )
    return context, context.new_page()


def said(page: Any, typed: list[str], unit: str) -> list[str]:
    """What the echo says of each text typed into the answer field."""
    return page.evaluate(
        """([typed, unit]) => {
          const field = document.querySelector("input.answer"), echo = document.querySelector(".pad-echo");
          field.dataset.unit = unit;
          return typed.map((text) => {
            field.value = text;
            field.dispatchEvent(new Event("input", {bubbles: true}));
            const shown = echo.querySelector("strong").textContent;
            if (echo.classList.contains("pad-silent") !== (shown === "")) throw new Error(text);
            return shown;
          });
        }""",
        [typed, unit],
    )


def server(text: str, unit: str) -> str:
    try:
        return read(text, unit).shown()
    except Unreadable:
        return ""


def random_lengths(count: int) -> list[str]:
    """Texts put together of what lengths are made of; most of them no length at all."""
    pieces = ["3", "6", "11", "12", "0", "1/2", "15/16", "4/3", "2.5", ".25", "1,234", " ", " ", "-", ",", "ft", "'", '"', "''", "in", "½",
              "feet", "pies", "pulg", "inch", "foot", ".", "x", "mm", "and"]  # fmt: skip
    drawn = random.Random(9)
    return ["".join(drawn.choices(pieces, k=drawn.randint(1, 7))) for _ in range(count)]


def test_the_echo_says_what_the_server_reads(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(), site.address)
    for unit in ("in", "ft"):
        assert said(page, TYPED, unit) == [server(text, unit) for text in TYPED]
        assert said(page, NOT_SAID, unit) == [""] * len(NOT_SAID)
        texts = random_lengths(12_000)
        wrong = [
            (text, shown, server(text, unit))
            for text, shown in zip(texts, said(page, texts, unit), strict=True)
            if shown and shown != server(text, unit)
        ]
        spoken = sum(bool(server(text, unit)) for text in texts)
        assert not wrong and spoken > 500
    # Both languages write a length of the tape alike, so one echo serves both.
    assert [server(text, "in") for text in TYPED] == [read(text, "in").shown("es") for text in TYPED]


def test_every_sixteenth_up_to_ten_feet_is_said(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(), site.address)
    texts = [write(Fraction(parts, 16), "in") for parts in range(10 * 12 * 16)]
    assert said(page, texts, "in") == [read(text, "in").shown() for text in texts]


def taps(page: Any, *names: str) -> None:
    for name in names:
        # Forced, as a thumb does not wait for a key that takes nothing now.
        page.locator(".pad").get_by_role("button", name=name, exact=True).tap(force=True)


def held(page: Any) -> tuple[str, str]:
    return page.locator("input.answer").input_value(), page.locator(".pad-echo strong").inner_text()


def test_with_a_gloved_thumb(site: Any, browser: Any) -> None:
    context, page = touched(browser)
    signed_in(page, site.address)
    assert not page.locator(".pad").is_visible()
    page.get_by_role("button", name="Feet and inches: Your answer").tap()
    assert page.locator("input.answer").input_value() == ""  # opening it writes nothing
    for part in page.locator(".pad-parts button").all():
        part.tap()
        boxes = [box.bounding_box() for box in page.locator(".pad button:visible").all()]
        assert len(boxes) >= 16
        for box in boxes:
            assert box["width"] >= THUMB and box["height"] >= THUMB
        for one, other in itertools.combinations(boxes, 2):
            across = max(one["x"], other["x"]) - min(one["x"] + one["width"], other["x"] + other["width"])
            down = max(one["y"], other["y"]) - min(one["y"] + one["height"], other["y"] + other["height"])
            assert max(across, down) >= 7.5, "keys too near to one another"
    assert page.locator("input.answer").input_value() == ""  # nor does choosing a part
    assert page.evaluate("document.documentElement.scrollWidth") <= 390

    height = page.locator(".pad").bounding_box()["height"]
    page.locator("[data-part=feet]").tap()
    taps(page, "4")
    assert held(page) == ("4 ft", "4 ft")
    page.locator("[data-part=inches]").tap()
    taps(page, "1", "7")  # beside feet there is no 17 in: the 7 is not taken
    assert held(page) == ("4 ft 1 in", "4 ft 1 in")
    taps(page, "Take back", "6")
    page.locator("[data-part=sixteenths]").tap()
    taps(page, "1/2")
    assert held(page) == ("4 ft 6 1/2 in", "4 ft 6 1/2 in")
    assert page.locator(".pad").bounding_box()["height"] == height  # nothing jumps under the thumb
    taps(page, "Done")
    assert not page.locator(".pad").is_visible()
    page.get_by_role("button", name="Check", exact=True).tap()
    page.locator(".result-right").wait_for()
    context.close()


def test_what_stands_in_the_field_is_gone_on_with(site: Any, browser: Any) -> None:
    context, page = touched(browser)
    signed_in(page, site.address)
    field, opener = page.locator("input.answer"), page.locator(".pad-open")
    for typed, parts in {
        "3' 6 1/2\"": ["3", "6", "1/2"],
        "54 3/8 in": ["–", "54", "3/8"],
        "2.5 ft": ["2", "6", "–"],
        "115 mm": ["–", "–", "–"],
    }.items():
        field.fill(typed)
        opener.tap()
        assert page.locator(".pad-parts b").all_inner_texts() == parts
        taps(page, "Done")
        assert field.input_value() == typed  # opened and closed, it is as it was typed
    field.fill("54 3/8 in")
    opener.tap()
    page.locator("[data-part=sixteenths]").tap()
    taps(page, "13/16")
    assert held(page) == ("54 13/16 in", "54 13/16 in")
    page.locator("[data-part=feet]").tap()
    taps(page, "5")  # beside 54 in there are no feet
    assert held(page)[0] == "54 13/16 in"
    assert page.locator(".pad-note").is_visible()
    taps(page, "Clear all", "5")
    assert held(page) == ("5 ft", "5 ft")
    context.close()


def test_by_keyboard_alone(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(), site.address)
    page.locator("input.answer").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.locator(".pad").is_visible()

    def reach(name: str) -> None:
        """Tab until the focus is on the key."""
        for _ in range(30):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.textContent.trim()") == name:
                return
        raise AssertionError(f"no way to {name}")

    reach("5")
    page.keyboard.press("Enter")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Space")
    assert held(page) == ("54 in", "54 in")
    page.keyboard.press("Escape")
    assert not page.locator(".pad").is_visible()
    assert page.evaluate("document.activeElement.className").endswith("pad-open")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    reach("1/2")
    page.keyboard.press("Enter")
    assert held(page) == ("54 1/2 in", "54 1/2 in")
    page.keyboard.press("Escape")
    page.locator("input.answer").press("Enter")
    assert page.locator(".result-right").count() == 1


def test_without_scripts_the_plain_field_works(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(scripts=False), site.address)
    assert not page.locator(".pad, .pad-open, .pad-echo").count()
    assert "Feet and inches" not in page.locator("main").inner_text()
    page.locator("input.answer").fill("54 1/2")
    page.get_by_role("button", name="Check", exact=True).click()
    assert page.locator(".result-right").count() == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_in_spanish_on_a_practical_task(site: Any, browser: Any, scheme: str) -> None:
    """Each measure of the tape has a pad of its own; the others have none. The pressed part differs in more than colour."""
    context, page = touched(browser, color_scheme=scheme)
    signed_in(page, site.address, f"/sign-offs/{site.people['luis'].id}/build-form", "tom")
    page.get_by_role("button", name="Español").tap()
    page.locator("html[lang=es] .pad-open").first.wait_for()
    fields = page.locator("input[data-unit]")
    tape = page.locator("input:is([data-unit=in], [data-unit=ft])")
    assert fields.count() >= tape.count() == page.locator(".pad-open").count() >= 2
    opener = page.locator(".pad-open").nth(1)
    assert opener.inner_text() == "Pies y pulgadas"
    opener.tap()
    pad = page.locator(".pad:visible")
    assert pad.count() == 1
    shown = pad.inner_text()
    assert "pies" in shown and "pulgadas" in shown and "Listo" in shown
    pad.locator("[data-part=inches]").tap()
    pad.get_by_role("button", name="7", exact=True).tap()
    assert [field.input_value() for field in tape.all()][:2] == ["", "7 in"]
    borders = pad.locator(".pad-parts button").evaluate_all(
        "all => all.map(one => getComputedStyle(one).borderTopWidth)"
    )
    assert sorted(borders) == ["1px", "1px", "3px"]
    context.close()
