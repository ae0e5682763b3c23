"""`trainer init`, `trainer backup`, `trainer serve`'s port and `trainer demo`."""

from __future__ import annotations

import errno
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.shipped import shipped_content
from trainer.cli import cli
from trainer.cli.demo import make
from trainer.cli.serve import listen, port_of, take_port
from trainer.cli.shop import put_in_place
from trainer.errors import Refusal, StoreError
from trainer.records import history, queries, signin
from trainer.records.people import Actor
from trainer.records.store import TEST_COST, open_store

INIT = ["init", "--shop", "A Shop", "--owner", "An Owner", "--sign-in", "olive", "--zone", "America/Chicago"]


def run(*arguments: str, fails: bool = False):
    done = CliRunner().invoke(cli, arguments)
    if not fails:
        assert done.exit_code == 0, done.output
    return done


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_init_asks_and_hands_over_a_one_time_code(here):
    answers = "Hillside Chimney\nOlive Ortega\nolive\nAmerica/Chicago\n"
    done = CliRunner().invoke(cli, ["init"], input=answers)
    code = re.search(r"one-time code (\S{4}-\S{4}-\S{4})", done.output)
    assert done.exit_code == 0 and code
    store = open_store(here / "topping-out-shop" / "shop.sqlite3", password_cost=TEST_COST)
    owner = signin.redeem(
        store, datetime.now(UTC), sign_in="olive", code=code.group(1), password="x" * 12, source="test"
    )
    assert isinstance(owner, Actor) and owner.is_owner
    store.close()


@pytest.mark.skipif(os.name == "nt", reason="file modes are a Unix matter")
def test_only_this_account_may_read_the_data(here):
    run(*INIT)
    folder = here / "topping-out-shop"
    assert folder.stat().st_mode & 0o077 == 0
    assert (folder / "shop.sqlite3").stat().st_mode & 0o077 == 0


def test_a_refused_init_leaves_nothing(here):
    done = run(*INIT[:-1], "Mars/Olympus", fails=True)
    assert isinstance(done.exception, Refusal) and "Mars/Olympus" in str(done.exception)
    assert list((here / "topping-out-shop").iterdir()) == []


def test_a_refused_init_keeps_what_lay_there(here):
    (here / "topping-out-shop").mkdir()
    (here / "topping-out-shop" / "shop.sqlite3.old").write_text("kept")
    run(*INIT[:-1], "Nowhere", fails=True)
    assert (here / "topping-out-shop" / "shop.sqlite3.old").read_text() == "kept"


def test_init_twice_is_refused_and_keeps_the_shop(here):
    run(*INIT)
    assert "there is a shop in topping-out-shop already" in str(run(*INIT, fails=True).exception)
    assert (here / "topping-out-shop" / "shop.sqlite3").exists()


def test_a_shop_that_came_meanwhile_is_never_replaced(tmp_path):
    for name in ("made", "there"):
        (tmp_path / name).write_text(name)
    with pytest.raises(StoreError, match="there is a shop"):
        put_in_place(tmp_path / "made", tmp_path / "there")
    assert (tmp_path / "there").read_text() == "there"


@pytest.mark.parametrize("content", [b"", b"this is no store" * 200])
def test_a_file_that_is_no_shop_is_named_in_one_sentence(here, content):
    (here / "topping-out-shop").mkdir()
    (here / "topping-out-shop" / "shop.sqlite3").write_bytes(content)
    for command in (("serve", "--port", "8399"), ("backup", "copy.sqlite3")):
        assert isinstance(run(*command, fails=True).exception, StoreError)
    assert not (here / "copy.sqlite3").exists()


