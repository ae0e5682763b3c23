"""Everything of one store in another: equal contents, whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import delete, func, select, update

from tests.places import Databases, Files
from trainer.errors import StoreError
from trainer.records import history, moving
from trainer.records import shop as shops
from trainer.records.models import Base, Event, Person
from trainer.records.store import TEST_COST, Store, open_store


@pytest.fixture
def lived(shop: Any, shop_people: Any) -> Store:
    """A store with papers, answers, sign-offs, a grant and their history."""
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    shop.grant(shop_people.owner, shop_people.apprentice)
    store: Store = shop.store
    return store


def address(store: Store) -> str:
    return store.engine.url.render_as_string(hide_password=False)


def everything(store: Store) -> dict[str, str]:
    with store.read() as session:
        return {table.name: moving.contents(session, table) for table in Base.metadata.sorted_tables}


def opened(at: str | Path) -> Store:
    return open_store(at, password_cost=TEST_COST)


@pytest.fixture(params=["file", "postgresql"])
def elsewhere(request: pytest.FixtureRequest, tmp_path: Path) -> Any:
    """An empty place of each kind."""
    if request.param == "file":
        yield Files(tmp_path).new("elsewhere")
        return
    databases: Databases = request.getfixturevalue("databases")
    made = databases.new("elsewhere")
    yield made
    databases.drop(made)


def test_there_and_back_nothing_is_lost(lived: Store, elsewhere: str, tmp_path: Path) -> None:
    before, seen = everything(lived), []
    moved = moving.move(address(lived), elsewhere, lambda *step: seen.append(step))
    with lived.read() as session:
        assert moved.rows["event"] == session.scalar(select(func.count()).select_from(Event)) > 10
    assert ("event", moved.rows["event"], moved.rows["event"]) in seen
    there = opened(elsewhere)
    assert everything(there) == before
    with there.read() as session:
        found = history.verify(session)
        assert found.ok and found.head == moved.head
    there.close()
    back = tmp_path / "back.sqlite3"
    moving.move(elsewhere, back)
    again = opened(back)
    assert everything(again) == before
    again.close()


def test_work_goes_on_in_the_new_place(lived: Store, shop_people: Any, now: Any, elsewhere: str) -> None:
    """New rows get numbers after those that came along."""
    moving.move(address(lived), elsewhere)
    there = opened(elsewhere)
    with there.write() as session:
        shops.change_standard(session, shop_people.owner, now, {"overhang": 2.5})
    with there.read() as session:
        assert history.verify(session).ok
    there.close()


def test_a_place_with_a_shop_is_never_overwritten(lived: Store, elsewhere: str) -> None:
    moving.move(address(lived), elsewhere)
    before = everything(there := opened(elsewhere))
    with pytest.raises(StoreError, match="there is a shop already"):
        moving.move(address(lived), elsewhere)
    assert everything(there) == before
    there.close()


def test_the_same_place_is_refused(lived: Store) -> None:
    with pytest.raises(StoreError, match="there already"):
        moving.move(address(lived), address(lived))


def test_a_store_whose_history_does_not_hold_is_not_moved(lived: Store, elsewhere: str) -> None:
    with lived.write() as session:
        session.execute(update(Event).where(Event.number == 3).values(kind="something else"))
    with pytest.raises(StoreError, match="history does not hold"):
        moving.move(address(lived), elsewhere)
    there = opened(elsewhere)
    with there.read() as session:
        assert session.scalars(select(Person)).first() is None
    there.close()


def test_a_difference_is_found(lived: Store) -> None:
    before = everything(lived)
    with lived.write() as session:
        session.execute(delete(Event).where(Event.number == 5))
    after = everything(lived)
    assert {name for name in before if before[name] != after[name]} == {"event"}
