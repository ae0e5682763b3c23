"""The append-only history as the owner reads it, and the check of its chain."""

from __future__ import annotations

import re
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

import trainer.records
from trainer.records.held import TABLES
from trainer.records.queries import EventRow
from trainer.web.happened import FACTS, KINDS, facts_in_words, kind_in_words


@pytest.fixture
def owner(sign_in, people):
    return sign_in(people.owner)


@pytest.fixture
def tamper(store):
    """tamper(sql, *values): change the store behind the program's back."""

    def change(sql, *values):
        path = store.engine.url.database
        with sqlite3.connect(path) as connection:
            assert connection.execute(sql, values).rowcount == 1
        connection.close()

    return change


def rows(page):
    return [
        [" ".join(cell.get_text(" ").split()) for cell in row.select("th, td")]
        for row in page.soup.select("table tbody tr")
    ]


def test_the_newest_entry_stands_first_with_who_what_and_about_whom(owner, people, acts):
    acts.read(people.apprentice, "crown-geometry")
    first = rows(owner.get("/history"))[0]
    assert first[1:] == [
        "25 November 2026, 1:40 PM",
        "Lesson read lesson: Crown geometry · version: 1 · check questions: 3",
        "Luis Barrera",
        "Luis Barrera",
    ]


def test_every_kind_of_act_the_program_records_has_words():
    folder = Path(trainer.records.__file__).parent
    source = "".join(file.read_text("utf-8") for file in folder.rglob("*.py"))
    written = set(re.findall(r'kind="([^"]+)"', source)) | set(re.findall(r'else "(task [^"]+)"', source))
    assert len(written) > 20, "the search found hardly a kind: it is broken"
    assert written == set(KINDS)


def test_every_fact_in_the_history_has_words(owner, people, acts, store, tamper):
    acts.make_ready(people.apprentice)
    where = f"/board/{people.apprentice.id}/on-the-ground"
    owner.submit(where, {}, form="/grant")
    owner.submit(where, {"prompt": "gap", "reason": "Unclipped."}, form="/suspend")
    owner.submit(where, {"reason": "Trained again."}, form="/lift")
    number = acts.certificate(people.apprentice)
    owner.submit(f"/certificates/{number}", {"reason": "Not genuine."}, form="/withdraw")
    with sqlite3.connect(store.engine.url.database) as connection:
        names = {name for (name,) in connection.execute("SELECT DISTINCT key FROM event, json_each(facts)")}
    connection.close()
    assert len(names) > 15 and names <= set(FACTS)
    text = owner.get("/history").text
    assert (
        "Clearance granted grant: 1 · clearance: On the ground · version: 1 · from: 25 November 2026" in text
    )
    assert "certificate: 1 · kind: First aid and CPR · issued by: Valley Adult School" in text
    assert "good through: 2 November 2028" in text and "withdrawn on: 25 November 2026" in text
    assert "reason: Trained again." in text and "read as: " in text and "credit: 100 %" in text


def test_one_persons_entries(owner, people, acts):
    acts.read(people.apprentice, "crown-geometry")
    acts.read(people.second, "bond-breaks")
    page = owner.get("/history", person=str(people.second.id))
    assert rows(page) and {row[4] for row in rows(page)} == {"Jess Lindqvist"}
    assert page.soup.select_one("select option[selected]").get_text() == "Jess Lindqvist"


def test_entries_of_one_kind_and_of_some_days(sign_in, people, acts, clock):
    """Denver is seven hours behind UTC in winter (IANA time zone database)."""
    acts.read(people.apprentice, "crown-geometry")  # on the 25th
    clock.now = datetime(2026, 11, 27, 6, 59, tzinfo=UTC)  # 23:59 on the 26th
    acts.read(people.second, "bond-breaks")
    owner, read = sign_in(people.owner), {"act": "lesson read"}
    assert {row[4] for row in rows(owner.get("/history", **read))} == {"Luis Barrera", "Jess Lindqvist"}
    for days, whose in (
        ({"first": "2026-11-26"}, ["Jess Lindqvist"]),
        ({"first": "2026-11-26", "last": "2026-11-26"}, ["Jess Lindqvist"]),
        ({"last": "2026-11-25"}, ["Luis Barrera"]),
        ({"first": "2026-11-27"}, []),
        ({"last": "9999-12-31", "person": str(people.second.id)}, ["Jess Lindqvist"]),
    ):
        page = owner.get("/history", **read, **days)
        assert [row[4] for row in rows(page)] == whose, days
    assert "No entry is like that." in owner.get("/history", first="2030-01-01").text
    wrong = owner.get("/history", first="yesterday", act="dancing")
    assert len(wrong.soup.select(".field-wrong")) == 2 and rows(wrong)


@pytest.mark.parametrize("person", ["999", "x", ""])
def test_a_person_who_is_not_there_is_an_error_beside_the_choice(owner, person):
    page = owner.get("/history", person=person)
    assert page.status == 200 and page.soup.select(".field-wrong") and rows(page)


