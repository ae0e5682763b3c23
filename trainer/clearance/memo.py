"""What was worked out once a value: a board asks the same few things thousands of times."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

Key = TypeVar("Key")
Found = TypeVar("Found")


class Memo(dict[Key, Found]):
    """memo[value] is work_out(value), worked out the first time."""

    def __init__(self, work_out: Callable[[Key], Found]) -> None:
        self.work_out = work_out

    def __missing__(self, value: Key) -> Found:
        found = self[value] = self.work_out(value)
        return found
