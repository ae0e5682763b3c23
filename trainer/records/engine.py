"""Database engines: SQLite in one file, or PostgreSQL by URL, with the same transactions on both."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import URL, Engine, create_engine, event, make_url

from trainer.errors import StoreError

BUSY_TIMEOUT = 5000  # [ms]


def store_url(url_or_path: str | Path) -> URL:
    """The URL of a store given as a URL or as the path of an SQLite file."""
    text = str(url_or_path)
    if "://" not in text:
        return URL.create("sqlite", database=text)
    url = make_url(text)
    if url.get_backend_name() not in ("sqlite", "postgresql"):
        raise StoreError(
            f"unknown kind of store {url.get_backend_name()!r}: give a file or a postgresql:// address"
        )
    if url.get_backend_name() == "postgresql" and url.drivername == "postgresql":
        url = url.set(drivername="postgresql+psycopg")
    return url


def sqlite_path(url: URL) -> Path | None:
    """The SQLite file of a store, None on PostgreSQL. StoreError when no file is named."""
    if url.get_backend_name() != "sqlite":
        return None
    if not url.database or url.database == ":memory:":
        raise StoreError("the data store needs a file; memory alone would lose everything")
    return Path(url.database)


def make_engine(url: URL, *, foreign_keys: bool = True) -> Engine:
    """An engine on which whoever wants a transaction begins it (trainer.records.store); else each statement stands alone.

    Not by SQLAlchemy's event for it: an engine with any event at all pays for it at every statement.

    foreign_keys: off only for an upgrade, where rebuilding a table drops it for a moment
    """
    if url.get_backend_name() != "sqlite":
        return create_engine(url, hide_parameters=True, pool_pre_ping=True)
    engine = create_engine(
        url,
        hide_parameters=True,
        pool_size=8,
        max_overflow=8,
        connect_args={"timeout": BUSY_TIMEOUT / 1000, "check_same_thread": False},
    )

    @event.listens_for(engine, "connect")
    def prepare(dbapi: Any, _record: Any) -> None:
        dbapi.isolation_level = None  # sqlite3 must not begin transactions itself
        dbapi.execute(f"PRAGMA busy_timeout = {BUSY_TIMEOUT}")
        dbapi.execute("PRAGMA synchronous = FULL")
        dbapi.execute(f"PRAGMA foreign_keys = {'ON' if foreign_keys else 'OFF'}")

    return engine
