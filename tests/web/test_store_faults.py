"""A full disk, a locked file, a database server that is gone: a plain page, and nothing that was confirmed is lost."""

from __future__ import annotations

import itertools
import re
import socket
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event, make_url, select

from tests.places import Databases
from tests.web.conftest import Acts, Browser, Clock, Page, People, signed_in
from trainer.records import history, moving
from trainer.records.models import Answer, PaperQuestion
from trainer.records.store import TEST_COST, Store, open_store
from trainer.web import create_app

PLAIN = "What was confirmed before is safe; this was not saved. Try again in a moment."
MANY = 30  # questions on a paper
GONE = (OSError, ValueError)


def answers(store: Store) -> dict[tuple[int, int], str]:
    query = select(PaperQuestion.paper_id, PaperQuestion.position, Answer.typed).join(
        PaperQuestion, PaperQuestion.id == Answer.paper_question_id
    )
    with store.read() as session:
        assert history.verify(session).ok
        return {(paper, position): typed for paper, position, typed in session.execute(query)}


@pytest.fixture
def choices(bank: Any) -> list[str]:
    """Questions whose letter counts at once."""
    return [one.id for one in bank.questions.values() if one.kind == "choose"][:MANY]


@pytest.fixture
def paper(acts: Acts, people: People, choices: list[str]) -> int:
    return acts.assign(people.apprentice, choices)


def send(browser: Browser, paper: int, position: int, token: str) -> Page:
    """An answer as the form sends it; where it leads is not followed."""
    fields = {"answer": "A", "form_token": token, "confirmed": ""}
    return browser.post(f"/papers/{paper}/{position}", fields)


def plain(page: Page) -> None:
    """What a person is told, and nothing of what went on inside."""
    assert page.status == 503 and PLAIN in page.text
    assert not re.search(r"Traceback|sqlite|psycopg|Operational|INSERT|disk|locked", page.html)
    assert [link["href"] for link in page.soup.select("main a.button")] == ["/"]


def on_connect(store: Store, pragma: str) -> Callable[[], None]:
    """Set this on every connection from now on; what is returned takes it back."""

    def prepare(dbapi: Any, _record: Any) -> None:
        dbapi.execute(f"PRAGMA {pragma}")

    store.engine.dispose()
    event.listen(store.engine, "connect", prepare)

    def back() -> None:
        event.remove(store.engine, "connect", prepare)
        store.engine.dispose()

    return back


def test_a_full_disk(store: Store, sign_in: Any, people: People, paper: int) -> None:
    hire, trainer = sign_in(people.apprentice), sign_in(people.trainer)
    hire.post(f"/papers/{paper}/start")
    assert send(hire, paper, 1, "before").status == 303
    token = hire.token()
    with closing(sqlite3.connect(str(store.engine.url.database))) as file:
        (pages,) = file.execute("PRAGMA page_count").fetchone()
    back = on_connect(store, f"max_page_count = {pages}")
    confirmed = {(paper, 1): "A"}
    for position in itertools.count(2):
        data = {"answer": "A", "form_token": f"full {position}", "csrf_token": token}
        page = hire._page(hire.client.post(f"/papers/{paper}/{position}", data=data))
        if page.status != 303:
            break
        confirmed[paper, position] = "A"
    plain(page)
    assert answers(store) == confirmed
    for path in ("/", "/board", "/review"):
        assert trainer.get(path).status == 200, "reading goes on"
    back()  # room was made
    for _ in range(2):
        sent = hire._page(hire.client.post(f"/papers/{paper}/{position}", data=data))
        assert sent.status == 303, "the same form is taken once there is room"
    assert answers(store) == confirmed | {(paper, position): "A"}


def test_a_file_that_another_program_holds(store: Store, sign_in: Any, people: People, paper: int) -> None:
    hire, trainer = sign_in(people.apprentice), sign_in(people.trainer)
    hire.post(f"/papers/{paper}/start")
    assert send(hire, paper, 1, "before").status == 303
    on_connect(store, "busy_timeout = 50")
    with closing(sqlite3.connect(str(store.engine.url.database), isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        plain(send(hire, paper, 2, "held"))
        plain(hire.post(f"/papers/{paper}/hand-in"))
        for path in ("/", "/board", "/review"):
            assert trainer.get(path).status == 200, "reading goes on"
        assert answers(store) == {(paper, 1): "A"}
        other.execute("ROLLBACK")
    for _ in range(2):
        assert send(hire, paper, 2, "held").status == 303
    assert answers(store) == {(paper, 1): "A", (paper, 2): "A"}


class Wire:
    """A line to a database server that can be cut: to the program, the server has stopped then."""

    def __init__(self, host: str, port: int) -> None:
        self._to = host, port
        self._ends: list[socket.socket] = []
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listening.getsockname()[1])
        self._accept()

    def cut(self) -> None:
        """Nothing goes through any more, and nobody answers."""
        with suppress(*GONE):
            self._listening.shutdown(socket.SHUT_RDWR)
        self._listening.close()
        for end in self._ends:
            with suppress(*GONE):
                end.shutdown(socket.SHUT_RDWR)
            end.close()
        self._ends.clear()

    def mend(self) -> None:
        self._listening = socket.create_server(("127.0.0.1", self.port))
        self._accept()

    def _accept(self) -> None:
        threading.Thread(target=self._take, args=(self._listening,), daemon=True).start()

    def _take(self, listening: socket.socket) -> None:
        with suppress(*GONE):
            while True:
                near = listening.accept()[0]
                far = socket.create_connection(self._to)
                self._ends += [near, far]
                for one, other in ((near, far), (far, near)):
                    threading.Thread(target=self._carry, args=(one, other), daemon=True).start()

    @staticmethod
    def _carry(one: socket.socket, other: socket.socket) -> None:
        with suppress(*GONE):
            while taken := one.recv(65536):
                other.sendall(taken)
        with suppress(*GONE):
            other.shutdown(socket.SHUT_RDWR)


@pytest.fixture
def far(store: Store, databases: Databases, tmp_path: Path) -> Iterator[tuple[Store, Wire]]:
    """The shop on a PostgreSQL server, reached by a line that can be cut."""
    there = databases.new("far")
    moving.move(store.engine.url.render_as_string(hide_password=False), there)
    address = make_url(there)
    wire = Wire(address.host or "127.0.0.1", address.port or 5432)
    opened = open_store(
        address.set(host="127.0.0.1", port=wire.port).render_as_string(hide_password=False),
        password_cost=TEST_COST,
    )
    yield opened, wire
    opened.close()
    wire.cut()
    databases.drop(there)


def test_a_database_server_that_stops(
    far: tuple[Store, Wire], clock: Clock, people: People, content: Any, choices: list[str], bank: Any
) -> None:
    store, wire = far
    app = create_app(store, settings={"CLOCK": clock}, content=content)
    app.testing = False
    paper = Acts(store, people, clock, bank).assign(people.apprentice, choices)
    hire = signed_in(app, clock, people.apprentice, None)
    hire.post(f"/papers/{paper}/start")
    assert send(hire, paper, 1, "before").status == 303
    data = {"answer": "A", "form_token": "cut", "confirmed": "", "csrf_token": hire.token()}
    wire.cut()
    plain(hire._page(hire.client.post(f"/papers/{paper}/2", data=data)))
    plain(hire.get("/"))
    assert hire.get("/health").status == 503
    wire.mend()
    for _ in range(2):
        assert hire._page(hire.client.post(f"/papers/{paper}/2", data=data)).status == 303
    assert answers(store) == {(paper, 1): "A", (paper, 2): "A"}
