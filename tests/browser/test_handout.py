"""A lesson read aloud by the browser's own voice, and printed."""

from __future__ import annotations

import re
from typing import Any

import pytest

PASSWORD = "brick and mortar"
# A voice that only notes what it is given; the real one makes no sound in a test.
VOICE = """
window.spoken = []; window.cancelled = 0;
Object.defineProperty(window, "speechSynthesis", {value: {speak: one => window.spoken.push(one), cancel: () => window.cancelled++}});
"""
NO_VOICE = 'Object.defineProperty(window, "speechSynthesis", {value: undefined});'


def lesson(page: Any, address: str, path: str, script: str = "") -> Any:
    page.goto(address)
    page.get_by_label("Sign-in name").fill("luis")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    if script:
        page.add_init_script(script)
    page.goto(address + path)
    return page


def test_a_section_is_read_aloud_and_stopped(site: Any, open_page: Any) -> None:
    page = lesson(open_page(), site.address, "/lessons/getting-up-safely", VOICE)
    buttons = page.get_by_role("button", name="Read aloud")
    assert buttons.count() == page.locator("article.lesson h2[id]:not(#terms)").count()
    assert buttons.first.bounding_box()["height"] >= 48
    page.locator("#fall-protection + button").click()
    spoken = page.evaluate("window.spoken.map(one => [one.text, one.lang])")
    assert spoken[0] == ["Fall protection", "en-US"] and len(spoken) > 5
    text = " ".join(words for words, _language in spoken)
    assert "from 6 feet above a lower level" in text and "5,000 pounds" in text
    assert not re.search(r"\d (ft|lb)\b", text) and "See the drawing larger" not in text
    stop = page.get_by_role("button", name="Stop reading")
    assert stop.get_attribute("aria-pressed") == "true"
    before = page.evaluate("window.cancelled")
    stop.click()
    assert page.evaluate("window.cancelled") > before and stop.count() == 0


def test_the_end_of_a_section_frees_its_button(site: Any, open_page: Any) -> None:
    page = lesson(open_page(), site.address, "/lessons/getting-up-safely", VOICE)
    page.locator("#aim + button").click()
    page.evaluate("window.spoken.at(-1).onend()")
    assert page.get_by_role("button", name="Stop reading").count() == 0


def test_without_a_voice_there_are_no_buttons(site: Any, open_page: Any) -> None:
    page = lesson(open_page(), site.address, "/lessons/getting-up-safely", NO_VOICE)
    assert page.locator("article.lesson h2").count() > 5 and page.locator("button.speak").count() == 0


@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_the_handout_shows_the_lesson_and_nothing_of_the_screen(site: Any, open_page: Any, size: str) -> None:
    page = lesson(open_page(), site.address, "/lessons/crown-geometry")
    page.emulate_media(media="print")
    for hidden in (".bar", ".enlarge", "button.speak", ".lesson-nav", "#read"):
        assert not any(one.is_visible() for one in page.locator(hidden).all()), hidden
    for shown in ("figure.drawing svg", "ul.checklist", "aside.caution", "section.terms"):
        assert page.locator(shown).first.is_visible(), shown
    assert page.pdf(format=size).startswith(b"%PDF")
