"""Fixtures for everything that needs a store.

store           a fresh SQLite store with the shop and its people, copied from one migrated template
empty_store     a fresh migrated store without a shop
shop_people     the people: .owner, .trainer, .apprentice, .other (a second apprentice), as acting persons
now             the moment the tests happen
count_statements   context manager: the SQL statements sent inside it

postgres_server    the address of a PostgreSQL server on which databases can be made, from TRAINER_TEST_POSTGRES

With `--on-postgresql` every store is a database of that server; tests of what only a file has are skipped then.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from tests.places import Databases, Files
from tests.statements import compile_once
from trainer.records import people, signin
from trainer.records.people import Actor
from trainer.records.store import TEST_COST, Store, open_store, upgrade


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """One process a core for the whole suite; a named part starts sooner, and can print, in this one."""
    whole = (
        config.args == config.getini("testpaths") and config.option.markexpr == config.getini("addopts")[-1]
    )
    config.option.dist = "worksteal" if whole else "no"
    return (os.cpu_count() or 1) if whole else 0


compile_once()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest tests in the middle, where the second of two workers begins, so that none is left for the end.

    The first worker begins with the browser tests.
    """
    short = [item for item in items if item.get_closest_marker("long") is None]
    long = [item for item in items if item.get_closest_marker("long")]
    half = len(items) // 2
    items[:] = short[:half] + long + short[half:]


def pytest_collection_finish(session: pytest.Session) -> None:
    """The garbage collector leaves alone what collecting loaded and looks at the rest seldom; benchmarks keep it as it is."""
    if session.config.option.markexpr != "benchmark":
        gc.collect()
        gc.freeze()
        gc.set_threshold(10_000, 20, 50)


NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
PASSWORD = "a mortar board and a hawk"


@dataclass(frozen=True)
class ShopPeople:
    """One person in each role, signed in."""

    owner: Actor
    trainer: Actor
    apprentice: Actor
    other: Actor
    password: str = PASSWORD


@pytest.fixture
def now() -> datetime:
    return NOW


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--on-postgresql", action="store_true", help="keep the tests' stores in PostgreSQL")


@pytest.fixture(scope="session")
def postgres_server() -> str:
    server = os.environ.get("TRAINER_TEST_POSTGRES")
    if server is None:
        pytest.skip("no PostgreSQL; set TRAINER_TEST_POSTGRES=postgresql://postgres@127.0.0.1:5432")
    return server


@pytest.fixture(scope="session")
def databases(postgres_server: str, worker_id: str) -> Iterator[Databases]:
    made = Databases(postgres_server, f"trainer_test_{worker_id}_")
    yield made
    made.close()


@pytest.fixture(scope="session")
def places(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Files | Databases:
    """Where stores are made in this run."""
    if request.config.getoption("--on-postgresql"):
        on_server: Databases = request.getfixturevalue("databases")
        return on_server
    return Files(tmp_path_factory.mktemp("template"))


@pytest.fixture(scope="session")
def migrated(places: Files | Databases) -> str:
    made = places.new("empty")
    upgrade(made)
    return made


@pytest.fixture(scope="session")
def peopled(places: Files | Databases, migrated: str) -> tuple[str, ShopPeople]:
    made = places.copy(migrated, "peopled")
    store = open_store(made, password_cost=TEST_COST)
    start = NOW - timedelta(days=400)
    with store.write() as session:
        first = people.set_up_shop(
            session,
            start,
            name="Hillside Chimney",
            zone="America/New_York",
            language="en",
            owner_name="Olive Ortega",
            owner_sign_in="olive",
        )
    owner = _enter(store, start, "olive", first.code)

    def add(name: str, sign_in: str, role: str, language: str = "en") -> Actor:
        with store.write() as session:
            added = people.add_person(
                session, owner, start, name=name, sign_in=sign_in, roles=[role], language=language
            )
        return _enter(store, start, sign_in, added.code)

    everyone = ShopPeople(
        owner,
        add("Theo Tran", "theo", "trainer"),
        add("Ana Abel", "ana", "apprentice", "es"),
        add("Ben Bauer", "ben", "apprentice"),
    )
    store.close()
    return made, everyone


def _enter(store: Store, when: datetime, sign_in: str, code: str) -> Actor:
    actor = signin.redeem(store, when, sign_in=sign_in, code=code, password=PASSWORD, source="test")
    assert isinstance(actor, Actor)
    return actor


@pytest.fixture
def shop_people(peopled: tuple[str, ShopPeople]) -> ShopPeople:
    return peopled[1]


@pytest.fixture
def store_path(places: Files | Databases, peopled: tuple[str, ShopPeople], tmp_path: Path) -> Path:
    """The file of `store`."""
    if isinstance(places, Databases):
        pytest.skip("about the file of an SQLite store")
    return Path(places.copy(peopled[0], str(tmp_path / "shop.sqlite3")))


@pytest.fixture
def store(
    request: pytest.FixtureRequest, places: Files | Databases, peopled: tuple[str, ShopPeople]
) -> Iterator[Store]:
    at = str(request.getfixturevalue("store_path")) if isinstance(places, Files) else places.copy(peopled[0])
    yield from opened(places, at)


@pytest.fixture
def empty_store(places: Files | Databases, migrated: str, tmp_path: Path) -> Iterator[Store]:
    yield from opened(places, places.copy(migrated, str(tmp_path / "empty.sqlite3")))


def opened(places: Files | Databases, at: str) -> Iterator[Store]:
    store = open_store(at, password_cost=TEST_COST)
    yield store
    store.close()
    places.drop(at)


@pytest.fixture
def count_statements() -> Callable[[Store], AbstractContextManager[list[str]]]:
    """`with count_statements(store) as statements:` lists what is sent; BEGIN is not counted."""

    @contextmanager
    def counting(store: Store) -> Iterator[list[str]]:
        statements: list[str] = []

        def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
            if not statement.startswith("BEGIN"):
                statements.append(statement)

        event.listen(store.engine, "before_cursor_execute", note)
        try:
            yield statements
        finally:
            event.remove(store.engine, "before_cursor_execute", note)

    return counting
