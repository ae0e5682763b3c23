"""The weekly quizzes are made beside the server and before the digest, once, by as many processes as there are."""

from __future__ import annotations

import json
import multiprocessing
import sqlite3
import time
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest
from click.testing import CliRunner

from tests.cli.shops import moved_in
from tests.shipped import shipped_bank
from trainer.cli import cli, copies, weekly
from trainer.questions import draw
from trainer.records import history, quizzes
from trainer.records.store import TEST_COST, open_store
from trainer.records.weekly import Weekly
from trainer.web.logs import Lines


@pytest.fixture
def folder(store_path, shop_people, tmp_path):
    """A shop with a weekly quiz that began eight days ago: its second is due to be made."""
    path = tmp_path / "data"
    store = open_store(moved_in(store_path, path), password_cost=TEST_COST)
    with store.write() as session:
        quizzes.assign(
            session, shop_people.trainer, datetime.now(UTC) - timedelta(days=8), title="The gap",
            people=[shop_people.apprentice.id], questions=["why-the-gap"], pass_mark=80, due=None, same_numbers=True,
            bank=shipped_bank().questions, draw=draw, token="gap", weekly=Weekly((), (shop_people.apprentice.id,), None),
        )  # fmt: skip
    store.close()
    return path


def weeks(folder):
    with closing(sqlite3.connect(folder / "shop.sqlite3")) as store:
        return [week for (week,) in store.execute("SELECT week FROM quiz ORDER BY id")]


def test_the_process_beside_the_server_makes_it_whether_it_copies_or_not(folder, tmp_path):
    log = tmp_path / "log"
    with copies.copying(folder, 0, str(log)):
        for _ in range(600):
            if log.exists():
                break
            time.sleep(0.1)
    assert json.loads(log.read_text())["weekly"] == 1
    assert weeks(folder) == [0, 1] and not (folder / "copies").exists()


def test_the_digest_makes_it_first_and_printing_makes_nothing(folder):
    clean = {
        f"TRAINER_MAIL_{name}": None for name in ("HOST", "PORT", "SECURITY", "USER", "PASSWORD", "SENDER")
    }
    for arguments, made in ((["--print"], [0]), ([], [0, 1]), ([], [0, 1])):
        result = CliRunner().invoke(cli, ["digest", "--data", str(folder), *arguments], env=clean)
        assert result.exit_code == 0, result.output
        assert weeks(folder) == made


def _make(folder, now, gate, found):
    store = open_store(folder / "shop.sqlite3")
    gate.wait()
    found.put(weekly.make(store, now))
    store.close()


def test_four_processes_at_once_make_one(folder):
    processes = multiprocessing.get_context("spawn")
    gate, found = processes.Barrier(4), processes.Queue()
    those = [processes.Process(target=_make, args=(folder, datetime.now(UTC), gate, found)) for _ in range(4)]
    for one in those:
        one.start()
    made = [found.get(timeout=300) for _ in those]
    for one in those:
        one.join()
    assert sorted(made) == [[], [], [], [2]] and weeks(folder) == [0, 1]
    store = open_store(folder / "shop.sqlite3")
    with store.read() as session:
        assert history.verify(session).ok
    store.close()


def test_a_failure_is_told_and_tried_again(folder, tmp_path):
    places = [tmp_path / "nothing" / "shop.sqlite3", folder / "shop.sqlite3"]
    log = tmp_path / "log"
    maker = weekly.Maker(lambda: places.pop(0))
    assert not maker.tick(datetime.now(UTC), Lines(str(log)))
    assert maker.tick(datetime.now(UTC), Lines(str(log)))
    told = [json.loads(line) for line in log.read_text().splitlines()]
    assert [one["weekly"] for one in told] == [None, 1] and told[0]["level"] == "error"
    maker.close()
