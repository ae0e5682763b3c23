"""The daily copies beside the server: one a day by a set clock, the newest so many kept, nothing else ever removed."""

from __future__ import annotations

import json
import os
import sqlite3
import stat
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.cli.shops import new_shop
from trainer.cli import cli, copies
from trainer.errors import StoreError
from trainer.records import history
from trainer.records.store import TEST_COST, open_store
from trainer.web.logs import Lines

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def made_once(tmp_path_factory) -> Path:
    return new_shop(tmp_path_factory.mktemp("made") / "shop.sqlite3", NOON)


@pytest.fixture
def folder(tmp_path: Path, made_once: Path, monkeypatch) -> Path:
    monkeypatch.delenv("TRAINER_DATABASE", raising=False)
    (tmp_path / "shop.sqlite3").write_bytes(made_once.read_bytes())
    return tmp_path


def make(folder: Path, now: datetime, keep: int = 3) -> Path | None:
    return copies.make(folder / "shop.sqlite3", folder, keep, now)


def days(folder: Path) -> list[str]:
    return [day.isoformat() for day in sorted(copies.made(folder))]


def test_one_copy_a_day_whole_and_for_this_account_only(folder):
    copy = make(folder, NOON)
    assert copy == folder / "copies" / "shop-2026-11-25.sqlite3"
    before = copy.stat()
    assert make(folder, NOON + timedelta(hours=11)) is None and copy.stat() == before
    store = open_store(copy, password_cost=TEST_COST)
    with store.read() as session:
        assert history.verify(session).ok and history.verify(session).rows > 0
    store.close()
    if os.name != "nt":
        assert stat.S_IMODE(before.st_mode) == 0o600
        assert stat.S_IMODE(copy.parent.stat().st_mode) == 0o700


def test_the_newest_so_many_are_kept(folder):
    for number in range(5):
        make(folder, NOON + number * DAY)
    assert days(folder) == ["2026-11-27", "2026-11-28", "2026-11-29"]


def test_days_without_a_server_cost_no_copy(folder):
    for number in (0, 40, 41):
        make(folder, NOON + number * DAY)
    assert days(folder) == ["2026-11-25", "2027-01-04", "2027-01-05"]


def test_nothing_with_another_name_is_removed(folder):
    make(folder, NOON)
    others = ["shop-2026-11-01.sqlite3.old", "shop-before.sqlite3", "xshop-2020-01-01.sqlite3", "notes.txt"]
    others += ["shop-2026-13-45.sqlite3", "Shop-2020-01-01.sqlite3"]
    for name in others:
        (folder / "copies" / name).write_text("kept")
    for number in range(1, 5):
        make(folder, NOON + number * DAY, keep=1)
    left = {path.name for path in (folder / "copies").iterdir()} - {".lock"}
    assert left == {*others, "shop-2026-11-29.sqlite3"}


def test_a_copy_from_a_clock_that_ran_ahead_costs_no_other(folder):
    make(folder, NOON + 4000 * DAY)
    for number in range(3):
        make(folder, NOON + number * DAY, keep=1)
    assert days(folder) == ["2026-11-27", (NOON + 4000 * DAY).date().isoformat()]


def test_many_at_once_make_one(folder):
    with ThreadPoolExecutor(8) as pool:
        done = list(pool.map(lambda _: make(folder, NOON), range(8)))
    assert sum(copy is not None for copy in done) == 1 and days(folder) == ["2026-11-25"]


def test_what_a_stopped_process_left_is_no_hindrance(folder):
    (folder / "copies").mkdir()
    (folder / "copies" / copies.MAKING).write_text("half a copy")
    assert make(folder, NOON) is not None
    assert not (folder / "copies" / copies.MAKING).exists()


