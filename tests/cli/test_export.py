"""`trainer export FILE`."""

from __future__ import annotations

import json
import stat
import zipfile
from datetime import UTC, datetime

import pytest
from click.testing import CliRunner

from tests.cli.shops import new_shop
from trainer.cli import cli
from trainer.errors import StoreError


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "shop"
    made.mkdir()
    new_shop(made / "shop.sqlite3", datetime(2026, 11, 25, 13, tzinfo=UTC))
    return made


def test_everything_is_written_into_one_private_file(folder, tmp_path):
    target = tmp_path / "all.zip"
    done = CliRunner().invoke(cli, ["export", "--data", str(folder), str(target)])
    assert done.exit_code == 0, done.output
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    with zipfile.ZipFile(target) as held:
        assert held.testzip() is None
        told = json.loads(held.read("archive.json"))
    assert told["shop"] == "A Shop" and told["rows"]["people"] == 1
    assert told["rows"]["history"] == told["history"]["events"] >= 3  # set up, owner added, archive made
    assert [path.name for path in tmp_path.iterdir() if "part" in path.name] == []


def test_a_file_that_is_there_stays_as_it_is(folder, tmp_path):
    target = tmp_path / "all.zip"
    target.write_bytes(b"mine")
    done = CliRunner().invoke(cli, ["export", "--data", str(folder), str(target)])
    assert isinstance(done.exception, StoreError) and "exists already" in str(done.exception)
    assert target.read_bytes() == b"mine"


def test_a_folder_that_is_not_there_is_said(folder, tmp_path):
    done = CliRunner().invoke(cli, ["export", "--data", str(folder), str(tmp_path / "no" / "all.zip")])
    assert isinstance(done.exception, StoreError) and "cannot be written" in str(done.exception)


def test_without_a_shop_it_says_so(tmp_path):
    done = CliRunner().invoke(cli, ["export", "--data", str(tmp_path), str(tmp_path / "all.zip")])
    assert isinstance(done.exception, StoreError) and "there is no shop" in str(done.exception)
