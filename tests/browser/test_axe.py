"""axe (axe-core's rules for WCAG 2.2 A and AA) finds nothing on any kind of page of the demo.

Both languages, light and dark, 390 px wide. The normal run opens one page of each kind in each role; `-m sweep` opens all.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.browser.access import crawl, enter, faults

WHO = ("nora", "abel", "ana")  # owner, trainer, new hire


def look(browser: Any, demo: str, who: str, language: str, most: int) -> tuple[int, list[str]]:
    """(pages looked at, what axe finds on them, each with its page)"""
    page = enter(browser, demo, who, language)
    found, pages = [], 0
    for path in crawl(page, demo, "/", most):
        pages += 1
        found += [f"{who} {language} {path}  {one}" for one in faults(page)]
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found.append(f"{who} {language} {path}  {wide} px wider than the phone")
    page.context.close()
    return pages, found


@pytest.mark.parametrize(
    ("who", "language"),
    [
        pytest.param("nora", "en", marks=pytest.mark.sweep),
        pytest.param("abel", "es", marks=pytest.mark.sweep),
        ("ana", "es"),
    ],
)
def test_axe_finds_nothing_on_any_kind_of_page(browser: Any, demo: str, who: str, language: str) -> None:
    pages, found = look(browser, demo, who, language, 1)
    assert pages >= 15 and not found, "\n".join(found)


def test_axe_finds_nothing_on_the_pages_for_nobody(browser: Any, demo: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, service_workers="block")
    page = context.new_page()
    for path in ("/sign-in", "/first-sign-in", "/no-signal", "/nothing-here"):
        page.goto(demo + path)
        assert list(faults(page)) == [], path
    context.close()


def test_axe_would_find_a_fault(browser: Any, demo: str) -> None:
    page = enter(browser, demo, "ana", "es")
    page.evaluate(
        """() => { document.querySelector("h1").insertAdjacentHTML("afterend", "<p><img src='/static/icon.svg'><input></p>");
                   document.querySelector("h1").setAttribute("class", "faint"); }"""
    )
    assert {one.split(":")[0] for one in faults(page)} >= {"image-alt", "label"}
    page.context.close()


@pytest.mark.sweep
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("who", WHO)
def test_axe_finds_nothing_on_any_page(browser: Any, demo: str, who: str, language: str) -> None:
    pages, found = look(browser, demo, who, language, 1000)
    print(f"\n{who} {language}: {pages} pages")
    assert pages > 100 and not found, "\n".join(found)
