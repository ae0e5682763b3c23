"""How much the real server takes: `pytest -m benchmark -n0 -s tests/web/test_load_benchmark.py`

Prints requests a second and the 95th percentile of the time to answer, at 1, 8 and 50 connections, for the submission of an
answer, the board and a lesson, each as a ratio to the limit: a bare Flask view on the same server that adds one row durably
(and the least that an answer needs besides, tests.web.limit_server);
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
from secrets import token_urlsafe
from types import SimpleNamespace

import pytest
from sqlalchemy import create_engine, func, select

from tests.cli.test_kill import Client, Site, form_of, kill, made
from tests.shipped import shipped_content
from tests.web.limit_server import TABLES
from tests.web.test_board_benchmark import fill
from trainer.records.models import Answer, Person

pytestmark = [pytest.mark.benchmark, pytest.mark.skipif(os.name == "nt", reason="gunicorn")]
CONNECTIONS = (1, 8, 50)
REQUESTS = 200  # at each number of connections
LONGEST = 15.0  # [s] after which no more of them are sent
PEOPLE = (0, 100, 1_000, 10_000)  # beside the few of the small shop
WORKERS, THREADS = 2, 4  # as `trainer serve` by itself


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
def limits(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[tuple[Client, Callable[[], tuple[int, int]]]]:
    """A client of the two limits on a server like ours, and how many rows each has added."""
    path = tmp_path / "limits.sqlite3"
    monkeypatch.setenv("LIMIT_STORE", str(path))
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("PRAGMA journal_mode = WAL")
    engine = create_engine(f"sqlite:///{path}")
    TABLES.create_all(engine)
    engine.dispose()
    with closing(socket.create_server(("127.0.0.1", 0))) as probe:
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [sys.executable, "-m", "gunicorn", "-b", address, "-w", str(WORKERS), "--threads", str(THREADS)]
    command += ["-k", "gthread", "--log-level", "error", "tests.web.limit_server:app"]
    served = subprocess.Popen(command, start_new_session=True)
    client = Client(address)
    for _ in range(400):
        with suppress(OSError):
            client.get("/signed")
            break
        time.sleep(0.05)

    def rows() -> tuple[int, int]:
        with closing(sqlite3.connect(path)) as plain:
            return plain.execute(
                "SELECT (SELECT count(*) FROM row), (SELECT count(*) FROM answer)"
            ).fetchone()

    yield client, rows
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
        assert client.post("/row", {"typed": "A"})[0] == 204

    return job


def adding_signed(client: Client) -> Callable[[], None]:
    fresh = Client(client.address)
    token = fresh.get("/signed")[2]
    fields = {"csrf_token": token, "typed": "A", "form_token": token_urlsafe(16), "confirmed": ""}

    def job() -> None:
        status, _, page = fresh.post("/signed", fields)
        assert status == 303, page

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


def test_the_server_as_ratios_to_one_bare_row(limits, site, capsys, monkeypatch) -> None:
    shop, address = site
    monkeypatch.setattr(Client, "timeout", 600.0)  # fifty boards of the largest shop at once take minutes
    limit, rows = limits
    trainer = Client(address)
    trainer.sign_in("tom")
    answers = answering(shop, address)
    kinds: dict[str, Callable[[], Callable[[], None]]] = {
        "bare row": lambda: adding(limit),
        "least": lambda: adding_signed(limit),
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
    assert rows() == (done["bare row"], done["least"])
    with capsys.disabled():
        print(f"\n{people} people")
        print(f"{'':<10}{'connections':>12}{'a second':>10}{'of bare':>9}{'p95 [ms]':>10}{'of bare':>9}")
        for (name, connections), one in sorted(found.items(), key=lambda item: item[0][1]):
            limit = found["bare row", connections]
            print(
                f"{name:<10}{connections:>12}{one.a_second:>10.1f}{one.a_second / limit.a_second:>9.2f}"
                f"{one.p95 * 1000:>10.1f}{one.p95 / limit.p95:>9.1f}"
            )
