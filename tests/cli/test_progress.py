"""How far a long command is: a bar at a terminal, plain lines elsewhere, and nothing on standard output."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from trainer.cli import cli
from trainer.cli.progress import Parts, passing

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


def test_parts_of_a_command_tell_a_line_now_and_then(capsys: pytest.CaptureFixture[str]) -> None:
    ticks = iter(range(0, 1000, 2))
    parts = Parts(lambda: next(ticks))
    for done in range(0, 900, 100):
        parts("answer", done, 800)
    said = capsys.readouterr()
    assert said.out == "" and "answer: 200 of 800\n" in said.err
    assert 2 <= said.err.count("\n") <= 4 and "800 of 800" not in said.err


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_shell_completes_commands(shell: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "trainer"], capture_output=True, text=True, check=False, timeout=60,
        env={**os.environ, "_TRAINER_COMPLETE": f"{shell}_complete", "COMP_WORDS": "trainer mo", "COMP_CWORD": "1" if shell != "fish" else "mo"},
    )  # fmt: skip
    assert "move-store" in done.stdout and "serve" not in done.stdout


def commands(command: click.Command, path: tuple[str, ...] = ("trainer",)) -> Iterator[tuple[str, str]]:
    context = click.Context(command, info_name=path[-1])
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            found = command.get_command(context, name)
            assert found is not None
            yield from commands(found, (*path, name))
    else:
        yield " ".join(path), command.help or ""


def test_the_help_of_each_command_has_an_example() -> None:
    told = dict(commands(cli))
    assert len(told) > 12
    assert [name for name, said in told.items() if f"\n{name}" not in said.replace("\n    ", "\n")] == []
    assert "Exit status" in (cli.help or "") and "_TRAINER_COMPLETE=bash_source" in (cli.help or "")
