"""Lessons that changed, their readers, and what was accepted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trainer.clearance import Change
from trainer.languages import Text
from trainer.records.queries.rows import PersonRow


@dataclass(frozen=True, slots=True)
class AcceptanceRow:
    """An older version of a lesson accepted for the version `present`, and how that ended; ended_on None: it stands."""

    id: int
    version: int
    present: int
    by_id: int
    by: str
    since: date
    reason: str
    ended_by: str | None
    ended_on: date | None
    ended_reason: str | None


@dataclass(frozen=True, slots=True)
class OlderReader:
    """Someone whose newest reading of a lesson is of an older version.

    accepted: whether that counts for them; changes: their clearances that would stand otherwise if it were asked again,
    or, where it is not accepted, if it were
    """

    person: PersonRow
    version: int
    read_on: date | None
    accepted: bool
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class ChangedLesson:
    """acceptances: newest first, those that ended or belong to an earlier present version too."""

    id: str
    title: Text
    version: int
    readers: tuple[OlderReader, ...]
    acceptances: tuple[AcceptanceRow, ...]

    @property
    def asked(self) -> tuple[OlderReader, ...]:
        """Those who are asked to read it again."""
        return tuple(reader for reader in self.readers if not reader.accepted)

    @property
    def older(self) -> tuple[int, ...]:
        """The older versions that someone read, newest first."""
        return tuple(sorted({reader.version for reader in self.readers}, reverse=True))

    def standing(self) -> tuple[AcceptanceRow, ...]:
        """The acceptances that count for the present version."""
        return tuple(row for row in self.acceptances if row.present == self.version and row.ended_on is None)
