"""Which digests were sent: one a person a day, never two.

A row is made before the message is handed over and finished after. A message that the server refused takes its row
back, so the next run tries again; a run that died in between leaves the row, and nothing is sent twice that day.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import delete
from sqlalchemy.orm import Session

from trainer.records.models import DigestSent


def begin(session: Session, now: datetime, person_id: int, day: date) -> bool:
    """Whether the person's digest of that day is to be sent now; the answer is yes only once."""
    if session.get(DigestSent, (person_id, day)) is not None:
        return False
    session.add(DigestSent(person_id=person_id, day=day, begun_at=now, sent_at=None))
    return True


def finish(session: Session, now: datetime, person_id: int, day: date) -> None:
    """The server took it."""
    session.get_one(DigestSent, (person_id, day)).sent_at = now


def take_back(session: Session, person_id: int, day: date) -> None:
    """The server did not take it; the next run tries again."""
    session.execute(
        delete(DigestSent).where(
            DigestSent.person_id == person_id, DigestSent.day == day, DigestSent.sent_at.is_(None)
        )
    )
