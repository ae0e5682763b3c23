"""The history: every act is in it, and a change to any past row is found."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from trainer.errors import NotAllowed
from trainer.records import grants, history, papers, people, queries, review
from trainer.records import shop as shops
from trainer.records.models import Event
from trainer.records.store import Store


def tampered(store: Store, path: Path, act: Callable[[sqlite3.Connection], object]) -> history.Verified:
    """Change the file behind the program's back, then verify."""
    with closing(sqlite3.connect(path)) as plain, plain:
        act(plain)
    with store.read() as session:
        return history.verify(session)


def test_an_untouched_history_holds(shop: Any, shop_people: Any) -> None:
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    with shop.store.read() as session:
        found = history.verify(session)
        last = session.scalars(select(Event).order_by(Event.number.desc()).limit(1)).one()
    assert found.ok and found.rows == last.number > 10 and found.unchecked == 0
    assert found.head == last.hash


@pytest.mark.parametrize("column", ["at", "kind", "actor_id", "person_id", "facts", "previous", "hash"])
def test_a_changed_value_is_found(store: Store, store_path: Path, column: str) -> None:
    value = {
        "at": "2026-01-01 00:00:00.000000",
        "actor_id": 3,
        "person_id": 3,
        "facts": json.dumps({"name": "Someone else"}),
    }.get(column, "f" * 64)
    found = tampered(
        store, store_path, lambda db: db.execute(f"UPDATE event SET {column} = ? WHERE number = 4", (value,))
    )
    assert not found.ok
    assert {fault.number for fault in found.faults} <= {4, 5}


def test_a_row_changed_and_hashed_again_is_found_further_on(store: Store, store_path: Path) -> None:
    """Whoever changes a row must hash every row after it again, and ends at another head."""
    with store.write() as session:
        events = session.scalars(select(Event).order_by(Event.number)).all()
        head = events[-1].hash
        events[3].facts = {"name": "Someone else"}
        events[3].hash = events[4].previous = history.digest(events[3])
    with store.read() as session:
        assert [fault.number for fault in history.verify(session).faults] == [events[4].number]
    with store.write() as session:
        events = session.scalars(select(Event).order_by(Event.number)).all()
        for before, after in pairwise(events[3:]):
            after.previous = before.hash
            after.hash = history.digest(after)
    with store.read() as session:
        found = history.verify(session)
    assert found.head != head
    assert [fault.sentence.en for fault in found.faults] == ["The newest events are missing."]


def test_a_removed_row_is_found(store: Store, store_path: Path) -> None:
    found = tampered(store, store_path, lambda db: db.execute("DELETE FROM event WHERE number = 3"))
    assert [(fault.number, fault.sentence.en) for fault in found.faults] == [
        (4, "Events before this one are missing.")
    ]


@pytest.mark.parametrize("number", [1, -1], ids=["first", "last"])
def test_a_row_cut_off_an_end_is_found(store: Store, store_path: Path, number: int) -> None:
    which = "(SELECT max(number) FROM event)" if number < 0 else "1"
    assert not tampered(
        store, store_path, lambda db: db.execute(f"DELETE FROM event WHERE number = {which}")
    ).ok


def test_a_history_emptied_with_its_head_left_is_found(store: Store, store_path: Path) -> None:
    assert not tampered(store, store_path, lambda db: db.execute("DELETE FROM event")).ok


def test_an_inserted_row_is_found(store: Store, store_path: Path) -> None:
    def insert(db: sqlite3.Connection) -> None:
        db.execute("UPDATE event SET number = -number WHERE number >= 3")
        db.execute("UPDATE event SET number = 1 - number WHERE number < 0")
        db.execute(
            "INSERT INTO event SELECT 3, at, kind, actor_id, person_id, facts, hash, hash FROM event WHERE number = 2"
        )

    assert not tampered(store, store_path, insert).ok


def test_two_rows_exchanged_are_found(store: Store, store_path: Path) -> None:
    def exchange(db: sqlite3.Connection) -> None:
        for start, end in ((3, -3), (4, 3), (-3, 4)):
            db.execute("UPDATE event SET number = ? WHERE number = ?", (end, start))

    assert not tampered(store, store_path, exchange).ok


def test_every_act_is_in_the_history(shop: Any, shop_people: Any, now: datetime) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    shop.make_ready(trainer, ana)
    shop.grant(owner, ana)
    shop.sign_off(trainer, ana, passed=False)
    out = shop.assign(trainer, ana).papers[0]
    with shop.store.write() as session:
        papers.hand_in(session, ana, now, out)
        review.comment(session, trainer, now, paper_id=1, position=None, text="Good.", token="c")
        review.change_grade(session, trainer, now, paper_id=1, position=1, credit=0.5, reason="half")
        review.finish(session, trainer, now, 1)
        number = grants.suspend(
            session, trainer, now, person_id=ana.id, clearance="ladder", reason="near miss", rules=shop.rules
        )
        grants.lift(
            session,
            owner,
            now,
            person_id=ana.id,
            clearance="ladder",
            suspension_id=number,
            reason="trained again",
        )
        shops.change_standard(session, owner, now, {"overhang": 2.5})
        shops.change_shop(session, owner, now, name="Hill Chimney")
        people.change_person(session, owner, now, ana.id, name="Ana B. Abel")
        people.change_roles(session, owner, now, ana.id, ["apprentice", "trainer"])
        people.new_code(session, owner, now, ana.id)
        people.deactivate(session, owner, now, ana.id)
        people.reactivate(session, owner, now, ana.id)
    with shop.store.read() as session:
        kinds = set(session.scalars(select(Event.kind)))
        assert history.verify(session).ok
    assert kinds == {
        "answer given",
        "clearance granted",
        "clearance suspended",
        "check question answered",
        "comment made",
        "grade changed",
        "lesson gone through",
        "lesson read",
        "paper handed in",
        "paper opened",
        "paper reviewed",
        "password set",
        "person added",
        "person changed",
        "person deactivated",
        "person reactivated",
        "quiz assigned",
        "roles changed",
        "shop changed",
        "shop set up",
        "sign-in reset",
        "standard changed",
        "suspension lifted",
        "task not passed",
        "task signed off",
    }


def test_the_owner_reads_it_newest_first_by_person_and_kind(store: Store, shop_people: Any) -> None:
    with store.read() as session:
        whole = queries.history(session, shop_people.owner, per_page=3)
        second = queries.history(session, shop_people.owner, page=2, per_page=3)
        ana = queries.history(session, shop_people.owner, person_id=shop_people.apprentice.id)
        added = queries.history(session, shop_people.owner, kind="person added")
        with pytest.raises(NotAllowed):
            queries.history(session, shop_people.trainer)
    numbers = [event.number for event in (*whole.items, *second.items)]
    assert numbers == sorted(numbers, reverse=True) and len(numbers) == 6
    assert (whole.total, whole.pages) == (numbers[0], -(-numbers[0] // 3))
    assert {event.about for event in ana.items} == {"Ana Abel"}
    assert [event.about for event in added.items] == ["Ben Bauer", "Ana Abel", "Theo Tran", "Olive Ortega"]
    assert added.items[0].by == "Olive Ortega"


def test_what_json_cannot_hold_is_refused(store: Store, now: datetime) -> None:
    with pytest.raises(TypeError, match="cannot stand in the history"), store.write() as session:
        history.append(session, now, kind="x", actor_id=None, odd=object())
    with pytest.raises(ValueError), store.write() as session:
        history.append(session, now, kind="x", actor_id=None, odd=float("nan"))
