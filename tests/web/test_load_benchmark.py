"""How much the real server takes: `pytest -m benchmark -n0 -s tests/web/test_load_benchmark.py`

Prints requests a second and the 95th percentile of the time to answer, at 1, 8 and 50 connections, for the submission of an
answer, the board and a lesson, each as a ratio to the limit: a bare Flask view on the same server that adds one row durably;
in a small shop, and in shops of 100, 1,000 and 10,000 people with records of all that the clearances ask for.
The client runs on the same machine and opens a connection a request, for all of them alike.
"""

from __future__ import annotations

import itertools
import os
import socket
import sqlite3
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlalchemy import func, select

from tests.cli.test_kill import Client, Site, form_of, kill, made
from tests.shipped import shipped_content
from tests.web.test_board_benchmark import fill
from trainer.records.models import Answer, Person

pytestmark = [pytest.mark.benchmark, pytest.mark.skipif(os.name == "nt", reason="gunicorn")]
CONNECTIONS = (1, 8, 50)
REQUESTS = 100  # at each number of connections
LONGEST = 15.0  # [s] after which no more of them are sent
PEOPLE = (0, 100, 1_000, 10_000)  # beside the few of the small shop
WORKERS, THREADS = 2, 4  # as `trainer serve` by itself
BARE = """
import sqlite3, threading
from flask import Flask, request
app, held = Flask("bare"), threading.local()

@app.post("/")
def add():
    if not hasattr(held, "to"):
        held.to = sqlite3.connect({path!r}, isolation_level=None, timeout=60)
        held.to.execute("PRAGMA synchronous = FULL")
    held.to.execute("INSERT INTO answer (typed) VALUES (?)", (request.form["typed"],))
    return "", 204
"""


@dataclass(frozen=True)
class Measured:
    """done: requests; p95: [s]"""

    done: int
    a_second: float
    p95: float


def measure(connections: int, jobs: list[Callable[[], None]]) -> Measured:
    """Do the jobs, so many at a time, or as many as are begun in time; any that fails is raised."""
    left, lock, times, wrong = iter(jobs), threading.Lock(), [], []
    end = time.perf_counter() + LONGEST

    def work() -> None:
        while time.perf_counter() < end:
            with lock:
                job = next(left, None)
            if job is None or wrong:
                return
            begun = time.perf_counter()
            try:
                job()
            except BaseException as error:  # told by the main thread
                wrong.append(error)
            times.append(time.perf_counter() - begun)

    threads = [threading.Thread(target=work) for _ in range(connections)]
    begun = time.perf_counter()
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    took = time.perf_counter() - begun
    if wrong:
        raise wrong[0]
    return Measured(len(times), len(times) / took, statistics.quantiles(times, n=20)[-1])


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[tuple[Client, Path]]:
    """The bare view on a server like ours, and the file it adds to."""
    path = tmp_path / "bare.sqlite3"
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("PRAGMA journal_mode = WAL")
        plain.execute("CREATE TABLE answer (id INTEGER PRIMARY KEY, typed TEXT)")
    (tmp_path / "bare.py").write_text(BARE.format(path=str(path)))
    with closing(socket.create_server(("127.0.0.1", 0))) as probe:
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [sys.executable, "-m", "gunicorn", "-b", address, "-w", str(WORKERS), "--threads", str(THREADS)]
    command += ["-k", "gthread", "--log-level", "error", "bare:app"]
    served = subprocess.Popen(command, cwd=tmp_path, start_new_session=True)
    for _ in range(400):
        with suppress(OSError):
            Client(address).get("/")
            break
        time.sleep(0.05)
    yield Client(address), path
    kill(served)


