"""People: set-up, one-time codes, roles, deactivating; the last owner stays."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from trainer.errors import NotAllowed, Refusal, StoreError, UnknownName
from trainer.records import people, queries, sessions, signin
from trainer.records import shop as shops
from trainer.records.models import EntryCode, Event, Person
from trainer.records.people import Actor
from trainer.records.store import Store

SETUP: dict[str, Any] = {
    "name": "Ridge Chimney",
    "zone": "America/Chicago",
    "language": "es",
    "owner_name": "Rosa Rey",
    "owner_sign_in": "Rosa",
}
GOOD = "a long enough one"


def test_set_up_makes_the_shop_once_with_an_owner_who_has_no_password(
    empty_store: Store, now: datetime
) -> None:
    with empty_store.read() as session:
        assert shops.shop(session) is None
        with pytest.raises(StoreError, match="trainer init"):
            shops.the_shop(session)
    with empty_store.write() as session:
        first = people.set_up_shop(session, now, **SETUP)
    with empty_store.read() as session:
        info = shops.shop(session)
        assert info is not None and (info.name, info.zone, len(info.secret)) == (
            "Ridge Chimney",
            "America/Chicago",
            64,
        )
        assert session.get_one(Person, first.person_id).password_hash is None
        assert session.get_one(Person, first.person_id).sign_in == "rosa"
    with pytest.raises(Refusal, match="already"), empty_store.write() as session:
        people.set_up_shop(session, now, **SETUP)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"name": "  "}, "name is missing"),
        ({"zone": "Mars/North"}, "no time zone"),
        ({"zone": "../etc/passwd"}, "no time zone"),
        ({"language": "fr"}, "no language"),
        ({"owner_sign_in": "r"}, "cannot be used"),
        ({"owner_sign_in": "two words"}, "cannot be used"),
        ({"owner_name": "x" * 200}, "at most 120"),
    ],
)
def test_set_up_refuses(empty_store: Store, now: datetime, change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence), empty_store.write() as session:
        people.set_up_shop(session, now, **{**SETUP, **change})
    with empty_store.read() as session:
        assert shops.shop(session) is None


def test_a_person_can_hold_several_roles(store: Store, shop_people: Any, now: datetime) -> None:
    with store.write() as session:
        added = people.add_person(
            session,
            shop_people.owner,
            now,
            name="Una",
            sign_in="UNA@shop",
            roles=["owner", "trainer"],
            language="es",
        )
    with store.read() as session:
        row = next(row for row in queries.people(session, shop_people.owner) if row.id == added.person_id)
    assert (row.sign_in, row.roles, row.has_password) == ("una@shop", {"owner", "trainer"}, False)
    assert row.code_until == now + timedelta(days=7)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"sign_in": "ANA"}, "taken"),
        ({"roles": []}, "at least one role"),
        ({"roles": ["apprentice", "king"]}, "'king' is no role"),
        ({"name": ""}, "name is missing"),
    ],
)
def test_adding_refuses(
    store: Store, shop_people: Any, now: datetime, change: dict[str, Any], sentence: str
) -> None:
    given: dict[str, Any] = {"name": "Una", "sign_in": "una", "roles": ["apprentice"], **change}
    with pytest.raises(Refusal, match=sentence), store.write() as session:
        people.add_person(session, shop_people.owner, now, **given)


def test_only_an_owner_manages_people(store: Store, shop_people: Any, now: datetime) -> None:
    target = shop_people.other.id
    acts = [
        lambda s, who: people.add_person(s, who, now, name="Una", sign_in="una", roles=["apprentice"]),
        lambda s, who: people.new_code(s, who, now, target),
        lambda s, who: people.deactivate(s, who, now, target),
        lambda s, who: people.reactivate(s, who, now, target),
        lambda s, who: people.change_roles(s, who, now, target, ["owner"]),
        lambda s, who: people.change_person(s, who, now, target, name="Other"),
        lambda s, who: people.change_person(s, who, now, target, language="es"),
    ]
    for who in (shop_people.trainer, shop_people.apprentice):
        for act in acts:
            with pytest.raises(NotAllowed), store.write() as session:
                act(session, who)


def test_a_person_changes_their_own_language_but_not_their_name(
    store: Store, shop_people: Any, now: datetime
) -> None:
    ana = shop_people.apprentice
    with store.write() as session:
        people.change_person(session, ana, now, ana.id, language="en")
    with pytest.raises(NotAllowed), store.write() as session:
        people.change_person(session, ana, now, ana.id, name="Queen Ana")
    with store.read() as session:
        assert session.get_one(Person, ana.id).language == "en"


def test_the_last_owner_stays(store: Store, shop_people: Any, now: datetime) -> None:
    owner, trainer = shop_people.owner, shop_people.trainer
    for act in (
        lambda s: people.deactivate(s, owner, now, owner.id),
        lambda s: people.change_roles(s, owner, now, owner.id, ["trainer"]),
    ):
        with pytest.raises(Refusal, match="last owner"), store.write() as session:
            act(session)
    with store.write() as session:
        people.change_roles(session, owner, now, trainer.id, ["trainer", "owner"])
    with store.write() as session:
        people.change_roles(session, owner, now, owner.id, ["trainer"])
    with store.read() as session:
        roles = {row.id: row.roles for row in queries.people(session, trainer)}
    assert roles[owner.id] == {"trainer"} and roles[trainer.id] == {"trainer", "owner"}


def test_deactivating_ends_sessions_and_codes_and_keeps_records(
    store: Store, shop_people: Any, now: datetime
) -> None:
    ben, owner = shop_people.other, shop_people.owner
    with store.write() as session:
        key = sessions.start(session, ben, now)
        code = people.new_code(session, owner, now, ben.id)
        people.deactivate(session, owner, now, ben.id)
    with store.read() as session:
        assert sessions.current(session, now, key) is None
    for refused in (
        signin.check(store, now, sign_in="ben", password=shop_people.password, source="x"),
        signin.redeem(store, now, sign_in="ben", code=code, password=GOOD, source="x"),
    ):
        assert isinstance(refused, Refusal)
    with pytest.raises(Refusal, match="deactivated"), store.write() as session:
        people.new_code(session, owner, now, ben.id)
    with store.write() as session:
        code = people.reactivate(session, owner, now, ben.id)
    back = signin.redeem(store, now, sign_in="ben", code=code, password=GOOD, source="x")
    assert isinstance(back, Actor)
    with store.read() as session:
        assert [row.active for row in queries.people(session, owner)] == [True] * 4


def test_unknown_people_are_named_as_unknown(store: Store, shop_people: Any, now: datetime) -> None:
    with pytest.raises(UnknownName), store.write() as session:
        people.deactivate(session, shop_people.owner, now, 999)


def test_no_code_or_password_is_stored_or_in_the_history(
    store: Store, shop_people: Any, now: datetime
) -> None:
    with store.write() as session:
        code = people.new_code(session, shop_people.owner, now, shop_people.other.id)
    with store.read() as session:
        kept = [entry.code_hash for entry in session.scalars(select(EntryCode))]
        facts = [str(event.facts) for event in session.scalars(select(Event))]
    assert kept and facts
    for secret in (code, code.replace("-", ""), shop_people.password):
        assert not any(secret in text for text in kept + facts)
