"""The rules of clearance on their pages: what they are, every version, and an owner's decision seen before it is made."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from trainer.clearance import LessonRequirement
from trainer.records import rules
from trainer.web.content import CONTENT

GROUND = "on-the-ground"


def _typed(form):
    """The fields of a form as a browser would send them untouched; those with several values as lists."""
    found = {}
    for item in form.select("input[name], textarea[name]"):
        name, kind = item["name"], item.get("type")
        if kind == "checkbox":
            found.setdefault(name, [])
            if item.has_attr("checked"):
                found[name].append(item["value"])
        elif kind != "radio" or item.has_attr("checked"):
            found[name] = item.get_text().strip() if item.name == "textarea" else item.get("value", "")
    return found


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
    assert "cleared until 25 Nov 2027" in said(board.soup.select_one("table.board"))
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


EDIT = f"/rules/clearance/{GROUND}"


def looked(page, fields):
    """The form as the page that showed the effect would send it."""
    marks = {
        name: page.soup.select_one(f"[name={name}]")["value"]
        for name in ("looked", "made_from", "form_token")
    }
    return {**fields, **marks, "do": "save"}


def typed(browser, path):
    """The fields of the form on that page, untouched."""
    page = browser.get(path)
    return dict(_typed(next(form for form in page.soup.select("main form") if form.get("method") == "post")))


def test_a_form_left_as_it_is_changes_nothing(sign_in, people, app):
    """So nothing that a clearance asks for is lost on the way through the form."""
    owner = sign_in(people.owner)
    for id in app.extensions[CONTENT].rules.clearances:
        page = owner.submit(f"/rules/clearance/{id}", {"reason": "only looking", "do": "look"})
        assert page.errors == ["Nothing is changed."], id


def test_an_owner_sees_who_would_lose_and_then_changes_a_clearance(sign_in, people, granted, store, clock):
    owner = sign_in(people.owner)
    fields = typed(owner, EDIT) | {
        "lessons": ["roof-protection", "concrete-versus-mortar", "forms"],
        "reason": "Forms too.",
    }
    page = owner.submit(EDIT, {**fields, "do": "look"})
    assert "asked from now on Lesson read: Forms" in said(page.soup.main)
    assert "loses Luis Barrera : On the ground" in said(page.soup.select_one("#effect"))
    assert len(owner.get("/rules").soup.select("main > ul.list li")) == 1, "nothing is saved by looking"
    assert owner.post(EDIT, looked(page, fields)).status == 303
    assert "lapsed" in said(owner.get("/board").soup.select_one("table.board"))
    assert (
        "a clearance changed or added" in owner.get("/rules").text
        and "Forms too." in owner.get("/rules/2").text
    )
    clock.now += timedelta(days=1)
    owner = sign_in(people.owner)
    assert "lapsed" in owner.get(granted).text


def test_saving_without_having_looked_shows_the_effect_first(sign_in, people, granted):
    owner = sign_in(people.owner)
    fields = typed(owner, EDIT) | {"quiz_0_score": "95", "reason": "Stricter.", "do": "save"}
    page = owner.submit(EDIT, fields)
    assert "Nothing is saved yet." in page.text and "Quiz of 95 % or more" in page.text
    assert "Nobody's clearance changes today." in page.text
    sent = looked(page, fields)
    other = owner.post(EDIT, {**sent, "quiz_0_score": "96"})
    assert "Nothing is saved yet." in other.text, "another figure than the one that was looked at"
    assert len(owner.get("/rules").soup.select("main > ul.list li")) == 1


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"name_es": " "}, "Name in Spanish: Fill this in."),
        ({"reason": ""}, "Why: Fill this in."),
        (
            {"quiz_0_score": "101"},
            "Score needed, in percent: Give a whole number from 1 to 100, or leave it empty.",
        ),
        (
            {"quiz_0_score": "٣"},
            "Score needed, in percent: Give a whole number from 1 to 100, or leave it empty.",
        ),
        ({"quiz_0_score": ""}, "Score needed, in percent: Give the score that is needed."),
        (
            {"quiz_0_skills": []},
            "Skills it must ask about: Choose at least one skill, or empty the whole row.",
        ),
        ({"task_don-harness_days": "9"}, "Times: Give how many times, or leave both empty."),
        ({"task_don-harness_times": "-1"}, "Times: Give a whole number from 1 to 1000, or leave it empty."),
        (
            {"caution_en": "Mind the dust."},
            "Caution in Spanish: Give the caution in both languages, or in neither.",
        ),
        ({"clearances": ["lead-hand"]}, "On the ground requires itself, by way of others."),
        ({"lessons": ["moon"]}, "Lessons read: That is not offered here. Choose again."),
        (
            {"lessons": [], "quiz_0_skills": [], "quiz_0_score": "", "quiz_0_days": ""},
            "On the ground requires nothing; nobody may be cleared for nothing.",
        ),
    ],
)
def test_what_the_files_may_not_say_is_refused_with_what_was_typed(sign_in, people, fields, sentence):
    owner = sign_in(people.owner)
    page = owner.submit(EDIT, typed(owner, EDIT) | {"reason": "Because.", "do": "save", **fields})
    assert sentence in page.errors, page.errors
    assert len(owner.get("/rules").soup.select("main > ul.list li")) == 1


def test_a_new_clearance_is_granted_and_withdrawn_and_the_past_keeps_it(
    sign_in, people, acts, clock, granted
):
    owner = sign_in(people.owner)
    fields = typed(owner, "/rules/new") | {
        "name_en": "Flat roof", "name_es": "Techo plano", "covers_en": "Flat roofs.", "covers_es": "Techos planos.",
        "clearances": [GROUND], "task_don-harness_times": "", "reason": "We have many.",
    }  # fmt: skip
    page = owner.submit("/rules/new", {**fields, "do": "look"})
    assert "changes Luis Barrera : Flat roof no such clearance → ready to grant" in said(
        page.soup.select_one("#effect")
    )
    assert owner.post("/rules/new", looked(page, fields)).status == 303
    where = f"/board/{people.apprentice.id}/flat-roof"
    assert "Granted." in owner.submit(where, {}, form="/grant").text
    clock.now += timedelta(days=1)
    owner = sign_in(people.owner)
    page = owner.submit("/rules/clearance/flat-roof/withdraw", {"reason": "Sold the lift."})
    assert "Withdrawn from today." in page.text
    assert owner.get(where).status == 404 and "Flat roof" not in owner.get("/board").text
    assert "cleared on 25 November 2026" in owner.get(where, on="2026-11-25").text
    history = owner.get("/history").text
    assert "a clearance withdrawn" in history and "clearances flat-roof" in history.replace(":", "")
    fields = {
        name: value for name, value in fields.items() if name not in ("csrf_token", "form_token", "made_from")
    }
    page = owner.submit("/rules/new", {**fields, "do": "look"})
    assert "ready to grant" in said(page.soup.select_one("#effect")), "the old grant does not come back"


def test_what_others_require_is_not_withdrawn_and_the_job_check_is_named(sign_in, people):
    owner = sign_in(people.owner)
    page = owner.get(f"/rules/clearance/{GROUND}/withdraw")
    assert "On the ground cannot be withdrawn while it is required for: Ladder and staging" in page.errors[0]
    assert not page.soup.select("main form[method=post]")
    assert "The job check asks for it." in owner.get("/rules/clearance/flue-cutting/withdraw").text
    assert (
        owner.get("/rules/clearance/moon/withdraw").status == owner.get("/rules/clearance/moon").status == 404
    )


def test_two_owners_at_once_do_not_overwrite_one_another(sign_in, people, granted):
    first, second = sign_in(people.owner), sign_in(people.owner)
    one = typed(first, EDIT) | {"quiz_0_score": "95", "reason": "Stricter."}
    other = typed(second, EDIT) | {"quiz_0_days": "300", "reason": "Sooner."}
    seen = second.submit(EDIT, {**other, "do": "look"})
    assert first.post(EDIT, looked(first.submit(EDIT, {**one, "do": "look"}), one)).status == 303
    page = second.post(EDIT, looked(seen, other))
    assert (
        "The rules were changed after you opened the page" in page.text
        or "Nothing is saved yet." in page.text
    )
    assert "Quiz of 95 %" in second.get("/rules").text
    again = second.post(EDIT, looked(page, other))
    assert again.status == 303 or "The rules were changed" in again.text
