"""A real shop served by `trainer serve`, and a real Chromium.

site        the address of a served shop, and the store behind it (to look up what a paper asked); one server a run, its
            records put back before each test
demo        the address of the served demo
phone       a page 390 px wide; desk: a page 1280 px wide
Without Chromium the tests skip with the line that installs it; TRAINER_BROWSER_REQUIRED=1 makes that a failure.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.keeping import made_once
from tests.ports import free_port
from trainer.records import people, signin
from trainer.records.people import Actor
from trainer.records.schema import upgrade
from trainer.records.store import TEST_COST, Store, open_store

PASSWORD = "brick and mortar"
NAMES = ("chromium", "chromium-browser", "google-chrome")
# As root and inside containers Chromium has no sandbox; the rest keeps it from calling out.
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync"]  # fmt: skip


@dataclass
class Site:
    """A served shop. people: by sign-in name, in the store that the server works on."""

    address: str
    store: Store
    people: dict[str, Actor]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        reason = "no Chromium on this machine; install it: sudo apt-get install chromium"
        if os.environ.get("TRAINER_BROWSER_REQUIRED"):
            pytest.fail(reason)
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield opened
        opened.close()


def make_shop(path: Path) -> dict[str, Actor]:
    """A shop with an owner, a trainer and two new hires in a fresh store."""
    upgrade(path)
    store = open_store(path, password_cost=TEST_COST)
    now = datetime.now(UTC)
    actors: dict[str, Actor] = {}

    def enter(sign_in: str, code: str) -> None:
        actor = signin.redeem(store, now, sign_in=sign_in, code=code, password=PASSWORD, source="test")
        assert isinstance(actor, Actor)
        actors[sign_in] = actor

    with store.write() as session:
        first = people.set_up_shop(
            session,
            now,
            name="Ridgeline Chimney Repair",
            zone="America/Denver",
            language="en",
            owner_name="Nora Whitfield",
            owner_sign_in="nora",
        )
    enter("nora", first.code)
    for name, sign_in, role in (
        ("Tom Okafor", "tom", "trainer"),
        ("Luis Barrera", "luis", "apprentice"),
        ("Jess Lindqvist", "jess", "apprentice"),
    ):
        with store.write() as session:
            new = people.add_person(session, actors["nora"], now, name=name, sign_in=sign_in, roles=[role])
        enter(sign_in, new.code)
    store.close()
    return actors


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """`trainer serve` on the shop in this folder; its address, once it answers."""
    command = [sys.executable, "-m", "trainer", "serve", "--data", str(folder), "--workers", "1"]
    command += ["--port", str(free_port()), "--log", "none", "--copies", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as served:
        try:
            assert served.stdout is not None
            said = next((found for line in served.stdout if (found := re.search(r"http://\S+", line))), None)
            assert said is not None, "the server ended without an address"
            address = said.group().rstrip("/")
            with urllib.request.urlopen(
                address, timeout=60
            ):  # it listens already and answers once it is ready
                yield address
        finally:
            served.terminate()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The shop of `site` and its server, which starts once."""
    folder = tmp_path_factory.mktemp("served")
    path = folder / "shop.sqlite3"
    actors = make_shop(path)
    with serving(folder) as address:
        store = open_store(path, password_cost=TEST_COST)
        yield Site(address, store, actors)
        store.close()


@pytest.fixture(scope="session")
def as_made() -> sqlite3.Connection:
    """An empty database that `site` keeps the shop's records in as they were made."""
    return sqlite3.connect(":memory:")


@pytest.fixture
def site(served: Site, as_made: sqlite3.Connection) -> Site:
    """The served shop, its records put back as they were made, whatever the test before did."""
    made_once(as_made, served.store, lambda: None)
    return served


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the served demo. Its tests look and change nothing but a person's language."""
    from trainer.cli.demo import make

    folder = tmp_path_factory.mktemp("demo")
    make(folder)
    with serving(folder) as address:
        yield address


@pytest.fixture
def open_page(browser: object) -> Iterator[Callable[..., object]]:
    """open_page(width, scripts) -> a fresh page, signed out; every error that the page's console shows fails the test."""
    contexts = []
    complaints: list[str] = []

    def opened(width: int = 390, scripts: bool = True) -> object:
        size = {"width": width, "height": 844}
        context = browser.new_context(viewport=size, java_script_enabled=scripts)  # type: ignore[attr-defined]
        contexts.append(context)
        page = context.new_page()
        page.on(
            "console", lambda message: complaints.append(message.text) if message.type == "error" else None
        )
        page.on("pageerror", lambda error: complaints.append(str(error)))
        return page

    yield opened
    for context in contexts:
        context.close()
    assert complaints == []
