"""Signing in: one-time codes, limits on tries, no hint whether a name exists, sessions that end."""

from __future__ import annotations

import threading
from datetime import datetime, timedelta
from typing import Any

import pytest

from trainer.errors import Refusal
from trainer.records import passwords, people, signin
from trainer.records.models import Person
from trainer.records.people import Actor
from trainer.records.signin import TooManyTries
from trainer.records.store import PasswordCost, Store, open_store

MINUTE = timedelta(minutes=1)


def check(store: Store, now: datetime, sign_in: str, password: str, source: str = "here") -> Actor | Refusal:
    return signin.check(store, now, sign_in=sign_in, password=password, source=source)


def test_the_right_password_signs_in_whatever_the_letter_case_of_the_name(
    store: Store, shop_people: Any, now: datetime
) -> None:
    assert check(store, now, "  ANA ", shop_people.password) == shop_people.apprentice


def test_unknown_wrong_and_deactivated_give_one_sentence_and_one_kind(
    store: Store, shop_people: Any, now: datetime
) -> None:
    with store.write() as session:
        people.deactivate(session, shop_people.owner, now, shop_people.other.id)
    refused = [
        check(store, now, "nobody", shop_people.password),
        check(store, now, "ana", "wrong password"),
        check(store, now, "ben", shop_people.password),
    ]
    assert {(type(one), str(one)) for one in refused} == {(Refusal, str(refused[0]))}


