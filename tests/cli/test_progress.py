"""How far a long command is: a bar at a terminal, plain lines elsewhere, and nothing on standard output."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import time
from pathlib import Path

import pytest

from trainer.cli.progress import passing

SMALL = Path(__file__).parents[1] / "questions" / "data" / "small"
CHECK = [sys.executable, "-m", "trainer", "bank", "check", "--draws", "5", "--folder", str(SMALL)]


def test_everything_comes_through_in_order_with_a_line_now_and_then(
    capsys: pytest.CaptureFixture[str],
) -> None:
    ticks = iter(range(0, 1000, 2))  # two seconds pass between any two looks at the clock
    assert list(passing("abcdefgh", "questions", lambda: next(ticks))) == list("abcdefgh")
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == "questions: 2 of 8\nquestions: 5 of 8\n"


def test_a_short_command_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert list(passing([1, 2, 3], "questions")) == [1, 2, 3]
    assert capsys.readouterr() == ("", "")


def test_at_a_terminal_there_is_a_bar_and_standard_output_stays_clean() -> None:
    ours, theirs = pty.openpty()
    done = subprocess.run(CHECK, stdout=subprocess.PIPE, stderr=theirs, check=False, timeout=120)
    os.close(theirs)
    shown = b""
    end = time.monotonic() + 10
    while b"4/4" not in shown and time.monotonic() < end:
        try:
            shown += os.read(ours, 4096)
        except OSError:  # all was read
            break
    os.close(ours)
    assert b"questions" in shown and b"4/4" in shown
    assert done.stdout.decode().strip() == "4 questions, 5 draws each: 0 problems"
