"""The rules of clearance on their pages: what they are, every version, and an owner's decision seen before it is made."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trainer.clearance import LessonRequirement
from trainer.records import rules
from trainer.web.content import CONTENT

GROUND = "on-the-ground"


def said(node):
    return " ".join(node.get_text(" ").split())


@pytest.fixture
def program(app):
    """program(change): the program comes with other rules from now on; change takes and gives the clearance."""

    def come(change):
        content = app.extensions[CONTENT]
        clearance = change(content.rules.clearances[GROUND])
        other = replace(content.rules, clearances={**content.rules.clearances, GROUND: clearance})
        app.extensions[CONTENT] = replace(content, rules=other)

    return come


@pytest.fixture
def more(program):
    """One lesson more for work on the ground, which nobody has read."""
    program(lambda one: replace(one, requires=(*one.requires, LessonRequirement("forms"))))


@pytest.fixture
def granted(acts, people, sign_in):
    acts.make_ready(people.apprentice)
    where = f"/board/{people.apprentice.id}/{GROUND}"
    assert "Granted." in sign_in(people.owner).submit(where, {}, form="/grant").text
    return where


def test_everyone_of_the_staff_reads_what_each_clearance_asks_for(sign_in, people, app):
    page = sign_in(people.trainer).get("/rules")
    shipped = app.extensions[CONTENT].rules.clearances
    for id, clearance in shipped.items():
        card = page.soup.select_one(f"#{id}")
        assert said(card.h2) == clearance.name.en and len(card.select("li")) == len(clearance.requires)
    assert "does not make anyone safe" in page.text
    assert "From the beginning: the rules the shop began with" in page.text
    assert not page.soup.select("main form") and "have changed" not in page.text


def test_a_program_with_other_rules_asks_the_owner_and_changes_nobody(sign_in, people, granted, more):
    owner = sign_in(people.owner)
    board = owner.get("/board")
    assert "The rules that come with the program have changed." in board.text
    assert "cleared until 25 November 2027" in said(board.soup.select_one("table.board"))
    page = owner.get("/rules/own")
    assert "asked from now on Lesson read: Forms" in said(page.soup.main)
    assert "loses Luis Barrera : On the ground" in said(page.soup.select_one("#effect"))
    assert "Rules of clearance" in sign_in(people.trainer).get("/board").text


def test_what_is_taken_over_was_looked_at_and_holds_from_today(sign_in, people, granted, more, clock):
    owner = sign_in(people.owner)
    page = owner.submit("/rules/own", {"reason": "Forms come first.", "do": "adopt"}, form="")
    assert "Saved. It holds from today." in page.text
    assert "From 25 November 2026: the program's own rules taken over" in page.text
    assert "Luis Barrera" in owner.get("/board").text and "lapsed" in owner.get("/board").text
    assert "Not read yet." in owner.get(granted).text
    version = owner.get("/rules/2")
    assert "Forms come first." in version.text and "Lesson read: Forms" in version.text
    assert "Rules of clearance decided on" in owner.get("/history").text


def test_what_was_not_looked_at_is_not_saved(sign_in, people, granted, more):
    """The grants end, or someone's standing changes, after the page was opened."""
    owner = sign_in(people.owner)
    fields = {"reason": "So be it.", "do": "adopt", "grants": "anew"}
    page = owner.submit("/rules/own", fields, form="")
    assert "Nothing is saved yet. Look at who would gain or lose below" in page.text
    assert "grants given before end" in page.text and "So be it." in page.text
    assert len(owner.get("/rules").soup.select("main > ul.list:last-of-type li")) == 1
    again = {
        name: page.soup.select_one(f"[name={name}]")["value"]
        for name in ("looked", "made_from", "form_token")
    }
    assert owner.post("/rules/own", {**fields, **again}).status == 303
    assert "grants given before end" in owner.get("/rules/2").text


def test_the_shops_own_are_kept_with_a_reason(sign_in, people, granted, more):
    owner = sign_in(people.owner)
    assert owner.submit("/rules/own", {"do": "keep"}, form="").errors == ["Why: Fill this in."]
    page = owner.submit("/rules/own", {"do": "keep", "reason": "Not for our roofs."}, form="")
    assert "The shop's rules stay as they are." in page.text
    assert "have changed" not in owner.get("/board").text
    assert "cleared until" in said(owner.get("/board").soup.select_one("table.board"))


def test_an_old_store_answers_for_the_past_as_before(store, people, app, acts, granted, clock, sign_in):
    """The first version holds since the beginning."""
    with store.read() as reading:
        (first,) = rules.versions(reading, people.owner, app.extensions[CONTENT].rules)
    assert first.since is None and first.rules.clearances == app.extensions[CONTENT].rules.clearances
