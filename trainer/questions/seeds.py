"""From a seed to a choice: the same on every platform and for ever, so no generator of a library is used."""

from __future__ import annotations

from hashlib import sha256


class Rejected(Exception):
    """The numbers of one attempt make no good question.

    rule: "edge", "field", "slip", "collision", "refusal", "away" (the text gives the answer away) or "order" (it stands there
    right already); reason: in words
    about: the slip, or the unrounded quantity, that is meant; within: the table of the file it belongs to
    """

    def __init__(self, rule: str, reason: str, about: str = "", within: tuple[str | int, ...] = ()) -> None:
        self.rule, self.reason, self.about, self.within = rule, reason, about, within
        super().__init__(reason)


class Seed:
    """The choices of one attempt at a draw."""

    __slots__ = ("_stem",)

    def __init__(self, question_id: str, version: int, seed: int, attempt: int) -> None:
        self._stem = f"{question_id}|{version}|{seed}|{attempt}|".encode()

    def pick(self, name: str, count: int) -> int:
        """An index below `count` for the given called `name`."""
        return int.from_bytes(sha256(self._stem + name.encode()).digest(), "big") % count

    def shuffled(self, count: int) -> list[int]:
        """The indexes below `count` in an order of their own."""
        return sorted(range(count), key=lambda index: sha256(self._stem + b"order|%d" % index).digest())
