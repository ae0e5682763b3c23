"""Reading a lesson: in order to the end, its check questions right, each try with numbers of its own."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from trainer.clearance import ReadingEvidence
from trainer.errors import Refusal, UnknownName, Unreadable
from trainer.records import history, lessons, queries
from trainer.records.evidence import evidence_of
from trainer.records.models import CheckAnswer, Event, LessonReading
from trainer.records.submissions import ChangedMeanwhile


@pytest.fixture
def ladders(rules: Any) -> Any:
    """Sections why, how, end; check questions ladder-0 and ladder-1."""
    return rules.lessons["ladders"]


def readings(shop: Any, who: Any) -> tuple[ReadingEvidence, ...]:
    with shop.store.read() as session:
        return evidence_of(session, who.id).readings


def row(shop: Any, who: Any, lesson: str = "ladders") -> Any:
    with shop.store.read() as session:
        return next(row for row in queries.lessons(session, who, shop.rules) if row.id == lesson)


def test_it_counts_only_with_the_last_section_and_every_check_question(
    shop: Any, shop_people: Any, ladders: Any
) -> None:
    ana = shop_people.apprentice
    assert shop.read_sections(ana, ladders, "why", "how") == "end"
    assert not shop.check(ana, ladders, "ladder-0").read
    assert not shop.check(ana, ladders, "ladder-1").read
    assert readings(shop, ana) == (), "the last section is still to read"
    assert shop.read_sections(ana, ladders, "end") is None
    (read,) = readings(shop, ana)
    assert (read.lesson, read.version) == ("ladders", 1)
    assert readings(shop, shop_people.other) == ()


def test_it_counts_with_the_last_right_answer_when_that_comes_last(
    shop: Any, shop_people: Any, ladders: Any
) -> None:
    ana = shop_people.apprentice
    shop.read_sections(ana, ladders)
    assert not shop.check(ana, ladders, "ladder-0").read
    wrong = shop.check(ana, ladders, "ladder-1", right=False)
    assert (wrong.right, wrong.read, readings(shop, ana)) == (False, False, ())
    assert shop.check(ana, ladders, "ladder-1").read
    with shop.store.read() as session:
        reading = session.scalars(select(LessonReading)).one()
        assert reading.checked == [["ladder-0", 1], ["ladder-1", 2]], "each with the try that was right"
        told = session.scalars(select(Event).where(Event.kind == "lesson read")).one()
        assert told.facts == {"lesson": "ladders", "version": 1, "checked": reading.checked}
        assert history.verify(session).ok


def test_sections_are_read_in_order_and_the_place_is_kept(shop: Any, shop_people: Any, ladders: Any) -> None:
    ana = shop_people.apprentice
    assert (row(shop, ana).done, row(shop, ana).go_on, row(shop, ana).begun) == (0, None, False)
    with pytest.raises(Refusal, match="before this one"):
        shop.read_sections(ana, ladders, "end")
    assert row(shop, ana).done == 0
    shop.read_sections(ana, ladders, "why")
    assert (row(shop, ana).done, row(shop, ana).go_on) == (1, "how")
    shop.read_sections(ana, ladders, "how")
    shop.now += timedelta(hours=1)
    assert shop.read_sections(ana, ladders, "why") == "how", "an earlier one is gone on from"
    found = row(shop, ana)
    assert (found.done, found.go_on) == (2, "end"), "and takes nothing back"
    assert found.come_at == shop.now - timedelta(hours=1)
    with pytest.raises(UnknownName):
        shop.read_sections(ana, ladders, "nowhere")


def test_home_leads_back_to_where_one_read_last(shop: Any, shop_people: Any, ladders: Any) -> None:
    ana = shop_people.apprentice
    with shop.store.read() as session:
        assert queries.home(session, ana, shop.now, shop.rules).going_on is None
    shop.read_sections(ana, ladders, "why")
    shop.now += timedelta(minutes=5)
    shop.read_sections(ana, shop.rules.lessons["crowns"], "aim")
    with shop.store.read() as session:
        assert queries.home(session, ana, shop.now, shop.rules).going_on.id == "crowns"
    shop.read(ana, "crowns")
    with shop.store.read() as session:
        home = queries.home(session, ana, shop.now, shop.rules)
    assert (home.going_on.id, [one.id for one in home.unread]) == ("ladders", ["ladders"])


def test_each_try_has_numbers_that_nobody_has_seen(shop: Any, shop_people: Any, ladders: Any) -> None:
    seeds = {
        lessons.attempt_seed(person, lesson, question, attempt)
        for person in range(1, 6)
        for lesson in (ladders, replace(ladders, version=2), shop.rules.lessons["crowns"])
        for question in ladders.check
        for attempt in range(1, 21)
    }
    assert len(seeds) == 5 * 3 * 2 * 20
    # Practice takes seeds of at most nine digits from its address.
    assert min(seeds) >= 10**9 and max(seeds) < 2**63


def test_a_try_is_answered_once(shop: Any, shop_people: Any, ladders: Any) -> None:
    ana = shop_people.apprentice
    wrong = shop.send_check(ana, ladders, "ladder-0", 1, "99", token="form")
    assert not wrong.right
    again = shop.send_check(ana, ladders, "ladder-0", 1, "99", token="form")
    assert (again.right, again.draw) == (False, wrong.draw), "the same form is confirmed"
    right = str(wrong.draw.expected)
    for token in ("form", "another form"):  # the answer was shown after the first try
        with pytest.raises(ChangedMeanwhile, match="new ones"):
            shop.send_check(ana, ladders, "ladder-0", 1, right, token=token)
    with pytest.raises(ChangedMeanwhile):
        shop.send_check(ana, ladders, "ladder-0", 3, right)
    with pytest.raises(ChangedMeanwhile):  # the shop standard was changed between showing and answering
        shop.send_check(ana, ladders, "ladder-0", 2, right, mark="other")
    with pytest.raises(Unreadable):
        shop.send_check(ana, ladders, "ladder-0", 2, "soon")
    with pytest.raises(Refusal, match="at most 500"):
        shop.send_check(ana, ladders, "ladder-0", 2, "1" * 501)
    with pytest.raises(UnknownName):
        shop.send_check(ana, ladders, "slope-0", 1, "1")
    with shop.store.read() as session:
        assert len(session.scalars(select(CheckAnswer)).all()) == 1
    assert shop.check(ana, ladders, "ladder-0").right
    with pytest.raises(Refusal, match="right already"):
        shop.check(ana, ladders, "ladder-0")


def test_another_version_begins_again(shop: Any, shop_people: Any, ladders: Any) -> None:
    ana, newer = shop_people.apprentice, replace(ladders, version=2)
    shop.read(ana)
    for act in (
        lambda: shop.send_check(ana, newer, "ladder-0", 1, "1", version=1),
        lambda: _section_at(shop, ana, newer, 1),
    ):
        with pytest.raises(ChangedMeanwhile, match="version 2 stands now"):
            act()
    shop.rules.lessons["ladders"] = newer
    found = row(shop, ana)
    assert (found.state, found.read_version, found.done, found.checks_right) == ("changed since", 1, 0, 0)
    shop.read(ana)
    assert [one.version for one in readings(shop, ana)] == [1, 2]
    assert row(shop, ana).state == "read"


def _section_at(shop: Any, who: Any, lesson: Any, version: int) -> None:
    with shop.store.write() as session:
        lessons.read_section(session, who, shop.now, lesson=lesson, version=version, section="why")


def test_a_section_that_is_gone_from_the_lesson_leaves_nobody_stuck(
    shop: Any, shop_people: Any, ladders: Any
) -> None:
    ana = shop_people.apprentice
    shop.read_sections(ana, ladders, "why", "how")
    shop.rules.lessons["ladders"] = replace(ladders, sections=("why", "what", "end"))
    assert row(shop, ana).done == 0
    shop.read(ana)
    assert len(readings(shop, ana)) == 1


def test_reading_it_again_changes_nothing(shop: Any, shop_people: Any, ladders: Any) -> None:
    shop.read(shop_people.apprentice)
    with shop.store.read() as session:
        before = history.verify(session)
    shop.read_sections(shop_people.apprentice, ladders)
    with shop.store.read() as session:
        assert history.verify(session) == before


def test_what_was_read_before_there_were_check_questions_goes_on_counting(
    shop: Any, shop_people: Any, store_path: Path
) -> None:
    """A reading as the first version of the program noted it, and its event, stand as they were."""
    ana = shop_people.apprentice
    with shop.store.write() as session:
        session.add(LessonReading(person_id=ana.id, lesson="ladders", version=1, at=shop.now))
        history.append(
            session,
            shop.now,
            kind="lesson read",
            actor_id=ana.id,
            person_id=ana.id,
            lesson="ladders",
            version=1,
        )
    (read,) = readings(shop, ana)
    assert (read.lesson, read.version) == ("ladders", 1)
    found = row(shop, ana)
    assert (found.state, found.with_check, found.settled) == ("read", False, True)
    with shop.store.read() as session:
        verified = history.verify(session)
    assert (verified.ok, verified.unchecked) == (True, 1)
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE lesson_reading SET version = 7")
    with shop.store.read() as session:
        assert not history.verify(session).ok
