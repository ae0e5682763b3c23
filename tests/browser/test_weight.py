"""The first visit of a lesson: bytes over the wire with its figures, and nothing that moves while it loads.

At most 90 KB, the shop's own figure. Layout shift as in W3C Layout Instability; a phone of 390 px, nothing kept before.
"""

from __future__ import annotations

import re
import urllib.request
from typing import Any

import pytest

from tests.shipped import shipped_lessons

PASSWORD = "brick and mortar"
MOST = 90 * 1024  # bytes, headers included
SHIFTS = """() => new Promise((done) => {
  let moved = 0;
  new PerformanceObserver((list) => { for (const one of list.getEntries()) if (!one.hadRecentInput) moved += one.value; })
    .observe({type: "layout-shift", buffered: true});
  setTimeout(() => done(moved), 1500);
})"""


def heaviest(site: Any, cookie: str) -> str:
    """The lesson whose page is the longest as it is sent."""

    def sent(lesson: str) -> int:
        asked = urllib.request.Request(
            f"{site.address}/lessons/{lesson}", headers={"Accept-Encoding": "br", "Cookie": cookie}
        )
        with urllib.request.urlopen(asked) as answer:
            assert answer.headers["Content-Encoding"] == "br"
            return len(answer.read())

    return max(shipped_lessons().ids, key=sent)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_heaviest_lesson_is_light_and_nothing_moves(site: Any, browser: Any, language: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(site.address + "/sign-in")
    page.get_by_label("Sign-in name").fill("luis")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url(re.compile("/today"))
    if language == "es":
        page.locator("header button[lang=es]").click()
        page.wait_for_load_state()
    cookies = context.cookies()
    lesson = heaviest(site, "; ".join(f"{one['name']}={one['value']}" for one in cookies))
    context.close()

    context = browser.new_context(viewport={"width": 390, "height": 844})  # nothing kept: a first visit
    context.add_cookies(cookies)
    page = context.new_page()
    tools = context.new_cdp_session(page)
    tools.send("Network.enable")
    sizes: list[int] = []
    tools.on("Network.loadingFinished", lambda told: sizes.append(int(told["encodedDataLength"])))
    answer = page.goto(f"{site.address}/lessons/{lesson}", wait_until="networkidle")
    assert answer.status == 200 and page.locator("figure.drawing svg").count() >= 1
    moved = page.evaluate(SHIFTS)
    for _ in range(12):  # read to the end
        page.mouse.wheel(0, 1200)
        page.wait_for_timeout(40)
    moved = max(moved, page.evaluate(SHIFTS))
    print(f"\n{lesson} {language}: {sum(sizes)} bytes in {len(sizes)} answers")
    assert len(sizes) >= 5 and 5_000 < sum(sizes) <= MOST
    assert moved == 0
    context.close()
