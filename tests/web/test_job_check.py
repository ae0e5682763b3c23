"""The job check on its page: the job stands in the address, and everyone who may not go is told why.

29 CFR 1926.500(b): a low-slope roof rises 4 in 12 or less.
"""

from __future__ import annotations

import io

import pytest
from bs4 import BeautifulSoup
from pypdf import PdfReader

GROUND = "on-the-ground"


def said(page):
    return " ".join(page.soup.select_one("#answer").get_text(" ").split())


def needs(page):
    return [one.get_text(strip=True) for one in page.soup.select("#answer ul.list .row-link")]


@pytest.fixture
def granted(acts, people, sign_in):
    """The apprentice is cleared for work on the ground."""
    acts.make_ready(people.apprentice)
    where = f"/board/{people.apprentice.id}/{GROUND}"
    assert "Granted." in sign_in(people.owner).submit(where, {}, form="/grant").text


def test_a_job_on_the_ground_says_who_may_go_and_who_may_not(sign_in, people, granted):
    page = sign_in(people.trainer).get("/job-check", on="2026-11-25", height="0", rise="4")
    assert page.status == 200 and needs(page) == ["On the ground"]
    assert "✓ may go Luis Barrera" in said(page)
    assert (
        "✗ may not go Jess Lindqvist not cleared : On the ground Why exactly, and the 4 steps that"
        in said(page)
    )
    assert "On the ground : not cleared Lesson read: Roof protection: Not read yet." in said(page)
    assert "All of this would have to happen, in this order: Lesson read: Roof protection" in said(page)
    assert "An owner grants: On the ground." in said(page)


def test_one_step_that_is_missing_is_named_alone(sign_in, people, acts):
    acts.make_ready(people.apprentice)
    page = sign_in(people.owner).get(
        "/job-check", on="2026-11-25", height="0", crew=str(people.apprentice.id)
    )
    assert "This alone would change it: An owner grants: On the ground." in said(page)
    assert "Jess Lindqvist" not in said(page)


@pytest.mark.parametrize(
    ("height", "rise", "roof"),
    [
        ("12", "4", "Low-slope roof"),
        ("12", "4 1/8", "Steep roof"),
        ("12", "", "Steep roof"),
        ("", "", "Steep roof"),
    ],
)
def test_the_roof_decides_and_what_is_not_known_counts_as_the_worst(sign_in, people, height, rise, roof):
    page = sign_in(people.owner).get(
        "/job-check", on="2026-11-25", height=height, rise=rise, tasks="cut-flue"
    )
    assert needs(page) == ["On the ground", "Ladder and staging", roof, "Flue cutting"]
    assert ("not known" in said(page)) == (not rise or not height)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"height": "high"}, "Height of the work above the ground: "),
        ({"height": "1001"}, "Height of the work above the ground: A height is 0 to 1000 feet."),
        ({"rise": "49"}, "Rise of the roof in 12 in: A roof rises 0 to 48 inches in 12."),
        ({"tasks": "moon"}, "What is done on the job: "),
        ({"crew": "99"}, "Who might go: "),
        ({"on": "2026-02-30"}, "Day: 2026-02-30 is no date"),
    ],
)
def test_what_cannot_be_read_is_said_and_answers_nothing(sign_in, people, asked, sentence):
    page = sign_in(people.owner).get("/job-check", **{"on": "2026-11-25", **asked})
    assert page.status == 200 and page.errors[0].startswith(sentence)
    assert page.soup.select_one("#answer") is None


def test_a_new_hire_asks_about_themselves_only(sign_in, people, granted):
    page = sign_in(people.apprentice, "en").get(
        "/job-check", on="2026-11-25", height="0", crew=str(people.second.id)
    )
    assert page.errors, "nobody else can be chosen"
    page = sign_in(people.apprentice, "en").get("/job-check", on="2026-11-25", height="0")
    assert "✓ may go Luis Barrera" in said(page) and "Lindqvist" not in page.html
    assert page.soup.select_one("[name=crew]") is None