def test_restore_never_replaces_anything(here):
    run(*INIT)
    run("backup", "copy.sqlite3")
    assert "still holds shop.sqlite3" in str(run("restore", "copy.sqlite3", fails=True).exception)
    # A log that a crash left behind would be played over the copy.
    (here / "elsewhere").mkdir()
    (here / "elsewhere" / "shop.sqlite3-wal").write_text("old")
    assert "shop.sqlite3-wal" in str(
        run("restore", "--data", "elsewhere", "copy.sqlite3", fails=True).exception
    )
    run("restore", "--data", "new", "copy.sqlite3")
    with closing(sqlite3.connect(here / "new" / "shop.sqlite3")) as store:
        assert store.execute("SELECT name FROM person").fetchall() == [("An Owner",)]


def test_backup_is_a_whole_copy(here):
    run(*INIT)
    run("backup", "copy.sqlite3")
    for path in (here / "copy.sqlite3", here / "topping-out-shop" / "shop.sqlite3"):
        with closing(sqlite3.connect(path)) as store:
            assert store.execute("SELECT name FROM person").fetchall() == [("An Owner",)]
    assert (here / "copy.sqlite3").stat().st_mode & 0o077 == 0
    assert "exists already" in str(run("backup", "copy.sqlite3", fails=True).exception)
    assert "there is no shop in elsewhere" in str(
        run("backup", "--data", "elsewhere", "c", fails=True).exception
    )


def test_serve_without_a_shop_says_what_to_do(here):
    assert "set one up with `trainer init" in str(run("serve", fails=True).exception)


def test_a_busy_port(capsys):
    with closing(socket.socket()) as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        with pytest.raises(StoreError, match=rf"port {port} is in use; port \d+ is free"):
            take_port("127.0.0.1", port)


def test_the_usual_port_busy_gives_the_next(monkeypatch, capsys):
    def some_busy(host: str, port: int) -> socket.socket:
        if port <= 8322:
            raise OSError(errno.EADDRINUSE, "in use")
        return listen(host, 0)

    monkeypatch.setattr("trainer.cli.serve.listen", some_busy)
    take_port("127.0.0.1", None).close()
    assert "Port 8321 is in use; using the next free one, 8323" in capsys.readouterr().out


def test_a_port_that_was_taken_is_nobody_elses(monkeypatch, capsys):
    """Servers that start at the same moment: each has a port of its own, and keeps it."""
    with ThreadPoolExecutor(8) as pool:
        taken = list(pool.map(lambda _: take_port("127.0.0.1", None), range(8)))
    try:
        assert len({port_of(one) for one in taken}) == 8
        for one in taken:
            with pytest.raises(OSError) as caught:
                listen("127.0.0.1", port_of(one))
            assert caught.value.errno == errno.EADDRINUSE
    finally:
        for one in taken:
            one.close()


def test_an_address_of_another_machine_is_not_called_busy():
    with pytest.raises(StoreError, match=r"192\.0\.2\.1 cannot be listened on"):
        take_port("192.0.2.1", None)


def demo(folder: Path) -> str:
    """Run the demo until its sign-in page answered; what it printed."""
    with subprocess.Popen(
        [sys.executable, "-m", "trainer", "demo"],
        cwd=folder,
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    ) as running:
        try:
            assert running.stdout is not None
            printed = ""
            for line in running.stdout:
                printed += line
                if "Ctrl-C" in line:
                    break
            address = re.search(r"http://\S+", printed)
            assert address, printed
            for _ in range(60):
                try:
                    with urllib.request.urlopen(address.group(), timeout=10) as answer:
                        assert "Cold Hollow" in answer.read().decode()
                    break
                except OSError:
                    time.sleep(0.2)
            else:
                pytest.fail(f"no answer: {printed}")
        finally:
            os.killpg(running.pid, signal.SIGTERM)
    return printed


@pytest.mark.skipif(os.name == "nt", reason="process groups are a Unix matter")
def test_demo_in_an_empty_folder_and_again(tmp_path):
    first = demo(tmp_path)
    assert "Making an invented shop" in first and "topping-out-demo" in first
    assert [entry.name for entry in tmp_path.iterdir()] == ["topping-out-demo"]
    second = demo(tmp_path)
    assert "Going on with the demo" in second


