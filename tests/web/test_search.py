"""The search page."""

from __future__ import annotations

from urllib.parse import urlsplit

import pytest


@pytest.mark.parametrize(("language", "asked"), [("en", "bond break"), ("es", "separacion"), ("en", "arnés")])
def test_each_result_leads_to_its_section(sign_in, people, language, asked):
    browser = sign_in(people.apprentice, language)
    soup = browser.get(f"/search?q={asked}").soup
    links = soup.select("ul.found a")
    assert links and soup.select("ul.found mark") and soup.select_one("input[name=q]")["value"] == asked
    for link in links[:6]:
        parts = urlsplit(str(link["href"]))
        assert browser.get(parts.path).soup.find(id=parts.fragment), link
    status = soup.select_one("main [role=status]").get_text()
    assert status.split()[0] == str(len(links))


def test_nothing_found_says_what_to_try(sign_in, people):
    page = sign_in(people.apprentice).get("/search?q=zzzz")
    assert (
        "0 places found" in page.text
        and "Try fewer words" in page.text
        and not page.soup.select("ul.found li")
    )


def test_what_was_asked_is_shown_as_text(sign_in, people):
    page = sign_in(people.apprentice).get("/search?q=%3Cscript%3Ealert(1)%3C/script%3E")
    assert not page.soup.select("main script")
    assert page.soup.select_one("input[name=q]")["value"] == "<script>alert(1)</script>"


def test_the_lists_of_lessons_and_of_words_have_the_field(sign_in, people):
    browser = sign_in(people.apprentice)
    for path in ("/lessons", "/glossary"):
        assert browser.get(path).soup.select_one('form[action="/search"] input[name=q]')
