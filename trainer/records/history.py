"""The append-only history.

Each event carries a SHA-256 over its own content and the hash of the event before; the head holds the
newest number and hash. A changed, removed, inserted or cut-off row breaks the chain where it happened.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.languages import Text
from trainer.records.models import Event, HistoryHead

START = "0" * 64
BATCH = 1000


@dataclass(frozen=True, slots=True)
class Fault:
    """One place at which the history does not hold. number: of the event, 0 for the head."""

    number: int
    sentence: Text


@dataclass(frozen=True, slots=True)
class Verified:
    rows: int
    head: str
    faults: tuple[Fault, ...]

    @property
    def ok(self) -> bool:
        return not self.faults


def append(
    session: Session,
    now: datetime,
    *,
    kind: str,
    actor_id: int | None,
    person_id: int | None = None,
    **facts: Any,
) -> Event:
    """Append one event. Must run inside a write transaction; nothing else writes to the history.

    kind: "paper opened", "grade changed" …; facts: what a reader needs, as plain JSON values (dates
    become ISO text); never a password, a code or a token
    """
    session.flush()  # the acts described come before their event, and ids are known
    head = session.scalars(select(HistoryHead).with_for_update()).one_or_none()
    if head is None:
        head = HistoryHead(id=1, number=0, hash=START)
        session.add(head)
    event = Event(
        number=head.number + 1,
        at=now.astimezone(UTC),
        kind=kind,
        actor_id=actor_id,
        person_id=person_id,
        facts=plain(facts),
        previous=head.hash,
    )
    event.hash = digest(event)
    head.number, head.hash = event.number, event.hash
    session.add(event)
    session.flush()
    return event


def digest(event: Event) -> str:
    """SHA-256 over the canonical JSON of every column but the hash itself."""
    content = [
        event.number,
        event.at.astimezone(UTC).isoformat(timespec="microseconds"),
        event.kind,
        event.actor_id,
        event.person_id,
        event.facts,
        event.previous,
    ]
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()


def plain(facts: Mapping[str, Any]) -> dict[str, Any]:
    """`facts` as JSON gives them back, so that the hash of what is read equals that of what was written."""
    result: dict[str, Any] = json.loads(json.dumps(facts, default=_plain_value, allow_nan=False))
    return result


def _plain_value(value: Any) -> Any:
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    if isinstance(value, (set, frozenset)):
        return sorted(value)
    raise TypeError(f"{type(value).__name__} cannot stand in the history: {value!r}")


def verify(session: Session) -> Verified:
    """Walk the whole history; every place at which it does not hold is a fault."""
    faults: list[Fault] = []
    number, previous, rows = 0, START, 0
    events = session.scalars(select(Event).order_by(Event.number).execution_options(yield_per=BATCH))
    for event in events:
        faults += _faults(event, number, previous)
        number, previous, rows = event.number, event.hash, rows + 1
        session.expunge(event)
    head = session.get(HistoryHead, 1)
    if (head.number, head.hash) != (number, previous) if head else rows > 0:
        faults.append(
            Fault(0, Text(en="The newest events are missing.", es="Faltan los sucesos más recientes."))
        )
    return Verified(rows, previous, tuple(faults))


def _faults(event: Event, number: int, previous: str) -> list[Fault]:
    faults = []
    if digest(event) != event.hash:
        faults.append(
            Fault(event.number, Text(en="This event was changed.", es="Este suceso fue modificado."))
        )
    if event.number != number + 1:
        faults.append(
            Fault(
                event.number,
                Text(en="Events before this one are missing.", es="Faltan sucesos anteriores a este."),
            )
        )
    elif event.previous != previous:
        faults.append(
            Fault(
                event.number,
                Text(
                    en="This event does not follow the one before it.",
                    es="Este suceso no sigue al anterior.",
                ),
            )
        )
    return faults
