"""Crews: who makes and changes them, and that nothing is overwritten or doubled."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import crews, history, people, queries
from trainer.records.submissions import ChangedMeanwhile


@pytest.fixture
def made(shop: Any, shop_people: Any, now: datetime) -> int:
    with shop.store.write() as session:
        return crews.make(session, shop_people.trainer, now, name="North", people=[shop_people.apprentice.id])


def all_of(shop: Any, shop_people: Any) -> list[tuple[str, set[int]]]:
    with shop.store.read() as session:
        return [(row.name, set(row.people)) for row in queries.crews(session, shop_people.owner)]


def test_a_crew_is_made_renamed_and_emptied(shop: Any, shop_people: Any, now: datetime, made: int) -> None:
    ana, other = shop_people.apprentice.id, shop_people.other.id
    assert all_of(shop, shop_people) == [("North", {ana})]
    with shop.store.write() as session:
        crews.change(session, shop_people.owner, now, made, name="North side", people=[other, ana, ana])
    assert all_of(shop, shop_people) == [("North side", {ana, other})]
    with shop.store.write() as session:
        crews.change(session, shop_people.trainer, now, made, name="North side", people=[])
    assert all_of(shop, shop_people) == [("North side", set())]
    with shop.store.read() as session:
        assert history.verify(session).ok


def test_the_same_form_twice_makes_one(shop: Any, shop_people: Any, now: datetime, made: int) -> None:
    with shop.store.write() as session:
        again = crews.make(
            session, shop_people.trainer, now, name=" North ", people=[shop_people.apprentice.id]
        )
    assert again == made and len(all_of(shop, shop_people)) == 1


@pytest.mark.parametrize("name", ["North", "  north ", "NORTH"])
def test_no_two_crews_look_the_same(shop: Any, shop_people: Any, now: datetime, made: int, name: str) -> None:
    with shop.store.write() as session, pytest.raises(Refusal, match=r"There is a crew called North\."):
        crews.make(session, shop_people.owner, now, name=name, people=[])


@pytest.mark.parametrize("name", ["", "   ", "x" * 61])
def test_a_name_that_cannot_be(shop: Any, shop_people: Any, now: datetime, name: str) -> None:
    with shop.store.write() as session, pytest.raises(Refusal, match="name"):
        crews.make(session, shop_people.owner, now, name=name, people=[])


def test_what_changed_meanwhile_is_not_overwritten(
    shop: Any, shop_people: Any, now: datetime, made: int
) -> None:
    seen = crews.mark("North", [shop_people.apprentice.id])
    with shop.store.write() as session:
        crews.change(session, shop_people.owner, now, made, name="East", people=[])
    with (
        shop.store.write() as session,
        pytest.raises(ChangedMeanwhile, match="it is called East and has 0 people"),
    ):
        crews.change(session, shop_people.trainer, now, made, name="West", people=[], made_from=seen)
    assert all_of(shop, shop_people) == [("East", set())]


def test_whoever_has_left_stays_in_the_crew(shop: Any, shop_people: Any, now: datetime, made: int) -> None:
    ana = shop_people.apprentice.id
    with shop.store.write() as session:
        people.deactivate(session, shop_people.owner, now, ana)
        crews.change(session, shop_people.owner, now, made, name="Roofs", people=[ana])
    assert all_of(shop, shop_people) == [("Roofs", {ana})]


def test_new_hires_make_no_crews_and_nobody_unknown_is_in_one(
    shop: Any, shop_people: Any, now: datetime, made: int
) -> None:
    with shop.store.write() as session, pytest.raises(NotAllowed):
        crews.make(session, shop_people.apprentice, now, name="Mine", people=[])
    with shop.store.write() as session, pytest.raises(NotAllowed):
        crews.change(session, shop_people.apprentice, now, made, name="Mine", people=[])
    with shop.store.read() as session, pytest.raises(NotAllowed):
        queries.crews(session, shop_people.apprentice)
    with shop.store.write() as session, pytest.raises(UnknownName):
        crews.make(session, shop_people.owner, now, name="Ghosts", people=[999])
