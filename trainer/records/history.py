"""The append-only history.

Each event carries a SHA-256 over its own content and the hash of the event before; the head holds the
newest number and hash. A changed, removed, inserted or cut-off row breaks the chain where it happened.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any, cast

from sqlalchemy import Table, insert, select, update
from sqlalchemy.orm import Session

from trainer.languages import Text
from trainer.records.agreement import compare
from trainer.records.fingerprints import fingerprint
from trainer.records.models import Event, HistoryHead

START = "0" * 64
BATCH = 1000
# Without the mapper, which would cost as much again as the act that is told of; made once.
_HEAD = select(HistoryHead.number, HistoryHead.hash).with_for_update()
_ADD = insert(cast(Table, Event.__table__))
_BEGIN = insert(cast(Table, HistoryHead.__table__))
_MOVE = update(cast(Table, HistoryHead.__table__))


@dataclass(frozen=True, slots=True)
class Fault:
    """One place at which the history does not hold. number: of the event, 0 for the head."""

    number: int
    sentence: Text


@dataclass(frozen=True, slots=True)
class Verified:
    """faults: of the chain; differences: records that do not agree with it; unchecked: records of which an older
    event does not tell everything"""

    rows: int
    head: str
    faults: tuple[Fault, ...]
    differences: tuple[Fault, ...]
    unchecked: int

    @property
    def ok(self) -> bool:
        return not self.faults and not self.differences


def append(
    session: Session,
    now: datetime,
    *,
    kind: str,
    actor_id: int | None,
    person_id: int | None = None,
    **facts: Any,
) -> None:
    """Append one event. Must run inside a write transaction; nothing else writes to the history.

    kind: "paper opened", "grade changed" …; facts: what a reader needs, as plain JSON values (dates
    become ISO text); never a password, a code or a token
    """
    session.flush()  # the acts described come before their event, and ids are known
    connection = session.connection()
    head = connection.execute(_HEAD).one_or_none()
    number, previous = head or (0, START)
    event = {
        "number": number + 1,
        "at": now.astimezone(UTC),
        "kind": kind,
        "actor_id": actor_id,
        "person_id": person_id,
        "facts": plain(facts),
        "previous": previous,
    }
    event["hash"] = digest(SimpleNamespace(**event))
    connection.execute(_ADD, event)
    moved = {"number": event["number"], "hash": event["hash"]}
    connection.execute(*((_BEGIN, {"id": 1, **moved}) if head is None else (_MOVE, moved)))


def digest(event: Any) -> str:
    """SHA-256 over the canonical JSON of every column of an event but the hash itself."""
    content = [
        event.number,
        event.at.astimezone(UTC).isoformat(timespec="microseconds"),
        event.kind,
        event.actor_id,
        event.person_id,
        event.facts,
        event.previous,
    ]
    return fingerprint(content)


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
    """Walk the whole history, and hold the records against what it tells."""
    chain = _Chain()
    agreement = compare(session, chain.walk(session), lambda: _events(session))
    return Verified(
        chain.rows,
        chain.hash,
        (*chain.faults, *chain.end(session)),
        tuple(Fault(one.number, one.sentence) for one in agreement.differences),
        agreement.unchecked,
    )


def _events(session: Session) -> Iterator[Any]:
    """Every event in order, a batch at a time."""
    columns = (Event.number, Event.at, Event.kind, Event.actor_id, Event.person_id, Event.facts)
    query = select(*columns, Event.previous, Event.hash).order_by(Event.number)
    return iter(session.execute(query.execution_options(yield_per=BATCH)))


class _Chain:
    """The chain as far as it was walked."""

    def __init__(self) -> None:
        self.number, self.hash, self.rows = 0, START, 0
        self.faults: list[Fault] = []

    def walk(self, session: Session) -> Iterator[Any]:
        for event in _events(session):
            self.faults += _faults(event, self.number, self.hash)
            self.number, self.hash, self.rows = event.number, event.hash, self.rows + 1
            yield event

    def end(self, session: Session) -> list[Fault]:
        """Whether the head holds the newest event."""
        head = session.get(HistoryHead, 1)
        if (head.number, head.hash) == (self.number, self.hash) if head else self.rows == 0:
            return []
        return [Fault(0, Text(en="The newest events are missing.", es="Faltan los sucesos más recientes."))]


def _faults(event: Any, number: int, previous: str) -> list[Fault]:
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
