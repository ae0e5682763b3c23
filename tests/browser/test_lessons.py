"""A lesson on a phone: read to its end, left and come back to in the middle, its check questions answered."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.browser.at_work import Screen
from tests.browser.reading import (
    by_buttons_only,
    course,
    fill_in,
    has_read,
    lesson,
    next_try,
    read_sections,
    right,
)

ID = "roof-protection"
# As `fetch` fails without a signal; a real failure would also be an error in the page's console.
OFFLINE = """() => {
  window.kept = window.fetch;
  window.asked = 0;
  window.fetch = () => { window.asked += 1; return Promise.reject(new TypeError("no signal")); };
}"""


@pytest.fixture
def luis(site: Any, open_page: Any) -> Screen:
    return Screen(open_page(), site.address, "luis")


def test_reading_to_the_end_answering_and_being_counted(site: Any, luis: Screen) -> None:
    ref = lesson(ID)
    title = course().library.lesson(ID).title
    by_buttons_only(luis.page)
    luis.go(f"/lessons/{ID}")
    luis.sees(f"0 of {len(ref.sections)} sections read")
    read_sections(luis.page, ID, 3)
    luis.sees(f"3 of {len(ref.sections)} sections read")
    assert luis.page.locator(".section-end form:visible").count() == 1
    # Left in the middle, and led back there the next day.
    luis.go("/today")
    luis.press(f"Go on: {title}")
    assert luis.page.url.endswith(f"/lessons/{ID}#{ref.sections[3]}")
    heading = luis.page.locator(f"#{ref.sections[3]}")
    assert -5 <= heading.bounding_box()["y"] < 400, "the page opens at the section to go on with"
    read_sections(luis.page, ID)
    luis.sees("The lesson counts as read when")
    # A wrong answer first, with help; then each right.
    luis.press(luis.page.locator("#check-questions .list a").first.inner_text())
    first = ref.check[0]
    asked = next_try(site, "luis", ID, first)
    fill_in(luis.page, asked, asked.body.mistaken())
    luis.press("Check")
    luis.sees("Not right")
    luis.press("Try again, new numbers")
    for place, question in enumerate(ref.check, 1):
        luis.sees(f"Check question {place} of {len(ref.check)}")
        assert luis.page.url.endswith(f"/check/{question}")
        asked = next_try(site, "luis", ID, question)
        fill_in(luis.page, asked, right(asked))
        luis.press("Check")
        luis.sees("✓ Right")
        if question != ref.check[-1]:
            luis.press("Next check question")
    luis.sees(f"This lesson counts as read, at version {ref.version}.")
    luis.go("/lessons")
    row = luis.page.locator("ul.list > li").filter(has_text=title)
    assert "✓ read" in " ".join(row.inner_text().split())


def test_a_section_whose_end_stays_in_view_is_noted_by_itself(luis: Screen) -> None:
    luis.go(f"/lessons/{ID}")
    luis.page.locator(".section-end").nth(0).scroll_into_view_if_needed()
    has_read(luis.page, 1)
    # Flying to the end of the page notes nothing on the way.
    luis.page.locator(".section-end").last.scroll_into_view_if_needed()
    luis.page.wait_for_timeout(2500)
    luis.go(f"/lessons/{ID}")
    luis.sees(f"1 of {len(lesson(ID).sections)} sections read")


def test_without_a_signal_the_place_is_kept_and_sent_when_it_is_back(luis: Screen) -> None:
    luis.go(f"/lessons/{ID}")
    luis.page.evaluate(OFFLINE)
    for place in range(2):
        end = luis.page.locator(".section-end").nth(place)
        end.scroll_into_view_if_needed()
        luis.page.wait_for_timeout(2500)
    assert luis.page.evaluate("window.asked") > 0
    assert luis.page.locator("#reading-bar").get_attribute("value") == "0"
    luis.page.evaluate("() => { window.fetch = window.kept; dispatchEvent(new Event('online')); }")
    has_read(luis.page, 2)


def test_without_scripts_the_buttons_do_it(site: Any, open_page: Any) -> None:
    phone = open_page(scripts=False)
    phone.goto(site.address + "/")
    phone.get_by_label("Sign-in name").fill("jess")
    phone.get_by_label("Password").fill("brick and mortar")
    phone.locator("main button").click()
    phone.goto(f"{site.address}/lessons/{ID}")
    for section in (*lesson(ID).sections[1:], "check-questions"):
        phone.locator(".section-end form:visible button").click()
        phone.wait_for_url(re.compile(f"#{section}$"))
    assert phone.locator(".section-end form").count() == 0
    assert phone.locator("#check-questions .list a").count() == len(lesson(ID).check)
