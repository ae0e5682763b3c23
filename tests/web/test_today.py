"""What is next for a new hire."""

from __future__ import annotations

import itertools
from datetime import timedelta

import pytest

from tests.web.conftest import LIBRARY
from trainer.questions import draw
from trainer.records import quizzes
from trainer.records import review as reviews


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


def headed(page, heading):
    """The rows under a heading, of its list and of the list folded below it."""
    title = page.soup.find("h2", string=heading)
    assert title is not None, f"no heading {heading!r}"
    below = itertools.takewhile(lambda one: one.name != "h2", title.find_next_siblings())
    lists = [found for one in below for found in ([one] if one.name == "ul" else one.find_all("ul", "list"))]
    assert lists, f"no list under {heading!r}"
    return [
        " ".join(item.get_text(" ").split()) for one in lists for item in one.find_all("li", recursive=False)
    ]


def test_signing_in_leads_here(hire):
    assert hire.get("/").path == "/today"


def test_on_the_first_day(hire):
    page = hire.get("/today")
    assert "No quiz is waiting for you." in page.text
    assert headed(page, "Lessons to read")[0] == "Reading the tape"
    assert len(headed(page, "Lessons to read")) == len(LIBRARY.ids)
    assert all(
        row.endswith("Not read yet.") or "– not cleared" in row for row in headed(page, "Your clearances")
    )
    assert "Handed in" not in page.text


def test_a_paper_to_sit_then_started_then_handed_in_then_reviewed(hire, people, acts, store, clock):
    paper = acts.assign(people.apprentice, ["why-the-gap", "crown-slab-length"])
    assert headed(hire.get("/today"), "Quizzes to sit") == ["Crowns and roofs – not started 0 of 2 answered"]
    hire.post(f"/papers/{paper}/start")
    assert headed(hire.get("/today"), "Quizzes to sit") == ["Crowns and roofs ◔ started 0 of 2 answered"]
    acts.sit(people.apprentice, paper)
    page = hire.get("/today")
    sure = "2 of 2 right; likely between 34 and 100 %"  # scipy.stats.binomtest(2, 2), Wilson
    assert headed(page, "Handed in") == [
        f"Crowns and roofs ✓ 100 %, passed 25 November 2026 · not reviewed yet {sure}"
    ]
    with store.write() as session:
        reviews.finish(session, people.trainer, clock.now, paper)
    assert headed(hire.get("/today"), "Handed in") == [
        f"Crowns and roofs ✓ 100 %, passed 25 November 2026 {sure}"
    ]


def test_a_paper_past_its_day_is_overdue(sign_in, people, acts, store, clock, bank):
    with store.write() as session:
        quizzes.assign(
            session,
            people.trainer,
            clock.now,
            title="Ladders",
            people=[people.apprentice.id],
            questions=["ladder-foot"],
            pass_mark=80,
            due=clock.now + timedelta(hours=1),
            same_numbers=True,
            bank=bank.questions,
            draw=draw,
            token="ladders",
        )
    assert "– not started" in headed(sign_in(people.apprentice).get("/today"), "Quizzes to sit")[0]
    clock.now += timedelta(hours=2)
    assert "! overdue" in headed(sign_in(people.apprentice).get("/today"), "Quizzes to sit")[0]


def test_lessons_leave_the_list_when_read(hire, people, acts):
    for lesson in LIBRARY.ids[:2]:
        acts.read(people.apprentice, lesson)
    assert len(headed(hire.get("/today"), "Lessons to read")) == len(LIBRARY.ids) - 2
    for lesson in LIBRARY.ids[2:]:
        acts.read(people.apprentice, lesson)
    assert "✓ You have read every lesson." in hire.get("/today").text


def test_one_sees_only_ones_own(hire, people, acts):
    acts.assign(people.second, ["why-the-gap"])
    assert "Crowns and roofs" not in hire.get("/today").text


def test_statements_do_not_grow_with_the_papers(hire, people, acts, crowd, count_statements):
    acts.assign(people.apprentice, ["why-the-gap"])
    hire.get("/today")
    with count_statements() as few:
        hire.get("/today")
    crowd(36)
    for _ in range(8):
        acts.sit(people.apprentice, acts.assign(people.apprentice, ["why-the-gap", "ladder-foot"]))
    with count_statements() as many:
        hire.get("/today")
    assert len(few) == len(many) <= 20, many