def test_a_failure_is_told_keeps_every_older_copy_and_is_tried_again(folder, tmp_path):
    log = tmp_path / "log"
    for number in range(3):
        make(folder, NOON + number * DAY)
    shop, kept = folder / "shop.sqlite3", (folder / "shop.sqlite3").read_bytes()
    shop.write_bytes(b"no store" * 1000)
    later = NOON + 3 * DAY
    assert not copies.tick(lambda: shop, folder, 1, later, Lines(str(log)))
    assert len(days(folder)) == 3
    told = json.loads(log.read_text())
    assert told["level"] == "error" and told["faults"][0]["kind"] == "StoreError"
    said = copies.failed(folder)
    assert said is not None and said.startswith("2026-11-28 12:00 UTC: ") and "could not be copied" in said
    shop.write_bytes(kept)
    assert copies.tick(lambda: shop, folder, 1, later, Lines(str(log)))
    assert copies.failed(folder) is None and days(folder) == ["2026-11-28"]
    assert json.loads(log.read_text().splitlines()[1])["copy"] == "shop-2026-11-28.sqlite3"


def test_a_folder_that_cannot_be_made_is_one_sentence(folder):
    (folder / "copies").write_text("a file stands there")
    with pytest.raises(StoreError, match="copies"):
        make(folder, NOON)


def test_the_clock_alone_says_when(folder):
    """Two and a half days of five-minute looks make three copies."""
    now = [NOON]

    def wait(seconds: float) -> bool:
        now[0] += timedelta(seconds=seconds)
        return now[0] >= NOON + 2.5 * DAY

    copies.keep_on(folder, 14, None, wait, lambda: now[0])
    assert days(folder) == ["2026-11-25", "2026-11-26", "2026-11-27"]


def test_a_copy_made_while_the_shop_is_in_use_can_be_restored(folder, tmp_path):
    with closing(sqlite3.connect(folder / "shop.sqlite3", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE shop SET name = 'Half done'")
        copy = make(folder, NOON)
        other.execute("ROLLBACK")
    done = CliRunner().invoke(cli, ["restore", str(copy), "--data", str(tmp_path / "again")])
    assert done.exit_code == 0, done.output
    with closing(sqlite3.connect(tmp_path / "again" / "shop.sqlite3")) as restored:
        assert restored.execute("SELECT name FROM shop").fetchone() == ("A Shop",)


def wait_for(path: Path) -> None:
    for _ in range(600):
        if path.exists():
            return
        time.sleep(0.1)
    raise AssertionError(f"{path} did not come")


def test_the_process_beside_the_server_copies_and_ends_with_it(folder, tmp_path):
    log = tmp_path / "log"
    with copies.copying(folder, 2, str(log)):
        wait_for(log)
    today = date.fromisoformat(json.loads(log.read_text())["copy"][5:15])
    assert copies.made(folder) == {today: folder / "copies" / f"shop-{today}.sqlite3"}
    assert abs(today - datetime.now(UTC).date()) <= DAY


def test_none_are_made_when_none_are_wanted(folder):
    with copies.copying(folder, 0, "none"):
        pass
    assert not (folder / "copies").exists()


@pytest.mark.skipif(os.name == "nt", reason="kill -9")
def test_it_ends_when_the_server_is_killed(folder):
    """A killed process runs nothing of its own: the pipe between the two is what ends the second one."""
    script = (
        "import sys, time, pathlib\nfrom trainer.cli import copies\n"
        "with copies.copying(pathlib.Path(sys.argv[1]), 2, 'none'):\n    print(flush=True)\n    time.sleep(600)\n"
    )
    with subprocess.Popen([sys.executable, "-c", script, str(folder)], stdout=subprocess.PIPE) as server:
        assert server.stdout is not None
        server.stdout.readline()
        wait_for(folder / "copies" / f"shop-{datetime.now(UTC).date()}.sqlite3")
        (child,) = Path(f"/proc/{server.pid}/task/{server.pid}/children").read_text().split()
        server.kill()
    for _ in range(200):
        if not Path(f"/proc/{child}").exists():
            return
        time.sleep(0.1)
    raise AssertionError("the copying process lives on without its server")
