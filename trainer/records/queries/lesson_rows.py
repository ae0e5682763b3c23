"""A lesson and one person's way through it, as pages show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class CheckRow:
    """A check question of a lesson and how often it was tried; right: answered right in the end."""

    question: str
    tries: int
    right: bool


@dataclass(frozen=True, slots=True)
class LessonRow:
    """A lesson with one person's way through it.

    state: "unread", "read", "accepted" (an older version was read, and a trainer accepted it) or "changed since"
    read_version, read_at: of the newest version read; with_check: whether check questions were answered for it
    sections, done: how many there are in the present version, and how many of them were read to the end
    go_on: the section to go on with, None before the first was read and after the last; come_at: when one came there
    """

    id: str
    title: Text
    version: int
    state: str
    read_version: int | None
    read_at: datetime | None
    with_check: bool
    sections: tuple[str, ...]
    done: int
    go_on: str | None
    come_at: datetime | None
    checks: tuple[CheckRow, ...]

    @property
    def settled(self) -> bool:
        """Whether nothing is asked of the person any more."""
        return self.state in ("read", "accepted")

    @property
    def begun(self) -> bool:
        return self.done > 0 or any(check.tries for check in self.checks)

    @property
    def ended(self) -> bool:
        return self.done == len(self.sections)

    @property
    def checks_right(self) -> int:
        return sum(check.right for check in self.checks)

    @property
    def next_check(self) -> str | None:
        """The first check question that has no right answer yet."""
        return next((check.question for check in self.checks if not check.right), None)
