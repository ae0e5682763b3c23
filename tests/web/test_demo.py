"""Every page of the demo, as each person, found by following every link: it answers, and costs few statements."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from bs4 import BeautifulSoup
from flask import Flask
from jinja2 import FileSystemBytecodeCache
from sqlalchemy import event, select
from sqlalchemy.orm import Session

from tests.pages import language as language_of
from tests.pages import links
from trainer.cli.demo import make
from trainer.cli.demo_shop import PEOPLE
from trainer.records import sessions
from trainer.records.held import TABLES
from trainer.records.models import Person
from trainer.records.people import Actor
from trainer.records.store import Store, open_store
from trainer.web import create_app
from trainer.web.content import Content

# A record gathers every kind of evidence, each with one statement; the check of the history reads every table once.
MOST_STATEMENTS = 23
MOST_OF_PAGES = {"/history/check": len(TABLES) + 6}
MOST_PAGES = 400


@pytest.fixture(scope="module")
def demo(
    content: Content, compiled: FileSystemBytecodeCache, tmp_path_factory: pytest.TempPathFactory
) -> Any:
    folder = tmp_path_factory.mktemp("demo")
    make(folder)
    store = open_store(folder / Path("shop.sqlite3"))
    app = create_app(store, content=content)
    app.jinja_env.bytecode_cache = compiled
    yield store, app
    store.close()


def enter(store: Store, app: Flask, sign_in: str, language: str) -> Any:
    with Session(store.engine) as session:
        person = session.scalars(select(Person).where(Person.sign_in == sign_in)).one()
        actor = Actor(person.id, person.name, sign_in, person.language, frozenset(), person.session_stamp)
    with store.write() as writing:
        key = sessions.start(writing, actor, datetime.now(UTC))
    client = app.test_client()
    with client.session_transaction() as session:
        session.permanent = True
        session["key"] = key
    page = BeautifulSoup(client.get("/", follow_redirects=True).text, "html.parser")
    if page.html["lang"] != language:
        token = page.find("input", {"name": "csrf_token"})["value"]
        client.post("/language", data={"csrf_token": token, "language": language, "after": "/"})
    return client


def stands_for(path: str, address: str) -> str:
    """One draw of a question stands for the others, and one set of numbers of a calculation: they are without end.

    One check question of a lesson stands for all of them.
    """
    if path.startswith("/lessons/") and "/check/" in path:
        return "/lessons/check"
    if path.startswith("/practice/") and path.count("/") == 3:
        return path.rpartition("/")[0]
    return path if path.startswith("/calculations/") else address


@pytest.mark.long
@pytest.mark.parametrize(
    "language",
    ["en", pytest.param("es", marks=pytest.mark.sweep)],  # the walk in test_spanish.py reads every page
)
@pytest.mark.parametrize("sign_in", sorted(PEOPLE))
def test_every_page_answers_within_its_statements(demo: Any, sign_in: str, language: str) -> None:
    store, app = demo
    client = enter(store, app, sign_in, language)
    statements: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if not statement.startswith(("BEGIN", "COMMIT", "ROLLBACK")):
            statements.append(statement)

    event.listen(store.engine, "before_cursor_execute", note)
    try:
        waiting, seen = ["/"], {"/"}
        while waiting:
            path = waiting.pop()
            statements.clear()
            answer = client.get(path)
            assert answer.status_code in (200, 303), f"{path} as {sign_in}: {answer.status_code}"
            assert len(statements) <= MOST_OF_PAGES.get(path, MOST_STATEMENTS), (
                path,
                len(statements),
                statements,
            )
            if answer.mimetype != "text/html":
                continue
            found = links(answer.text)
            if answer.status_code == 303:
                found.append(answer.location)
            else:
                assert language_of(answer.text) == language, path
            for href in found:
                parts = urlsplit(href)
                address = parts.path + (f"?{parts.query}" if parts.query else "")
                key = stands_for(parts.path, address)
                if not parts.netloc and address and key not in seen and len(seen) < MOST_PAGES:
                    seen.add(key)
                    waiting.append(address)
        assert len(seen) > 20
    finally:
        event.remove(store.engine, "before_cursor_execute", note)