def test_an_unknown_name_costs_the_same_work(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked: list[str] = []
    real = passwords.PasswordHasher.verify

    def noted(self: Any, stored: str, password: str) -> Any:
        worked.append(stored)
        return real(self, stored, password)

    monkeypatch.setattr(passwords.PasswordHasher, "verify", noted)
    check(store, now, "nobody", "wrong password")
    check(store, now, "ana", "wrong password")
    assert len(worked) == 2


def test_five_wrong_tries_are_the_most_in_a_quarter_of_an_hour(
    store: Store, shop_people: Any, now: datetime
) -> None:
    for name in ("ana", "nobody"):
        for n in range(5):
            assert type(check(store, now + n * MINUTE, name, "wrong password")) is Refusal
        refused = check(store, now + 5 * MINUTE, name, shop_people.password)
        assert isinstance(refused, TooManyTries)
        assert refused.wait_minutes == 10
    assert isinstance(check(store, now + 15 * MINUTE, "ana", shop_people.password), Actor)


def test_the_limit_holds_in_another_process_and_not_for_another_address(
    store: Store, store_path: Any, shop_people: Any, now: datetime
) -> None:
    for _ in range(5):
        check(store, now, "ana", "wrong password")
    other_process = open_store(store_path, password_cost=store.password_cost)
    assert isinstance(check(other_process, now, "ana", shop_people.password), TooManyTries)
    other_process.close()
    assert isinstance(check(store, now, "ana", shop_people.password, source="elsewhere"), Actor)


def test_one_address_cannot_try_many_names_even_with_a_sign_in_of_its_own(
    store: Store, shop_people: Any, now: datetime
) -> None:
    for n in range(30):
        check(store, now, f"name{n}", "wrong password")
        if n % 7 == 0:
            check(store, now, "ben", shop_people.password)
    assert isinstance(check(store, now, "ana", shop_people.password), TooManyTries)


def test_one_name_cannot_be_tried_from_many_addresses(store: Store, shop_people: Any, now: datetime) -> None:
    for n in range(50):
        check(store, now, "ana", "wrong password", source=f"address {n}")
    assert isinstance(check(store, now, "ana", shop_people.password, source="fresh"), TooManyTries)


def test_a_success_forgives_the_tries_before_it(store: Store, shop_people: Any, now: datetime) -> None:
    for n in range(4):
        check(store, now + n * MINUTE, "ana", "wrong password")
    assert isinstance(check(store, now + 4 * MINUTE, "ana", shop_people.password), Actor)
    assert type(check(store, now + 5 * MINUTE, "ana", "wrong password")) is Refusal
    assert isinstance(check(store, now + 6 * MINUTE, "ana", shop_people.password), Actor)


def redeem(store: Store, now: datetime, code: str, password: str = "a brand new one") -> Actor | Refusal:
    return signin.redeem(store, now, sign_in="ben", code=code, password=password, source="here")


def test_a_code_is_good_once_for_seven_days_and_however_it_is_typed(
    store: Store, shop_people: Any, now: datetime
) -> None:
    with store.write() as session:
        code = people.new_code(session, shop_people.owner, now, shop_people.other.id)
    assert type(check(store, now, "ben", shop_people.password)) is Refusal  # a reset ends the old password
    assert type(redeem(store, now + timedelta(days=7), code)) is Refusal
    assert type(redeem(store, now, "BCDF-GHJK-LMNP")) is Refusal
    entered = redeem(store, now + timedelta(days=6), f" {code.lower().replace('-', ' ')} ")
    assert isinstance(entered, Actor)
    assert type(redeem(store, now + timedelta(days=6), code)) is Refusal
    assert check(store, now + timedelta(days=6), "ben", "a brand new one") == entered


def test_a_newer_code_ends_the_older(store: Store, shop_people: Any, now: datetime) -> None:
    with store.write() as session:
        older = people.new_code(session, shop_people.owner, now, shop_people.other.id)
        newer = people.new_code(session, shop_people.owner, now, shop_people.other.id)
    assert type(redeem(store, now, older)) is Refusal
    assert isinstance(redeem(store, now, newer), Actor)


def test_a_short_password_is_refused_and_leaves_the_code_good(
    store: Store, shop_people: Any, now: datetime
) -> None:
    with store.write() as session:
        code = people.new_code(session, shop_people.owner, now, shop_people.other.id)
    refused = redeem(store, now, code, "too short")
    assert isinstance(refused, Refusal) and "9 characters" in str(refused)
    assert isinstance(redeem(store, now, code, "ten signs!"), Actor)


def test_guessing_codes_is_limited_too(store: Store, shop_people: Any, now: datetime) -> None:
    with store.write() as session:
        code = people.new_code(session, shop_people.owner, now, shop_people.other.id)
    for _ in range(5):
        redeem(store, now, "BCDF-GHJK-LMNP")
    assert isinstance(redeem(store, now, code), TooManyTries)


def change(store: Store, who: Actor, now: datetime, old: str, new: str = "a brand new one") -> Actor:
    return signin.change_password(store, who, now, old=old, new=new, source="here")


def test_a_changed_password_is_the_one_that_counts(store: Store, shop_people: Any, now: datetime) -> None:
    ana = shop_people.apprentice
    with pytest.raises(Refusal, match="old password is wrong"):
        change(store, ana, now, "wrong password")
    with pytest.raises(Refusal, match="9 characters"):
        change(store, ana, now, shop_people.password, "too short")
    fresh = change(store, ana, now, shop_people.password)
    assert fresh.stamp != ana.stamp
    assert type(check(store, now, "ana", shop_people.password)) is Refusal
    assert check(store, now, "ana", "a brand new one") == fresh


def test_tries_at_the_old_password_are_limited_in_every_process(
    store: Store, store_path: Any, shop_people: Any, now: datetime
) -> None:
    """A thief with an open browser must not guess the password at leisure."""
    other_process = open_store(store_path, password_cost=store.password_cost)
    for place in range(5):
        with pytest.raises(Refusal, match="old password is wrong"):
            change((store, other_process)[place % 2], shop_people.apprentice, now, "wrong password")
    for one in (store, other_process):
        with pytest.raises(TooManyTries):
            change(one, shop_people.apprentice, now, shop_people.password)
    other_process.close()
    assert isinstance(change(store, shop_people.apprentice, now + 15 * MINUTE, shop_people.password), Actor)


def test_tries_made_at_once_are_all_counted(store: Store, shop_people: Any, now: datetime) -> None:
    """The count stands before the password is looked at, so a burst gets no further than the limit."""
    outcomes: list[Actor | Refusal] = []
    burst = [
        threading.Thread(target=lambda: outcomes.append(check(store, now, "ana", "wrong password")))
        for _ in range(12)
    ]
    for thread in burst:
        thread.start()
    for thread in burst:
        thread.join()
    assert sorted(type(one).__name__ for one in outcomes) == ["Refusal"] * 5 + ["TooManyTries"] * 7


def test_no_password_is_hashed_while_the_store_is_locked(
    store: Store, store_path: Any, shop_people: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Hashing takes long on purpose: everyone else's answers must not wait for it."""
    others = open_store(store_path, password_cost=store.password_cost)
    worked: list[str] = []

    def watched(name: str) -> Any:
        real = getattr(passwords.PasswordHasher, name)

        def call(self: Any, *given: Any) -> Any:
            with others._lock.held(wait=0.2):  # StoreError when this process holds it
                worked.append(name)
            return real(self, *given)

        return call

    with store.write() as session:
        code = people.new_code(session, shop_people.owner, now, shop_people.other.id)
    for name in ("hash", "verify"):
        monkeypatch.setattr(passwords.PasswordHasher, name, watched(name))
    dearer = open_store(store_path, password_cost=PasswordCost(time=2, memory=16, lanes=1))
    assert isinstance(check(dearer, now, "ana", shop_people.password), Actor)  # verified, and hashed again
    assert isinstance(redeem(store, now, code), Actor)
    assert isinstance(change(store, shop_people.trainer, now, shop_people.password), Actor)
    assert sorted(worked) == ["hash", "hash", "hash", "verify", "verify"]
    dearer.close()
    others.close()


def test_a_password_changed_while_another_is_looked_at_wins(
    store: Store, shop_people: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = signin.password_fits

    def reset_meanwhile(*given: Any) -> bool:
        with store.write() as session:
            people.new_code(session, shop_people.owner, now, shop_people.apprentice.id)
        return real(*given)

    monkeypatch.setattr(signin, "password_fits", reset_meanwhile)
    assert type(check(store, now, "ana", shop_people.password)) is Refusal


def test_a_password_made_at_another_cost_is_hashed_again_at_sign_in(
    store: Store, store_path: Any, shop_people: Any, now: datetime
) -> None:
    dearer = open_store(store_path, password_cost=PasswordCost(time=2, memory=16, lanes=1))
    assert isinstance(check(dearer, now, "ana", shop_people.password), Actor)
    with dearer.read() as session:
        assert "m=16,t=2" in str(session.get_one(Person, shop_people.apprentice.id).password_hash)
    dearer.close()


def test_the_default_cost_is_the_recommended_minimum() -> None:
    # OWASP Password Storage Cheat Sheet: Argon2id with at least 19 MiB, two passes, one lane.
    cost = passwords.DEFAULT_COST
    assert cost.memory >= 19 * 1024 and cost.time >= 2 and cost.lanes >= 1