def test_the_demo_holds_every_role_and_some_history(tmp_path):
    make(tmp_path / "demo")
    rules = shipped_content().rules
    store = open_store(tmp_path / "demo" / "shop.sqlite3")
    with store.read() as session:
        nora = Actor(1, "", "", "en", frozenset({"owner"}), "")
        rows = {row.name: row for row in queries.people(session, nora)}
        assert {role for row in rows.values() for role in row.roles} == {"apprentice", "trainer", "owner"}
        board = queries.board(session, nora, datetime.now(UTC).date(), rules)
        states = {row.person.name: {s.clearance: s.state for s in row.standings} for row in board.rows}
        assert states["Ana Ruelas"]["low-slope-roof"] == "cleared"
        assert states["Ana Ruelas"]["steep-roof"] == "ready to grant"
        assert states["Rosa Lindgren"]["low-slope-roof"] == "suspended"
        assert set(states["Tom Wexley"].values()) == {"not cleared"}
        waiting = [row.title for row in queries.for_review(session, nora).items]
        assert len(waiting) == 3 and {"Slab and bags until it is clear", "Three a week"} < set(waiting)
        assert history.verify(session).ok
    store.close()


def test_a_locked_out_owner_gets_a_new_code(here):
    run(*INIT)
    done = run("new-code", "olive")
    code = re.search(r"one-time code (\S{4}-\S{4}-\S{4})", done.output)
    assert code
    store = open_store(here / "topping-out-shop" / "shop.sqlite3", password_cost=TEST_COST)
    owner = signin.redeem(
        store, datetime.now(UTC), sign_in="olive", code=code.group(1), password="x" * 12, source="test"
    )
    assert isinstance(owner, Actor) and owner.is_owner
    store.close()


def test_no_code_is_made_for_nobody_or_nowhere(here):
    assert isinstance(run("new-code", "olive", fails=True).exception, StoreError)
    run(*INIT)
    refused = run("new-code", "nobody", fails=True).exception
    assert isinstance(refused, Refusal) and "'nobody'" in str(refused)


def test_move_store_there_and_back(here, databases, monkeypatch):
    run(*INIT)
    address = databases.new("moved")
    assert "the same as before" in run("move-store", address).output
    monkeypatch.setenv("TRAINER_DATABASE", address)
    assert "the same as before" in run("move-store", "copy.sqlite3").output
    run("backup", "backup.sqlite3")
    for path in ("copy.sqlite3", "backup.sqlite3"):
        with closing(sqlite3.connect(here / path)) as store:
            assert store.execute("SELECT name FROM person").fetchall() == [("An Owner",)]
    assert sorted(each.name for each in here.iterdir()) == [
        "backup.sqlite3",
        "copy.sqlite3",
        "topping-out-shop",
    ]
    assert isinstance(run("restore", "copy.sqlite3", fails=True).exception, StoreError)
    assert "one-time code" in run("new-code", "olive").output
    databases.drop(address)
    empty = databases.new("empty")
    monkeypatch.setenv("TRAINER_DATABASE", empty)
    run("restore", "copy.sqlite3")
    assert "set up already" in str(run(*INIT, fails=True).exception)
    databases.drop(empty)


def test_init_on_postgresql(here, databases, monkeypatch):
    address = databases.new("fresh")
    monkeypatch.setenv("TRAINER_DATABASE", address)
    assert "is set up in the database" in run(*INIT).output
    assert list(here.iterdir()) == []
    databases.drop(address)


def test_a_failed_move_leaves_no_file(here):
    run(*INIT)
    with closing(sqlite3.connect(here / "topping-out-shop" / "shop.sqlite3")) as store, store:
        store.execute("UPDATE event SET kind = 'other' WHERE number = 1")
    assert "history does not hold" in str(run("move-store", "copy.sqlite3", fails=True).exception)
    assert not list(here.glob("copy*"))
    (here / "copy.sqlite3").write_text("kept")
    assert "exists already" in str(run("move-store", "copy.sqlite3", fails=True).exception)
    assert (here / "copy.sqlite3").read_text() == "kept"