def test_long_histories_come_in_pages_and_the_filter_stays(owner, people, crowd, acts):
    for version in range(1, 13):  # five entries each: to its end, three check questions, read
        acts.read(people.apprentice, "crown-geometry", version)
    first = owner.get("/history", person=str(people.apprentice.id))
    assert len(rows(first)) == 25 and "Page 1 of 3" in first.text
    second = owner.get(first.soup.select_one("a[rel=next]")["href"])
    third = owner.get(second.soup.select_one("a[rel=next]")["href"])
    numbers = [int(row[0]) for page in (first, second, third) for row in rows(page)]
    assert len(set(numbers)) == len(numbers) == 62  # 60 readings, added, password set
    assert numbers == sorted(numbers, reverse=True) and {row[4] for row in rows(third)} == {"Luis Barrera"}
    assert [row[0] for row in rows(owner.get("/history", page="999"))] == [str(n) for n in range(20, 0, -1)]
    assert owner.get("/history", page="x").status == 200


def test_a_sound_chain(owner, people, acts):
    acts.read(people.apprentice, "crown-geometry")
    page = owner.get(owner.get("/history").soup.find("a", string="Check the chain of entries")["href"])
    assert page.status == 200 and "The chain of entries was checked: sound" in page.text
    assert re.search(
        r"\b15 entries were read\b", page.text
    )  # the shop, four people and their passwords, a lesson


def test_a_changed_entry_is_found(owner, people, acts, tamper):
    acts.read(people.apprentice, "crown-geometry")
    tamper("UPDATE event SET facts = json_set(facts, '$.version', 7) WHERE kind = 'lesson read'")
    page = owner.get("/history/check")
    assert "broken at entry 15" in page.text and "This event was changed." in page.text


def test_a_record_that_does_not_agree_is_named(owner, people, acts, tamper):
    acts.read(people.apprentice, "crown-geometry")
    assert (
        "Every record was held against the entry that tells of it: they agree."
        in owner.get("/history/check").text
    )
    tamper("UPDATE lesson_reading SET at = '2026-01-01 00:00:00.000000'")
    page = owner.get("/history/check")
    assert "The chain of entries was checked: sound" in page.text
    assert "Records do not agree with the entries" in page.text and "they agree" not in page.text
    said = "The reading of lesson crown-geometry, version 1, by person 3 is not as the history tells it: the time."
    assert f"Entry 15: {said}" in page.text


def test_older_entries_that_tell_less_are_counted(owner, people, tamper):
    tamper("UPDATE event SET facts = json_remove(facts, '$.standard_hash') WHERE number = 1")
    assert (
        "Of 1 record an older entry tells only a part; that part was compared."
        in owner.get("/history/check").text
    )


def test_a_removed_entry_is_found_and_a_cut_end_too(owner, people, acts, tamper):
    acts.read(people.apprentice, "crown-geometry")
    acts.read(people.apprentice, "bond-breaks")
    tamper("DELETE FROM event WHERE number = 20")
    assert "broken at its end" in owner.get("/history/check").text
    tamper("DELETE FROM event WHERE number = 5")
    page = owner.get("/history/check")
    assert "broken at entry 6" in page.text and "Events before this one are missing." in page.text


def test_what_someone_else_wrote_into_the_history_is_shown_as_it_stands(owner, people, acts, tamper):
    acts.read(people.apprentice, "crown-geometry")
    tamper(
        'UPDATE event SET kind = \'<b>moved</b>\', facts = \'{"since": "soon", "odd": [1, null]}\' WHERE number = 15'
    )
    page = owner.get("/history")
    assert rows(page)[0][2] == "<b>moved</b> from: soon · odd: 1 →"


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("before", 0.5, "50\u00a0%"),
        ("after", ["trainer", "apprentice"], "New hire, Trainer"),
        ("before", {"name": "Ana"}, "name: Ana"),
        (
            "changed",
            {"overhang": [2.0, 2.5]},
            "how far the crown hangs over the wall, each side: 2 in → 2 1/2 in",
        ),
        ("changed", {"gone": [1, 2]}, "gone: 1 → 2"),
        ("after", {"language": "es"}, "language: Español"),
        ("how", "all answered", "every question was answered"),
        ("criteria", [True, False], "1 of 2"),
        ("questions", [["a", 1, "h", 5]], "1"),
        ("position", None, None),
        ("lesson", "gone-lesson", "gone-lesson"),
    ],
)
def test_facts_in_words(app, clock, name, value, said):
    row = EventRow(1, clock.now, "odd kind", None, None, {name: value}, "")
    with app.test_request_context():
        app.preprocess_request()
        words = facts_in_words(row)
        assert [one for _, one in words] == ([] if said is None else [said])
        assert kind_in_words(row.kind) == "odd kind"


# The check reads every table of which the history tells once; signing in, the shop and the events take the rest.
@pytest.mark.parametrize(("path", "most"), [("/history", 20), ("/history/check", len(TABLES) + 6)])
def test_statements_do_not_grow(owner, people, acts, crowd, count_statements, path, most):
    owner.get(path)
    with count_statements() as few:
        owner.get(path)
    crowd(36)
    with count_statements() as many:
        assert owner.get(path).status == 200
    assert len(few) == len(many) <= most
