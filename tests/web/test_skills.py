"""The pages of the skill picture, and today's few questions."""

from __future__ import annotations

from datetime import timedelta

from tests.shipped import shipped_bank

QUESTIONS = ["crown-slab-length", "why-the-gap"]


def test_before_any_answer(sign_in, people):
    assert "Nothing is known yet" in sign_in(people.apprentice).get("/skills/mine").text
    page = sign_in(people.trainer).get("/skills")
    assert "nothing is known yet" in page.text and not page.soup.select("main table")
    # Every skill of which nothing is known stands in one list, not in a row of dashes each.
    assert len(page.soup.select("main details ul li")) == len(shipped_bank().skills)


def test_the_picture_of_a_person_and_of_the_crew(sign_in, people, acts, count_statements):
    acts.sit(people.apprentice, acts.assign(people.apprentice, QUESTIONS))
    trainer = sign_in(people.trainer)
    with count_statements() as first:
        page = trainer.get("/skills")
    assert "1 of 2" in page.text and "weakest:" in page.text
    acts.sit(people.second, acts.assign(people.second, [*QUESTIONS, "ladder-foot"]))
    with count_statements() as second:
        trainer.get("/skills")
    assert len(first) == len(second) <= 20
    # One fresh right answer: (1 + 1) / (1 + 2).
    mine = sign_in(people.apprentice).get("/skills/mine")
    assert "about 67 %" in mine.text.replace("\xa0", " ") and "comes back 26 November 2026" in mine.text
    theirs = trainer.get(f"/skills/{people.apprentice.id}")
    assert theirs.soup.h1.get_text() == "Skills of Luis Barrera"
    assert (
        "never" not in mine.path
        and sign_in(people.second).get(f"/skills/{people.apprentice.id}").status == 403
    )


def test_todays_few_questions_are_practice(sign_in, people, acts, clock, store):
    acts.sit(people.apprentice, acts.assign(people.apprentice, QUESTIONS))
    hire = sign_in(people.apprentice, "es")
    assert "Las pocas preguntas de hoy" not in hire.get("/today").text
    clock.now += timedelta(days=2)
    hire = sign_in(people.apprentice)
    mine = hire.get("/skills/mine").text
    assert "ya toca recordarlo" in mine and "vuelve el" not in mine
    page = hire.get("/today")
    links = page.soup.find("h2", string="Las pocas preguntas de hoy").find_next("ul").select("a")
    assert 0 < len(links) <= 3
    asked = hire.get(links[0]["href"])
    assert asked.status == 200 and asked.path.startswith("/practice/")


def test_the_charts_have_a_name_and_their_table_one_tap_away(sign_in, people, acts):
    acts.sit(people.apprentice, acts.assign(people.apprentice, QUESTIONS))
    for browser, address, names in (
        (sign_in(people.apprentice), "/skills/mine", ["How much of each skill would be right today", "Answers a week; the filled part was right"]),
        (sign_in(people.trainer), "/skills", ["Where each person stands on each skill"]),
    ):  # fmt: skip
        soup = browser.get(address).soup
        assert [one["aria-label"] for one in soup.select("svg.chart[role=img]")] == names
        for figure in soup.select("figure:has(svg.chart)"):
            table = figure.find_next_sibling("details")
            assert table.summary.get_text() == "As a table" and table.select("table, ul")
    weeks = (
        sign_in(people.apprentice)
        .get("/skills/mine")
        .soup.find("h2", string="Week by week")
        .find_next("table")
    )
    assert [cell.get_text() for cell in weeks.select("tbody td")] == ["2", "100\xa0%"]
