"""Crews on the pages: made, chosen when a quiz is assigned, and shown on the board."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from trainer.records import crews, history
from trainer.records.models import Paper


def make(browser, name, *people):
    return browser.submit("/crews/new", {"name": name, "people": [str(one.id) for one in people]})


@pytest.mark.parametrize("role", ["owner", "trainer"])
def test_a_crew_is_made_renamed_and_emptied(sign_in, people, role, store):
    browser = sign_in(getattr(people, role))
    page = make(browser, "North", people.apprentice, people.second)
    assert page.path == "/crews" and "Luis Barrera" in page.text and "Jess Lindqvist" in page.text
    page = browser.submit("/crews/1", {"name": "South", "people": []})
    assert page.path == "/crews" and "South" in page.text and "nobody" in page.text
    with store.read() as session:
        assert history.verify(session).ok
    owner = sign_in(people.owner).get("/history")
    assert "Crew made" in owner.text and "Crew changed" in owner.text


def test_a_taken_name_keeps_what_was_chosen(sign_in, people):
    browser = sign_in(people.trainer)
    make(browser, "North", people.apprentice)
    page = make(browser, "north", people.second)
    assert page.errors == ["Name of the crew: There is a crew called North."]
    assert page.soup.select_one(f"input[name=people][value='{people.second.id}']").has_attr("checked")


def test_a_form_from_before_a_change_overwrites_nothing(sign_in, people, store, clock):
    browser = sign_in(people.trainer)
    make(browser, "North", people.apprentice)
    seen = crews.mark("North", [people.apprentice.id])
    sign_in(people.owner).submit("/crews/1", {"name": "East", "people": [str(people.second.id)]})
    page = browser.submit("/crews/1", {"name": "West", "people": [], "made_from": seen})
    assert "it is called East and has 1 people" in page.text
    page = browser.post(
        "/crews/1",
        {"name": "West", "made_from": page.soup.select_one("input[name=made_from]")["value"]},
    )
    assert page.status == 303


def test_a_quiz_goes_to_a_whole_crew_once_each(sign_in, people, store):
    browser = sign_in(people.trainer)
    make(browser, "North", people.apprentice, people.second, people.trainer)
    page = browser.submit(
        "/assign/new",
        {
            "title": "Monday",
            "crews": ["1"],
            "people": [str(people.apprentice.id)],
            "questions": ["why-the-gap"],
        },
    )
    assert "Assigned to 2 people." in page.text  # a trainer takes no quiz, and nobody gets two papers
    with store.read() as session:
        assert sorted(session.scalars(select(Paper.person_id))) == sorted(
            [people.apprentice.id, people.second.id]
        )


def test_an_empty_crew_is_not_offered(sign_in, people):
    browser = sign_in(people.trainer)
    make(browser, "North")
    assert not browser.get("/assign/new").soup.select("input[name=crews]")
    assert not browser.get("/board").soup.select("select[name=crew]")
    page = browser.submit("/assign/new", {"title": "M", "crews": ["1"], "questions": ["why-the-gap"]})
    assert page.errors and "That is not offered here" in page.text


def test_the_board_shows_one_crew(sign_in, people):
    browser = sign_in(people.trainer)
    make(browser, "North", people.second)
    shown = browser.get("/board", crew="1")
    names = [row.get_text(" ", strip=True) for row in shown.soup.select("main table tbody th")]
    assert names and all("Jess Lindqvist" in name for name in names)
    assert "Luis Barrera" in browser.get("/board").text
    table = browser.get("/board/table.csv", crew="1").html
    assert "Jess Lindqvist" in table and "Luis Barrera" not in table
    assert browser.get("/board", crew="77").status == 200
