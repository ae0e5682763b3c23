"""What the page confirmed survives `kill -9`.

A real `trainer serve`; eight people answer at once; the whole server is killed at a random moment, again and again. Every
confirmed answer is then in the store, once and as it was given, and the history holds.
`pytest -m kill` kills 30 times on SQLite and 30 on PostgreSQL; the normal run kills 3 times on SQLite.
"""

from __future__ import annotations

import http.client
import os
import random
import re
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlencode, urlsplit

import pytest
from bs4 import BeautifulSoup
from sqlalchemy import select
from sqlalchemy.orm import selectinload

from tests.places import Databases
from tests.ports import free_port
from tests.shipped import shipped_content
from trainer.questions import draw
from trainer.records import history, papers, people, quizzes, signin
from trainer.records.models import Answer, Paper, PaperQuestion
from trainer.records.people import Actor
from trainer.records.store import TEST_COST, Store, open_store, upgrade

PASSWORD = "brick and mortar"
CLIENTS = 8
QUESTIONS = 40  # on each paper
TROUBLE = (OSError, http.client.HTTPException)  # what a client sees when the server dies


@dataclass
class Site:
    """A shop, its server, and the people who answer."""

    at: str
    folder: Path
    store: Store
    trainer: Actor
    answering: list[Actor]
    questions: list[str]
    confirmed: dict[tuple[int, int], str] = field(default_factory=dict)

    def serve(self) -> tuple[subprocess.Popen[str], str]:
        """Start the server; (the process, its address) once it answers."""
        place = {"TRAINER_DATABASE": self.at} if "://" in self.at else {}
        served = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "trainer",
                "serve",
                "--data",
                str(self.folder),
                "--workers",
                "2",
                "--copies",
                "0",
                "--port",
                str(free_port()),
            ],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,
            env=os.environ | place,
        )
        assert served.stdout is not None
        said = next((found for line in served.stdout if (found := re.search(r"//([^/\s]+)", line))), None)
        assert said is not None, "the server ended without an address"
        for _ in range(400):
            with suppress(*TROUBLE):
                Client(said[1]).get("/sign-in")
                return served, said[1]
            time.sleep(0.05)
        raise AssertionError("the server does not answer")

    def new_papers(self) -> dict[int, int]:
        """A fresh paper for each person, opened; by person."""
        bank = shipped_content().bank.questions
        now = datetime.now(UTC)
        with self.store.write() as session:
            assigned = quizzes.assign(
                session,
                self.trainer,
                now,
                title="Many",
                people=[one.id for one in self.answering],
                questions=self.questions,
                pass_mark=80,
                due=now + timedelta(days=1),
                same_numbers=False,
                bank=bank,
                draw=draw,
                token=os.urandom(8).hex(),
            )
            by_person = {}
            for one, paper in zip(self.answering, assigned.papers, strict=True):
                papers.open_paper(session, one, now, paper)
                by_person[one.id] = paper
        return by_person


class Client:
    """A browser without pictures: keeps its cookies, follows nothing. timeout: [s]"""

    timeout = 30.0

    def __init__(self, address: str) -> None:
        self.address = address
        self.cookies: dict[str, str] = {}

    def get(self, path: str) -> tuple[int, str, str]:
        return self._send("GET", path, None)

    def post(self, path: str, fields: dict[str, str]) -> tuple[int, str, str]:
        return self._send("POST", path, urlencode(fields))

    def _send(self, method: str, path: str, body: str | None) -> tuple[int, str, str]:
        """(status, where it leads, page)"""
        with closing(http.client.HTTPConnection(self.address, timeout=self.timeout)) as connection:
            headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
            if body is not None:
                headers["Content-Type"] = "application/x-www-form-urlencoded"
            connection.request(method, path, body, headers)
            answer = connection.getresponse()
            page = answer.read().decode()
            for name, value in answer.getheaders():
                if name.lower() == "set-cookie":
                    key, _, rest = value.partition("=")
                    self.cookies[key] = rest.partition(";")[0]
            return answer.status, urlsplit(answer.getheader("Location") or "").path, page

    def sign_in(self, name: str) -> None:
        fields = form_of(self.get("/sign-in")[2])
        status, _, _ = self.post("/sign-in", fields | {"sign_in": name, "password": PASSWORD})
        assert status in (302, 303), status


def form_of(page: str) -> dict[str, str]:
    """The fields of the page's own form as they stand, the first of its choices taken."""
    form = BeautifulSoup(page, "html.parser").select_one("main form[method=post]")
    assert form is not None, page
    taken: dict[str, str] = {}
    for item in form.select("input[name]"):
        taken.setdefault(str(item["name"]), str(item.get("value", "")))
    return taken


