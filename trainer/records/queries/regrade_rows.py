"""What pages show of questions graded anew."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class RegradedRow:
    """What a regrade did to one paper. before, after: its score [percent]; how: as `Regrade.how`."""

    paper_id: int
    title: str
    position: int
    how: str
    reason: str
    by: str
    at: datetime
    before: float
    after: float
    passed_before: bool
    passed_after: bool


@dataclass(frozen=True, slots=True)
class DoubtRow:
    """A grant that rested on a paper graded anew. settled_*: None until an owner has looked at it."""

    id: int
    grant_id: int
    person_id: int
    person: str
    clearance: str
    question: str
    reason: str
    at: datetime
    settled_at: datetime | None
    settled_by: str | None
    settled_note: str | None


@dataclass(frozen=True, slots=True)
class AskedVersion:
    """How many papers asked a version of a question, and how many of those are still out."""

    version: int
    papers: int
    still_out: int


@dataclass(frozen=True, slots=True)
class RegradeRow:
    id: int
    question: str
    version: int
    how: str
    reason: str
    by: str
    at: datetime
    papers: int


@dataclass(frozen=True, slots=True)
class SentBackRow:
    """A paper that was sent back, and the one to do in its place."""

    paper_id: int
    again_id: int
    reason: str
    by: str
    at: datetime
