"""Fixtures for everything that needs a store.

store           a fresh SQLite store with the shop and its people, copied from one migrated template
empty_store     a fresh migrated store without a shop
shop_people     the people: .owner, .trainer, .apprentice, .other (a second apprentice), as acting persons
now             the moment the tests happen
count_statements   context manager: the SQL statements sent inside it
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from trainer.records import people, signin
from trainer.records.people import Actor
from trainer.records.store import TEST_COST, Store, open_store, upgrade


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """One process a core for the whole suite; a named part starts sooner, and can print, in this one."""
    whole = config.args == config.getini("testpaths") and config.option.markexpr == "not benchmark"
    config.option.dist = "worksteal" if whole else "no"
    return (os.cpu_count() or 1) if whole else 0


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


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("template") / "empty.sqlite3"
    upgrade(path)
    return path


@pytest.fixture(scope="session")
def peopled(migrated: Path) -> tuple[Path, ShopPeople]:
    path = migrated.with_name("peopled.sqlite3")
    copy_store(migrated, path)
    store = open_store(path, password_cost=TEST_COST)
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
    return path, everyone


def _enter(store: Store, when: datetime, sign_in: str, code: str) -> Actor:
    actor = signin.redeem(store, when, sign_in=sign_in, code=code, password=PASSWORD, source="test")
    assert isinstance(actor, Actor)
    return actor


def copy_store(template: Path, path: Path) -> None:
    """Copy a closed store; the log lies beside an SQLite file until it is folded in."""
    for suffix in ("", "-wal"):
        source = template.with_name(template.name + suffix)
        if source.exists():
            shutil.copyfile(source, path.with_name(path.name + suffix))


@pytest.fixture
def shop_people(peopled: tuple[Path, ShopPeople]) -> ShopPeople:
    return peopled[1]


@pytest.fixture
def store_path(peopled: tuple[Path, ShopPeople], tmp_path: Path) -> Path:
    path = tmp_path / "shop.sqlite3"
    copy_store(peopled[0], path)
    return path


@pytest.fixture
def store(store_path: Path) -> Iterator[Store]:
    opened = open_store(store_path, password_cost=TEST_COST)
    yield opened
    opened.close()


@pytest.fixture
def empty_store(migrated: Path, tmp_path: Path) -> Iterator[Store]:
    path = tmp_path / "empty.sqlite3"
    copy_store(migrated, path)
    opened = open_store(path, password_cost=TEST_COST)
    yield opened
    opened.close()


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