def answers(site: Site, address: str, cookies: dict[int, dict[str, str]], person: Actor, paper: int) -> None:
    """Answer the paper until the server dies or the paper is done; what the server confirmed is noted."""
    client = Client(address)
    client.cookies = cookies[person.id]
    with suppress(*TROUBLE):
        _, path, _ = client.get(f"/papers/{paper}/1")
        path = path or f"/papers/{paper}/1"
        while re.fullmatch(r"/papers/\d+/\d+", path):
            status, moved, page = client.get(path)
            if status == 303:
                path = moved
                continue
            fields = form_of(page)
            status, moved, _ = client.post(path, fields)
            assert status == 303, status
            # The server has said that the answer is kept.
            site.confirmed[paper, int(path.rpartition("/")[2])] = fields["answer"]
            path = moved


def kill(served: subprocess.Popen[str]) -> None:
    """All of its processes at once, without a word."""
    os.killpg(served.pid, signal.SIGKILL)
    served.wait()
    if served.stdout is not None:
        served.stdout.close()


def check(site: Site) -> None:
    """Every confirmed answer is there, once, as given; no paper is torn; the history holds."""
    if "://" not in site.at:
        with closing(sqlite3.connect(site.at)) as plain:
            assert plain.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            assert plain.execute("PRAGMA foreign_key_check").fetchall() == []
    with site.store.read() as session:
        found = history.verify(session)
        assert found.ok, (found.faults, found.differences)
        rows = session.execute(
            select(PaperQuestion.paper_id, PaperQuestion.position, Answer.typed).join(
                Answer, Answer.paper_question_id == PaperQuestion.id
            )
        ).all()
        stored = {(paper, position): typed for paper, position, typed in rows}
        assert len(stored) == len(rows), "an answer is there twice"
        assert {key: stored.get(key) for key in site.confirmed} == site.confirmed
        for paper in session.scalars(select(Paper).options(selectinload(Paper.questions))):
            assert [each.position for each in paper.questions] == list(range(1, len(paper.questions) + 1))


def run(site: Site, kills: int, chance: random.Random) -> None:
    served, address = site.serve()
    cookies: dict[int, dict[str, str]] = {}
    for one in site.answering:
        client = Client(address)
        client.sign_in(one.sign_in)
        cookies[one.id] = client.cookies
    for number in range(kills):
        before = len(site.confirmed)
        taken = site.new_papers()
        threads = [
            threading.Thread(target=answers, args=(site, address, cookies, one, taken[one.id]))
            for one in site.answering
        ]
        for each in threads:
            each.start()
        deadline = time.monotonic() + 60
        while len(site.confirmed) < before + 3 and time.monotonic() < deadline:
            time.sleep(0.01)
        time.sleep(chance.uniform(0, 0.4))
        kill(served)
        for each in threads:
            each.join()
        assert len(site.confirmed) > before, "nothing was confirmed before the kill"
        check(site)
        if number + 1 < kills:
            served, address = site.serve()


@pytest.fixture
def chance() -> random.Random:
    return random.Random(20261126)


def made(at: str, folder: Path) -> Iterator[Site]:
    """A shop with a trainer and the people who answer; their sessions outlive the kills, as the cookie does."""
    upgrade(at)
    store = open_store(at, password_cost=TEST_COST)
    now = datetime.now(UTC)

    def enter(sign_in: str, code: str) -> Actor:
        actor = signin.redeem(store, now, sign_in=sign_in, code=code, password=PASSWORD, source="test")
        assert isinstance(actor, Actor)
        return actor

    def add(name: str, role: str) -> Actor:
        with store.write() as session:
            new = people.add_person(session, owner, now, name=name.title(), sign_in=name, roles=[role])
        return enter(name, new.code)

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
    owner = enter("nora", first.code)
    at_once: list[Any] = [one for one in shipped_content().bank.questions.values() if one.kind == "choose"]
    yield Site(
        at,
        folder,
        store,
        add("tom", "trainer"),
        [add(f"hire{number}", "apprentice") for number in range(CLIENTS)],
        [one.id for one in at_once[:QUESTIONS]],
    )
    store.close()


@pytest.fixture
def on_file(tmp_path: Path) -> Iterator[Site]:
    yield from made(str(tmp_path / "shop.sqlite3"), tmp_path)


@pytest.fixture
def on_server(databases: Databases, tmp_path: Path) -> Iterator[Site]:
    at = databases.new("shop")
    yield from made(at, tmp_path)
    databases.drop(at)


@pytest.mark.skipif(os.name == "nt", reason="kill -9 is a Unix matter")
@pytest.mark.long
def test_confirmed_answers_survive(on_file: Site, chance: random.Random) -> None:
    run(on_file, 3, chance)


@pytest.mark.kill
def test_confirmed_answers_survive_thirty_kills(on_file: Site, chance: random.Random) -> None:
    run(on_file, 30, chance)
    print(f"\n{len(on_file.confirmed)} answers confirmed over 30 kills on SQLite, none lost")


@pytest.mark.kill
def test_confirmed_answers_survive_thirty_kills_on_postgresql(on_server: Site, chance: random.Random) -> None:
    run(on_server, 30, chance)
    print(f"\n{len(on_server.confirmed)} answers confirmed over 30 kills on PostgreSQL, none lost")
