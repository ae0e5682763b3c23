"""A role handed over: both sides in one act, and never no owner."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from trainer.errors import NotAllowed, Refusal
from trainer.records import history, people, queries
from trainer.records.handing_over import hand_over


def roles(shop: Any, shop_people: Any) -> dict[str, set[str]]:
    with shop.store.read() as session:
        return {row.sign_in: set(row.roles) for row in queries.people(session, shop_people.owner)}


def over(
    shop: Any, by: Any, now: datetime, giver: Any, taker: Any, role: str, stays: str = "trainer"
) -> None:
    with shop.store.write() as session:
        hand_over(session, by, now, giver_id=giver.id, taker_id=taker.id, role=role, stays=stays)


def test_the_last_owner_hands_the_shop_over(shop: Any, shop_people: Any, now: datetime) -> None:
    owner, trainer = shop_people.owner, shop_people.trainer
    over(shop, owner, now, owner, trainer, "owner", stays="apprentice")
    found = roles(shop, shop_people)
    assert found[trainer.sign_in] == {"owner", "trainer"} and found[owner.sign_in] == {"apprentice"}
    with shop.store.read() as session:
        assert history.verify(session).ok


def test_another_role_goes_from_one_to_another(shop: Any, shop_people: Any, now: datetime) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    over(shop, owner, now, trainer, ana, "trainer", stays="apprentice")
    found = roles(shop, shop_people)
    assert found[ana.sign_in] == {"apprentice", "trainer"} and found[trainer.sign_in] == {"apprentice"}


def test_what_cannot_be_handed_over_changes_nothing(shop: Any, shop_people: Any, now: datetime) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    with shop.store.write() as session:
        new = people.add_person(session, owner, now, name="New", sign_in="new", roles=["trainer"])
        people.deactivate(session, owner, now, shop_people.other.id)
    before = roles(shop, shop_people)
    fresh = type("Fresh", (), {"id": new.person_id})
    for by, giver, taker, role, kind in (
        (owner, owner, owner, "owner", Refusal),  # to oneself
        (owner, trainer, ana, "owner", Refusal),  # does not hold it
        (owner, trainer, fresh, "trainer", Refusal),  # holds it already
        (owner, owner, fresh, "owner", Refusal),  # has not signed in yet
        (owner, owner, shop_people.other, "owner", Refusal),  # has left
        (trainer, owner, trainer, "owner", NotAllowed),
        (ana, trainer, ana, "trainer", NotAllowed),
    ):
        with pytest.raises(kind):
            over(shop, by, now, giver, taker, role)
        assert roles(shop, shop_people) == before


def test_the_last_owner_cannot_remove_themselves(shop: Any, shop_people: Any, now: datetime) -> None:
    owner = shop_people.owner
    with shop.store.write() as session, pytest.raises(Refusal, match="last owner"):
        people.deactivate(session, owner, now, owner.id)
    with shop.store.write() as session, pytest.raises(Refusal, match="last owner"):
        people.change_roles(session, owner, now, owner.id, ["trainer"])