def test_another_day_is_asked_by_what_is_known(sign_in, people, granted):
    page = sign_in(people.owner).get("/job-check", on="2027-11-26", height="0")
    assert "✗ may not go Luis Barrera" in said(page) and "✓" not in said(page)
    assert "The last paper ran out on 25 Nov 2027." in said(page)


def test_it_says_what_it_is_not_in_both_languages(sign_in, people):
    page = sign_in(people.owner).get("/job-check", on="2026-11-25")
    assert "competent person decides on the day" in page.text and "does not make anyone safe" in page.text
    spanish = sign_in(people.owner, "es").get("/job-check", on="2026-11-25", tasks="tear-off-bay")
    assert BeautifulSoup(spanish.html, "html.parser").h1.get_text() == "Revisión del trabajo"
    assert "Demolición y esmerilado" in said(spanish) and "persona competente" in spanish.text


def test_the_statements_do_not_grow_with_people(sign_in, people, crowd, count_statements):
    owner = sign_in(people.owner)
    with count_statements() as few:
        owner.get("/job-check", on="2026-11-25")
    crowd(20)
    with count_statements() as many:
        owner.get("/job-check", on="2026-11-25")
    assert 0 < len(many) == len(few) <= 20


def test_a_whole_crew_is_asked_about_and_who_is_named_besides(sign_in, people, granted):
    trainer = sign_in(people.trainer)
    asked = {"on": "2026-11-25", "height": "0"}
    assert "whole_crew" not in trainer.get("/job-check").html  # there is none yet
    trainer.submit("/crews/new", {"name": "North", "people": [str(people.apprentice.id)]})
    page = trainer.get("/job-check", **asked, whole_crew="1")
    assert "Crew North" in said(page) and "Luis Barrera" in said(page)
    assert "Jess Lindqvist" not in said(page) and "Tom Okafor" not in said(page)
    page = trainer.get("/job-check", **asked, whole_crew="1", crew=str(people.second.id))
    assert "Luis Barrera" in said(page) and "Jess Lindqvist" in said(page) and "Tom Okafor" not in said(page)
    assert "Tom Okafor" in said(trainer.get("/job-check", **asked))
    page = trainer.get("/job-check", **asked, whole_crew="99")
    assert page.status == 200 and page.errors and not page.soup.select_one("#answer")
    assert "North" not in sign_in(people.apprentice).get("/job-check", **asked, whole_crew="1").text


def test_the_roster_is_made_for_the_crew_that_the_board_shows(sign_in, people):
    trainer = sign_in(people.trainer)
    trainer.submit("/crews/new", {"name": "North", "people": [str(people.apprentice.id)]})
    board = trainer.get("/board", crew="1")
    roster = board.soup.select_one("a[href*='roster.pdf']")["href"]
    assert "crew=1" in roster
    pages = PdfReader(io.BytesIO(trainer.client.get(roster).data)).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert (
        "Luis Barrera" in text
        and "Jess Lindqvist" not in text
        and "a part of the board: 1 of 4 people" in text
    )


def test_who_may_not_go_and_why_is_seen_before_anything_is_opened(sign_in, people, granted):
    asked = {"on": "2026-11-25", "height": "0"}
    page = sign_in(people.trainer).get("/job-check", **asked)
    cards = {
        card.h3.get_text(" ", strip=True).split("go ")[1]: card for card in page.soup.select("#answer .card")
    }
    assert set(cards) == {"Nora Whitfield", "Tom Okafor", "Jess Lindqvist"}
    for card in cards.values():
        steps = len(card.select("ol li"))
        assert f"the {steps} steps that are missing" in card.summary.get_text()
        assert not card.details.has_attr("open")
        card.details.decompose()
        assert "not cleared : On the ground" in " ".join(card.get_text(" ").split())
    page = sign_in(people.trainer).get("/job-check", **asked, crew=str(people.second.id))
    assert page.soup.select_one("#answer .card details").has_attr("open")  # one person: nothing to fold