@pytest.fixture(params=PEOPLE)
def site(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[tuple[Site, str]]:
    """A shop of so many people and the address of its server, which logs as it does by itself."""
    monkeypatch.setenv("TRAINER_LOG", str(tmp_path / "requests.log"))
    for site in made(str(tmp_path / "shop.sqlite3"), tmp_path):
        if request.param:
            staff = SimpleNamespace(owner=site.trainer, trainer=site.trainer)
            fill(site.store, staff, shipped_content().rules, datetime.now(UTC), request.param)
        served, address = site.serve()
        yield site, address
        kill(served)
        faults = [line for line in (tmp_path / "requests.log").read_text().splitlines() if '"faults"' in line]
        assert faults == []


def adding(client: Client) -> Callable[[], None]:
    def job() -> None:
        assert client.post("/", {"typed": "A"})[0] == 204

    return job


def reading(client: Client, path: str) -> Callable[[], None]:
    def job() -> None:
        assert client.get(path)[0] == 200

    return job


def answering(site: Site, address: str) -> Iterator[Callable[[], None]]:
    """One job an answer, of every person in turn, as many as are asked for."""
    clients = {}
    for one in site.answering:
        clients[one.id] = Client(address)
        clients[one.id].sign_in(one.sign_in)
    for round_ in itertools.count():
        papers = site.new_papers()
        first = {one: form_of(clients[one].get(f"/papers/{paper}/1")[2]) for one, paper in papers.items()}
        for position in range(1, len(site.questions) + 1):
            for one, paper in papers.items():
                yield _answer(
                    clients[one],
                    f"/papers/{paper}/{position}",
                    first[one] | {"form_token": f"load {round_} {position} {one}"},
                )


def _answer(client: Client, path: str, fields: dict[str, str]) -> Callable[[], None]:
    # A browser shows a message on the next page, and its cookie is free of it again.
    fresh = Client(client.address)
    fresh.cookies = dict(client.cookies)

    def job() -> None:
        status, where, page = fresh.post(path, fields)
        assert status == 303 and where.startswith("/papers/"), (status, path, page[-2000:])

    return job


def test_the_server_as_ratios_to_one_bare_row(bare, site, capsys, monkeypatch) -> None:
    shop, address = site
    monkeypatch.setattr(Client, "timeout", 600.0)  # fifty boards of the largest shop at once take minutes
    trainer = Client(address)
    trainer.sign_in("tom")
    answers = answering(shop, address)
    kinds: dict[str, Callable[[], Callable[[], None]]] = {
        "bare row": lambda: adding(bare[0]),
        "answer": lambda: next(answers),
        "board": lambda: reading(trainer, "/board"),
        "lesson": lambda: reading(trainer, "/lessons/crown-geometry"),
    }
    with shop.store.read() as session:
        before = session.scalar(select(func.count()).select_from(Answer))
        people = session.scalar(select(func.count()).select_from(Person))
    warm = {name: measure(4, [make() for _ in range(16)]) for name, make in kinds.items()}
    found = {
        (name, connections): measure(connections, [make() for _ in range(REQUESTS)])
        for connections in CONNECTIONS
        for name, make in kinds.items()
    }
    done = {
        name: warm[name].done + sum(found[name, connections].done for connections in CONNECTIONS)
        for name in kinds
    }
    with shop.store.read() as session:
        assert session.scalar(select(func.count()).select_from(Answer)) == before + done["answer"]
    with closing(sqlite3.connect(bare[1])) as plain:
        assert plain.execute("SELECT count(*) FROM answer").fetchone() == (done["bare row"],)
    with capsys.disabled():
        print(f"\n{people} people")
        print(f"{'':<10}{'connections':>12}{'a second':>10}{'of bare':>9}{'p95 [ms]':>10}{'of bare':>9}")
        for (name, connections), one in sorted(found.items(), key=lambda item: item[0][1]):
            limit = found["bare row", connections]
            print(
                f"{name:<10}{connections:>12}{one.a_second:>10.1f}{one.a_second / limit.a_second:>9.2f}"
                f"{one.p95 * 1000:>10.1f}{one.p95 / limit.p95:>9.1f}"
            )
