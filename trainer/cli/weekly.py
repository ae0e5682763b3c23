"""Making the quizzes that come again each week: by the process beside the server, and before the daily digest is sent.

The content files are read only when a quiz is to be made.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from trainer.questions import draw
from trainer.records import queries, repeating
from trainer.records.actors import Actor
from trainer.records.store import Store, open_store
from trainer.web.content import Content, load_content
from trainer.web.logs import STDERR, Lines, faults


def make(store: Store, now: datetime, read: Callable[[], Content] = load_content) -> list[int]:
    """Make every weekly quiz that is due; returns their ids. Safe to call from many processes at once."""
    with store.read() as session:
        if not repeating.waiting(session, now):
            return []
    content = read()

    def weak_in(
        session: Session, actor: Actor, now: datetime, people: list[int]
    ) -> Mapping[int, Sequence[str]]:
        crew = queries.crew_picture(session, actor, now, content.learning, content.bank.skills)
        return queries.weakest(crew, people)

    making = repeating.Making(
        content.bank.questions, draw, content.rules.skills, content.learning.deciding, weak_in
    )
    return repeating.make_due(store, now, making)


class Maker:
    """Makes what is due, again and again, in the store that `source` names; it is opened once, and again after a failure."""

    def __init__(self, source: Callable[[], str | Path]) -> None:
        self._source = source
        self._store: Store | None = None

    def tick(self, now: datetime, log: Lines | None) -> bool:
        """Make what is due and tell of it; whether all is well. A failure is told and left for the next try.

        log: where a quiz that was made is told; a failure is told on stderr when it is None
        """
        try:
            self._store = self._store or open_store(self._source())
            made = make(self._store, now)
        except Exception as error:  # whoever calls this must live on to try again, whatever it was
            (log or Lines(STDERR)).write({"level": "error", "weekly": None, "faults": faults(error)})
            self.close()
            return False
        if made and log is not None:
            log.write({"weekly": len(made)})
        return True

    def close(self) -> None:
        if self._store is not None:
            self._store.close()
            self._store = None
