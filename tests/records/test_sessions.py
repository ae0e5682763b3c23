"""Signed-in browsers: rows that end when signed out, left alone, too old, or with the person's stamp.

Idle and absolute limits, a renewed key at sign-in and ending at sign-out: OWASP Session Management Cheat Sheet
(from memory); the figures are the shop's.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from sqlalchemy import func, select

from trainer.records import people, sessions, signin
from trainer.records.actors import person_of
from trainer.records.models import WebSession
from trainer.records.store import Store

HOUR = timedelta(hours=1)


def start(store: Store, who: Any, now: Any) -> str:
    with store.write() as session:
        return sessions.start(session, who, now)


def who_is(store: Store, now: Any, key: str) -> Any:
    with store.read() as session:
        signed = sessions.current(session, now, key)
        return None if signed is None else signed.actor


def rows(store: Store) -> int:
    with store.read() as session:
        return session.scalar(select(func.count(WebSession.id))) or 0


def test_the_key_says_who_and_is_not_stored(store: Store, shop_people: Any, now: Any) -> None:
    key, other = start(store, shop_people.apprentice, now), start(store, shop_people.apprentice, now)
    assert key != other and len(key) >= 43  # 256 bits
    assert who_is(store, now, key) == shop_people.apprentice
    assert who_is(store, now, "another key") is None
    with store.read() as session:
        kept = session.scalars(select(WebSession.key_hash)).all()
    assert len(kept) == 2 and key not in kept


def test_signed_out_it_is_over_here_and_not_elsewhere(store: Store, shop_people: Any, now: Any) -> None:
    here, there = start(store, shop_people.apprentice, now), start(store, shop_people.apprentice, now)
    with store.write() as session:
        sessions.end(session, here)
    assert who_is(store, now, here) is None and who_is(store, now, there) is not None


def test_left_alone_it_ends(store: Store, shop_people: Any, now: Any) -> None:
    key = start(store, shop_people.apprentice, now)
    assert who_is(store, now + sessions.IDLE - timedelta(seconds=1), key) is not None
    assert who_is(store, now + sessions.IDLE, key) is None


def test_used_all_the_time_it_still_ends_at_the_longest(store: Store, shop_people: Any, now: Any) -> None:
    key, at = start(store, shop_people.apprentice, now), now
    while at - now < sessions.LONGEST - HOUR:
        at += HOUR
        with store.write() as session:
            sessions.note_seen(session, at, key)
        assert who_is(store, at, key) is not None
    assert who_is(store, now + sessions.LONGEST, key) is None


def test_every_session_ends_with_the_stamp(store: Store, shop_people: Any, now: Any) -> None:
    ben, owner = shop_people.other, shop_people.owner

    def everywhere() -> None:
        with store.write() as session:
            sessions.end_everywhere(session, ben, now)

    def reset() -> None:
        with store.write() as session:
            people.new_code(session, owner, now, ben.id)

    def deactivate() -> None:
        with store.write() as session:
            people.deactivate(session, owner, now, ben.id)

    def new_password() -> None:
        signin.change_password(
            store, ben, now, old=shop_people.password, new="a brand new one", source="here"
        )

    for act in (new_password, everywhere, reset, deactivate):
        with store.read() as session:
            ben = people.as_actor(person_of(session, ben.id))  # with the stamp of today
        keys = [start(store, ben, now) for _ in range(2)]
        others = start(store, owner, now)
        assert all(who_is(store, now, key) for key in keys)
        act()
        assert [who_is(store, now, key) for key in keys] == [None, None], act.__name__
        assert who_is(store, now, others) == owner


def test_what_has_run_out_is_cleared_away_at_the_next_sign_in(
    store: Store, shop_people: Any, now: Any
) -> None:
    for _ in range(3):
        start(store, shop_people.other, now)
    start(store, shop_people.apprentice, now + 2 * sessions.IDLE)
    assert rows(store) == 1
