"""`trainer serve`: where it logs."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from trainer.cli.serve import usable
from trainer.errors import StoreError


def test_a_log_file_is_made_private_and_named_whole(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = Path(usable("requests.log"))
    assert path == tmp_path / "requests.log" and stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_log_keeps_what_it_holds(tmp_path):
    log = tmp_path / "log"
    log.write_text("before\n")
    assert usable(str(log)) == str(log) and log.read_text() == "before\n"


@pytest.mark.parametrize("place", ["-", "none"])
def test_what_is_no_file_is_left_alone(place, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert usable(place) == place and not list(tmp_path.iterdir())


def test_a_log_that_cannot_be_written_stops_the_start(tmp_path):
    with pytest.raises(StoreError, match="cannot be written"):
        usable(str(tmp_path / "missing" / "log"))
