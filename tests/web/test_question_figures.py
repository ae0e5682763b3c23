"""The pages of the question figures."""

from __future__ import annotations

import pytest

from trainer.records import papers

QUESTIONS = ["crown-slab-length", "why-the-gap"]


@pytest.fixture
def trainer(sign_in, people):
    return sign_in(people.trainer)


def test_before_any_paper(trainer):
    assert "No paper has been handed in yet." in trainer.get("/figures").text
    assert "has not been on a paper yet" in trainer.get("/figures/why-the-gap").text
    assert trainer.get("/figures/no-such-question").status == 404


def test_questions_at_work(trainer, people, acts, count_statements):
    paper = acts.assign(people.apprentice, QUESTIONS)
    acts.sit(people.apprentice, paper)
    with count_statements() as first:
        page = trainer.get("/figures")
    rows = [" ".join(row.get_text(" ").split()) for row in page.soup.select("tbody tr")]
    assert len(rows) == 2 and all(
        "100 % likely between 21 and 100 %" in row.replace("\xa0", " ") for row in rows
    )
    assert "no question looks faulty" in page.text
    paper = acts.assign(people.second, QUESTIONS)
    acts.sit(people.second, paper)
    with count_statements() as second:
        trainer.get("/figures")
    assert len(first) == len(second) <= 20
    page = trainer.get(page.soup.select_one("tbody a")["href"])
    assert "Median time" in page.text and "2, 100 %, likely between 34 and 100 %" in page.text.replace(
        "\xa0", " "
    )


def test_in_spanish(sign_in, people, acts):
    acts.sit(people.apprentice, acts.assign(people.apprentice, QUESTIONS))
    page = sign_in(people.trainer, "es").get("/figures")
    assert page.soup.h1.get_text() == "Preguntas en cifras"


def test_the_quiz_says_when_nothing_can_be_said(trainer, people, acts):
    acts.sit(people.apprentice, acts.assign(people.apprentice, QUESTIONS))
    assert "Nothing can be said yet" in trainer.get("/assign/1").text


def test_unexplained_answers_are_grouped_by_their_likeliest_cause(trainer, people, acts, store, clock):
    """Two people make the same mistake on their own numbers, a third answer makes no sense."""
    for person, kind in ((people.apprentice, 4), (people.second, 4), (people.apprentice, None)):
        paper = acts.assign(person, ["crown-slab-length"])
        (each,) = acts.draws(person, paper)
        inputs = each.body.inputs
        # Four overhangs in place of two; the other answer is no length of anything there.
        value = inputs["chimney_length"] + kind * inputs["overhang"] if kind else 777
        with store.write() as session:
            given = papers.answer(
                session,
                person,
                clock.now,
                paper_id=paper,
                position=1,
                typed=f"{value:g} in",
                token=acts.token(),
            )
        assert not given.right
    page = trainer.get("/figures/crown-slab-length")
    heads = [" ".join(one.get_text(" ").split()) for one in page.soup.select("h3")]
    listed = [len(one.select("li")) for one in page.soup.select("h3 + ul")]
    assert listed == [2, 1]
    assert heads[0].startswith("Counted twice: overhang past the wall") and heads[0].endswith("2 times")
    assert heads[1] == "No cause found 1 time"
