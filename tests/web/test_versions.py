"""Lessons that changed since people read them: who is affected, accepting the older version, asking again."""

from __future__ import annotations

import pytest


@pytest.fixture
def trainer(sign_in, people, acts):
    """The trainer's browser, when the second new hire read "Bond breaks" at version 1 and version 2 stands now."""
    acts.read(people.second, "bond-breaks", version=1)
    return sign_in(people.trainer)


PAGE = "/lesson-versions/bond-breaks"


def test_the_way_there_for_staff_only(trainer, sign_in, people):
    assert trainer.get("/lessons").soup.select("a[href='/lesson-versions']")
    assert trainer.get("/board").soup.select("a[href='/lesson-versions']")
    assert not sign_in(people.apprentice).get("/lessons").soup.select("a[href='/lesson-versions']")
    page = trainer.get("/lesson-versions")
    rows = page.soup.select("ul.list li")
    assert len(rows) == 1 and "1 person asked again" in page.text
    assert rows[0].select_one("a")["href"] == PAGE


def test_accepting_it_says_since_when_by_whom_and_why(trainer, sign_in, people):
    page = trainer.get(PAGE)
    assert "Jess Lindqvist" in page.text and "version 1 read on 25 November 2026" in page.text
    page = trainer.submit(PAGE, {"reason": "Only a figure was redrawn."}, form="/accept")
    assert page.path == PAGE and "Accepted from today." in page.text
    assert "Version 1 and newer, in place of version 2" in page.text
    assert "Since 25 November 2026, by Tom Okafor. Only a figure was redrawn." in page.text
    assert not page.soup.select("form[action*=accept]"), "one's own acceptance stands"
    jess = sign_in(people.second)
    assert "a trainer has accepted it" in jess.get("/lessons/bond-breaks").text
    assert "read, older version accepted" in jess.get("/lessons").text
    assert "Bond breaks" not in " ".join(link.text for link in jess.get("/today").soup.select("ul.list a"))


def test_asking_again(trainer, sign_in, people, acts):
    acts.accept(people.trainer, "bond-breaks", 1)
    page = trainer.submit(PAGE, {"reason": " "}, form="/ask-again/1")
    assert page.errors == ["Why it is asked again: Fill this in."]
    page = trainer.submit(PAGE, {"reason": "The gap is wider now."}, form="/ask-again/1")
    assert "Asked again from today." in page.text
    assert "Asked again from 25 November 2026 by Tom Okafor: The gap is wider now." in page.text
    assert "changed since you read it" in sign_in(people.second).get("/lessons").text
    again = trainer.post(f"{PAGE}/ask-again/1", {"reason": "Twice."})
    assert again.location == PAGE and "It was taken back already." in trainer.get(PAGE).text


def test_what_would_stand_otherwise_is_shown_for_each_person(trainer, people, acts, store, clock, app):
    """Concrete versus mortar at an older version is all that the clearance "on the ground" lacks."""
    acts.make_ready(people.apprentice)
    with store.write() as session:  # as it would be had the lesson changed since
        session.connection().exec_driver_sql(
            "UPDATE lesson_reading SET version = 1 WHERE lesson = 'concrete-versus-mortar'"
        )
    page = trainer.get("/lesson-versions/concrete-versus-mortar")
    assert "If that version is accepted: On the ground: – not cleared → ◔ ready to grant" in page.text
    page = trainer.submit(page.path, {"reason": "A source was added."}, form="/accept")
    assert "If it is asked again: On the ground: ◔ ready to grant → – not cleared" in page.text
    assert (
        "Version 1, accepted, read on 25 Nov 2026"
        in trainer.get(f"/board/{people.apprentice.id}/on-the-ground").text
    )


def test_nobody_accepts_for_themselves(trainer, people, acts):
    acts.read(people.trainer, "bond-breaks", version=1)
    assert "Nobody accepts an older version for themselves" in trainer.get(PAGE).text
    acts.accept(people.trainer, "bond-breaks", 1)
    assert "1 person asked again" in trainer.get("/lesson-versions").text


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"reason": ""}, "Why it is enough: Fill this in."),
        ({"reason": "x", "version": "2"}, "Oldest version that counts: Not a valid choice."),
        ({"reason": "x", "present": "1"}, "The lesson has changed meanwhile: version 2 stands now."),
        ({"reason": "x", "present": "two"}, "The lesson has changed meanwhile: version 2 stands now."),
    ],
)
def test_a_form_that_does_not_pass_keeps_what_was_typed(trainer, store, fields, said):
    page = trainer.submit(PAGE, fields, form="/accept")
    assert page.errors == [said]
    assert page.soup.select_one("textarea[name=reason]").get_text().strip() == fields["reason"]
    assert page.soup.select_one("input[name=present]")["value"] == "2"
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM lesson_acceptance").scalar() == 0


def test_a_lesson_that_does_not_exist_and_one_that_nobody_is_asked_to_read_again(trainer):
    assert trainer.get("/lesson-versions/the-moon").status == 404
    page = trainer.get("/lesson-versions/forms")
    assert page.status == 200 and "Nobody: whoever read it" in page.text
    assert trainer.post("/lesson-versions/forms/accept", {"reason": "x", "version": "1"}).status == 200


def test_statements_of_the_pages(trainer, people, acts, count_statements, crowd):
    acts.accept(people.trainer, "bond-breaks", 1)
    crowd(36)
    for path in ("/lesson-versions", PAGE):
        trainer.get(path)
        with count_statements() as seen:
            trainer.get(path)
        assert 0 < len(seen) <= 20
