"""A sign-off with photographs on a phone, in a real browser: nothing is lost on the way, and the pictures show."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image

from tests.browser.conftest import PASSWORD

MEASURES = {"overhang": "2 1/8 in", "edge_thickness": "4 in", "diagonal_difference": "1/16 in"}


def photograph(path: Path, colour: str, kind: str = "JPEG") -> Path:
    """A picture as a phone takes it: large, held upright, with the place in it."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825).update({1: "N", 2: (44.0, 28.0, 31.0)})
    out = BytesIO()
    Image.new("RGB", (2400, 1800), colour).save(out, kind, exif=exif)
    path.write_bytes(out.getvalue())
    return path


def width_kept(page: Any) -> None:
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert over <= 0, f"{page.url} is {over} px too wide"


def shown(page: Any) -> list[tuple[int, int]]:
    """The natural size of every photograph on the page, once it has come."""
    page.wait_for_function("() => [...document.querySelectorAll('.photos img')].every(i => i.complete)")
    return [
        tuple(size)
        for size in page.eval_on_selector_all(
            ".photos img", "all => all.map(i => [i.naturalWidth, i.naturalHeight])"
        )
    ]


def test_a_sign_off_with_photographs_on_a_phone(site: Any, open_page: Any, tmp_path: Path) -> None:
    page = open_page(390)
    page.set_default_timeout(60_000)
    page.goto(site.address + "/sign-in")
    page.get_by_label("Sign-in name").fill("tom")
    page.locator("input[type=password]").fill(PASSWORD)
    page.locator("input[type=password]").press("Enter")
    page.wait_for_url(lambda url: "/sign-in" not in url)
    page.goto(f"{site.address}/sign-offs/{site.people['luis'].id}/build-form")
    width_kept(page)

    # One photograph before anything else: only it is kept.
    first, second = (
        photograph(tmp_path / "first.jpg", "red"),
        photograph(tmp_path / "second.png", "blue", "PNG"),
    )
    page.locator("input[type=file]").set_input_files(first)
    with page.expect_navigation():
        page.get_by_role("button", name="Keep these photographs and go on").click()
    assert page.locator(".summary").count() == 0
    assert shown(page) == [(240, 320)], "upright, and small"
    width_kept(page)

    # A second one with the form; the outcome is forgotten, so the form comes back with both.
    for box in page.locator("input[name^=criterion-]").all():
        box.check()
    for name, typed in MEASURES.items():
        page.locator(f"[name=measure-{name}]").fill(typed)
    page.locator("#notes").fill("Square at once.")
    page.locator("input[type=file]").set_input_files(second)
    with page.expect_navigation():
        page.locator("[name=measure-overhang]").press("Enter")  # as a phone's keyboard sends a form
    assert "Choose one." in page.locator(".summary").inner_text()
    assert len(shown(page)) == 2 and page.locator("#notes").input_value() == "Square at once."

    # Read back with the photographs, then stored with them.
    page.locator("input[name=outcome][value=passed]").check()
    with page.expect_navigation():
        page.get_by_role("button", name="Read it back to me").click()
    assert "Not stored yet." in page.locator("main").inner_text() and len(shown(page)) == 2
    width_kept(page)
    with page.expect_navigation():
        page.get_by_role("button", name="Yes, record it").click()
    assert "The sign-off is on record." in page.locator("main").inner_text()
    assert shown(page) == [(240, 320)] * 2
    width_kept(page)
    for link in page.locator(".photos a").all():
        box = link.bounding_box()
        assert box["width"] >= 48 and box["height"] >= 48

    # The picture opened by itself: whole, upright, and without the place.
    address = site.address + page.locator(".photos a").first.get_attribute("href")
    answer = page.request.get(address)
    assert answer.headers["content-type"] == "image/jpeg" and b"Exif" not in answer.body()
    with Image.open(BytesIO(answer.body())) as opened:
        assert opened.size == (1200, 1600)
    other = open_page(390)
    assert "/sign-in" in other.request.get(address).url, "nobody else gets it"
