"""The copies that `trainer serve` makes of the shop's data: one a day, the newest so many of them kept.

    copying     a process beside the server that makes them, and the weekly quizzes, as long as the server runs
    make        today's copy, unless there is one
    made        the copies there are; `failed` why the last try made none

They lie in the folder `copies` of the data folder as shop-YYYY-MM-DD.sqlite3, by the UTC date; nothing with another name
is ever removed there. A copy is put in place whole, or not at all.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Final

from trainer.cli.place import shop_store
from trainer.cli.shop import copy_store, move_data
from trainer.cli.weekly import Maker
from trainer.errors import StoreError
from trainer.records.locking import WriteLock
from trainer.web.logs import QUIET, STDERR, Lines, faults

FOLDER: Final = "copies"
FAILED: Final = "failed.txt"  # when and why the last try made no copy; gone when one was made
MAKING: Final = ".making.sqlite3"
LOCK: Final = ".lock"
COPY: Final = re.compile(r"shop-(\d{4}-\d{2}-\d{2})\.sqlite3")
TICK: Final = 300.0  # [s] between two looks at the clock, and between two tries after a failure
LOCK_WAIT: Final = 600.0  # [s]


def made(folder: Path) -> dict[date, Path]:
    """The copies of the shop in `folder`, by their day."""
    found = {}
    for path in (folder / FOLDER).glob("shop-*"):
        if name := COPY.fullmatch(path.name):
            with suppress(ValueError):
                found[date.fromisoformat(name[1])] = path
    return found


def failed(folder: Path) -> str | None:
    """When and why the last try made no copy; None when it made one."""
    try:
        return (folder / FOLDER / FAILED).read_text("utf-8").strip()
    except OSError:
        return None


def make(source: str | Path, folder: Path, keep: int, now: datetime) -> Path | None:
    """Today's copy, after which all but the newest `keep` are removed; None when there is one already.

    Safe to call from many processes at once. A copy dated after today is neither counted nor removed: a clock was
    wrong, then or now. Raises StoreError when no copy could be made; the older ones are then all kept.
    """
    copies, today = folder / FOLDER, now.astimezone(UTC).date()
    target = copies / f"shop-{today.isoformat()}.sqlite3"
    if target.exists():
        return None
    try:
        copies.mkdir(mode=0o700, parents=True, exist_ok=True)
        with WriteLock(copies / LOCK).held(LOCK_WAIT):
            if target.exists():
                return None
            _copy(source, copies / MAKING)
            (copies / MAKING).rename(target)
            (copies / FAILED).unlink(missing_ok=True)
            past = sorted((day, path) for day, path in made(folder).items() if day <= today)
            for _day, path in past[:-keep]:
                path.unlink()
    except OSError as error:
        raise StoreError(f"the copies in {copies} cannot be kept: {error.strerror}") from error
    return target


def _copy(source: str | Path, target: Path) -> None:
    target.unlink(missing_ok=True)  # left by a process that was stopped meanwhile
    if isinstance(source, Path):
        copy_store(source, target)
    else:
        move_data(source, target)


def tick(source: Callable[[], str | Path], folder: Path, keep: int, now: datetime, log: Lines | None) -> bool:
    """Make today's copy if it is due and tell of it; whether all is well. A failure is told and left for the next try.

    log: where a copy that was made is told; a failure is told on stderr when it is None
    """
    try:
        copy = make(source(), folder, keep, now)
    except Exception as error:  # this process must live on to try again, whatever it was
        (log or Lines(STDERR)).write({"level": "error", "copy": None, "faults": faults(error)})
        why = str(error) if isinstance(error, StoreError) else type(error).__name__
        with suppress(OSError):
            (folder / FOLDER / FAILED).write_text(f"{now:%Y-%m-%d %H:%M} UTC: {why}\n", "utf-8")
        return False
    if copy is not None and log is not None:
        log.write({"copy": copy.name})
    return True


@contextmanager
def copying(folder: Path, keep: int, log: str) -> Iterator[None]:
    """Inside the block a process beside this one makes the copies and the weekly quizzes; it ends with the block, or when
    this one is killed. keep: 0 makes no copies
    """
    command = [sys.executable, "-m", "trainer.cli.copies", str(folder.absolute()), str(keep), log]
    # The address of a database may hold a password, so it stays in the environment. The end of stdin says that
    # the server has ended, however it did.
    child = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)
    starter = os.getpid()
    try:
        yield
    finally:
        assert child.stdin is not None
        child.stdin.close()
        if os.getpid() == starter:  # a server process that ends, a fork of this one, comes by here too
            try:
                child.wait(timeout=5)
            except subprocess.TimeoutExpired:
                child.terminate()
                child.wait()


def keep_on(
    folder: Path,
    keep: int,
    log: Lines | None,
    wait: Callable[[float], bool],
    clock: Callable[[], datetime] = lambda: datetime.now(UTC),
) -> None:
    """Look at the clock until wait(seconds) says that the server has ended."""
    quizzes = Maker(lambda: shop_store(folder))
    while True:
        if keep:
            tick(lambda: shop_store(folder), folder, keep, clock(), log)
        quizzes.tick(clock(), log)
        if wait(TICK):
            quizzes.close()
            return


def main(folder: str, keep: str, log: str) -> None:
    """The process beside the server."""
    ended = threading.Event()

    def listen() -> None:
        sys.stdin.buffer.read()
        ended.set()

    threading.Thread(target=listen, daemon=True).start()
    with suppress(KeyboardInterrupt):
        keep_on(Path(folder), int(keep), None if log == QUIET else Lines(log), ended.wait)


if __name__ == "__main__":
    main(*sys.argv[1:])
