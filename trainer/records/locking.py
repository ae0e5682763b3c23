"""One writer at a time on one SQLite file, between threads and between processes.

SQLite's own waiting polls and starves; a queue in front of it keeps the slowest writer fast.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trainer.errors import StoreError

try:
    import fcntl
except ImportError:  # not on every system; the thread lock and SQLite's own waiting remain
    fcntl = None  # type: ignore[assignment]

WAIT = 15.0  # [s] longest wait for the lock
POLL = 0.001  # [s]
BUSY = "the data store is busy: another program holds it; try again, or stop that program"


class WriteLock:
    """A lock held by one thread of one process at a time; `path` is the lock file, None for threads only."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._threads = threading.Lock()

    @contextmanager
    def held(self, wait: float = WAIT) -> Iterator[None]:
        """Hold the lock inside the block. StoreError when it is not free within `wait` seconds."""
        if not self._threads.acquire(timeout=wait):
            raise StoreError(BUSY)
        try:
            with self._file_held(wait):
                yield
        finally:
            self._threads.release()

    @contextmanager
    def _file_held(self, wait: float) -> Iterator[None]:
        if self._path is None or fcntl is None:
            yield
            return
        # Opened each time: a handle kept over a fork would be one lock shared by two processes.
        try:
            handle = os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_CLOEXEC, 0o666)
        except OSError as error:
            raise StoreError(f"the lock file {self._path} cannot be opened: {error.strerror}") from error
        try:
            deadline = time.monotonic() + wait
            while True:
                try:
                    fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                    break
                except BlockingIOError:
                    if time.monotonic() > deadline:
                        raise StoreError(BUSY) from None
                    time.sleep(POLL)
            yield
        finally:
            os.close(handle)
