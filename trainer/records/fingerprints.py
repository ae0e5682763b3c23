"""What an event keeps of a row too large to be repeated in it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection
from typing import Any


def fingerprint(data: Any) -> str:
    """SHA-256 over the canonical JSON of plain data."""
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()


def of_question(skills: Collection[str], must_pass: bool, draw: Any) -> str:
    """Of a question frozen on a paper: what it counts for, and its whole draw."""
    return fingerprint([list(skills), bool(must_pass), draw])


def first_score(credit: float, questions: int) -> float:
    """The score [percent] at hand-in, before any grade was changed; rounded, as credits are floats added up."""
    return round(100.0 * credit / questions, 4) if questions else 0.0


def email_hash(email: str | None) -> str | None:
    """What the history holds of an e-mail address."""
    return None if email is None else fingerprint(email)
