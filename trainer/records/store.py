"""The open store: short read and write transactions.

store = open_store("shop.sqlite3")
with store.read() as session: ...
with store.write() as session: ...      # committed, durably, when the block is left
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, event
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.orm import ORMExecuteState, Session, SessionTransaction

from trainer.errors import StoreError
from trainer.records.engine import make_engine, sqlite_path, store_url
from trainer.records.locking import WriteLock
from trainer.records.passwords import DEFAULT_COST, TEST_COST, PasswordCost
from trainer.records.schema import Upgraded, lock_path, state, upgrade

__all__ = ["DEFAULT_COST", "TEST_COST", "PasswordCost", "Store", "Upgraded", "open_store", "upgrade"]

# How a transaction begins. A writing one is alone from its first statement on: on PostgreSQL by a lock held to its end,
# of one number for any number of processes.
READING = {"sqlite": "BEGIN DEFERRED"}
WRITING = {"sqlite": "BEGIN IMMEDIATE", "postgresql": "SELECT pg_advisory_xact_lock(8140934)"}


class Reading(Session):
    """A session that changes nothing."""


class Writing(Session):
    """A session that may change something."""


class Store:
    """One store. Holds no state but the connections; any number of processes may open the same one."""

    def __init__(self, engine: Engine, lock: WriteLock, password_cost: PasswordCost) -> None:
        self.engine = engine
        self.password_cost = password_cost
        self._lock = lock
        # PostgreSQL by itself sees each statement's own state; SQLite sees that of the first one throughout.
        one_state = {"isolation_level": "REPEATABLE READ"} if engine.dialect.name == "postgresql" else {}
        self._reads = engine.execution_options(**one_state)

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A transaction that sees one state of the store and changes nothing."""
        with self._session(self._reads, Reading) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A transaction that is committed when the block is left, and undone when it is left by an error.

        Only one runs at a time. What is inside is not durable before the block is left.
        """
        with self._lock.held(), self._session(self.engine, Writing) as session:
            session.connection()  # begins: whoever takes the time inside takes it in the order of the writers
            yield session
            session.commit()

    @contextmanager
    def _session(self, engine: Engine, kind: type[Session]) -> Iterator[Session]:
        try:
            with kind(engine, expire_on_commit=False) as session:
                yield session
        except OperationalError as error:
            raise StoreError(f"the data store did not take it: {error.orig}") from error

    def close(self) -> None:
        self.engine.dispose()


def open_store(url_or_path: str | Path, *, password_cost: PasswordCost = DEFAULT_COST) -> Store:
    """Open a store that `upgrade` has made.

    Raises StoreError, saying what to do, when it is missing, of an older or newer schema, or no store.
    """
    url = store_url(url_or_path)
    path = sqlite_path(url)
    if path is not None and not path.is_file():
        raise StoreError(f"there is no data store at {path}: make one with `trainer init`")
    engine = make_engine(url)
    try:
        with engine.begin() as connection:
            current, head = state(connection)
    except DBAPIError as error:
        engine.dispose()
        raise StoreError(f"the data store cannot be read: {error.orig}") from error
    except StoreError:
        engine.dispose()
        raise
    # A process that forks afterwards must not share this connection.
    engine.dispose()
    if current is None:
        raise StoreError("the data store is empty: make it with `trainer init`")
    if current != head:
        raise StoreError(
            f"the data store has the older schema {current}: start it with `trainer serve`, which upgrades it"
        )
    return Store(engine, WriteLock(lock_path(path) if path else None), password_cost)


def _begin(statements: Mapping[str, str]) -> Callable[[Session, SessionTransaction, Connection], None]:
    def begin(_session: Session, transaction: SessionTransaction, connection: Connection) -> None:
        if not transaction.nested and (statement := statements.get(connection.dialect.name)):
            try:
                connection.exec_driver_sql(statement)
            except BaseException:
                connection.close()  # else what follows would stand outside of any transaction
                raise

    return begin


def _refuse_flush(session: Session, *_: Any) -> None:
    raise RuntimeError("a read transaction was asked to write; use store.write()")


def _refuse_change(state: ORMExecuteState) -> None:
    if not state.is_select:
        raise RuntimeError("a read transaction was asked to write; use store.write()")


# Once for the classes: registered for each session they would cost as much as a statement.
event.listen(Reading, "after_begin", _begin(READING))
event.listen(Writing, "after_begin", _begin(WRITING))
event.listen(Reading, "before_flush", _refuse_flush)
event.listen(Reading, "do_orm_execute", _refuse_change)
