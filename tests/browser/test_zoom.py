"""Nothing is cut off and nothing scrolls sideways when the page is enlarged.

Twice as large on a screen 1280 px wide leaves 640 CSS px (WCAG 2.2, 1.4.4); four times as large leaves 320 (1.4.10, whose
figure that is). The normal run opens one page of each kind for a new hire; `-m sweep` every role in both languages.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.browser.access import crawl, enter, misfits

SIZES = ((320, 256), (640, 422))  # 1280 x 1024 at 400 %, 1280 x 844 at 200 %


def look(browser: Any, demo: str, who: str, language: str, most: int) -> tuple[int, list[str]]:
    """(pages looked at, what does not fit on them, each with its page)"""
    page = enter(browser, demo, who, language)
    found, pages = [], 0
    for path in crawl(page, demo, "/", most):
        pages += 1
        for size in SIZES:
            found += [f"{who} {language} {path}  {one}" for one in misfits(page, *size)]
    page.context.close()
    return pages, found


def test_enlarged_pages_of_a_new_hire_fit(browser: Any, demo: str) -> None:
    pages, found = look(browser, demo, "ana", "es", 1)
    assert pages >= 15 and not found, "\n".join(found)


def test_enlarged_pages_for_nobody_fit(browser: Any, demo: str) -> None:
    page = browser.new_context(service_workers="block").new_page()
    for path in ("/sign-in", "/first-sign-in", "/no-signal", "/nothing-here"):
        page.goto(demo + path)
        assert [one for size in SIZES for one in misfits(page, *size)] == [], path
    page.context.close()


@pytest.mark.sweep
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("who", ["nora", "abel", "ana"])
def test_enlarged_pages_fit(browser: Any, demo: str, who: str, language: str) -> None:
    pages, found = look(browser, demo, who, language, 3)
    print(f"\n{who} {language}: {pages} pages")
    assert pages >= 25 and not found, "\n".join(found)


def test_what_does_not_fit_would_be_found(browser: Any, demo: str) -> None:
    page = enter(browser, demo, "ana", "en")
    assert misfits(page, 320, 256) == []
    page.evaluate(
        """() => { const main = document.querySelector("main"), box = (text) => {
             const made = document.createElement("p"); made.textContent = text; main.append(made); return made.style; };
           Object.assign(box("wide"), {width: "400px"});
           Object.assign(box("away"), {position: "relative", left: "-900px"});
           Object.assign(box("Unbrokenunbrokenunbroken"), {width: "60px", overflowWrap: "normal"}); }"""
    )
    told = "\n".join(misfits(page, 320, 256))
    assert (
        "wider than the window" in told and 'outside: p. "away"' in told and 'too wide: p. "Unbroken' in told
    )
    page.context.close()
