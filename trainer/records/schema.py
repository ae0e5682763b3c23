"""Making and upgrading the store by the migrations in this package.

One way to make a schema: a fresh store runs the same migrations as an old one. Before an old file is
changed a copy of it is made; that copy is the way back. Nothing half-done remains after a failure.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from importlib.resources import files
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection
from sqlalchemy.exc import DatabaseError

from trainer.errors import StoreError
from trainer.records.engine import make_engine, sqlite_path, store_url
from trainer.records.locking import WriteLock

UPGRADE_KEY = 8_140_933  # any number, the same in every process: PostgreSQL's advisory lock for upgrades
FILE_MODE = 0o600  # password hashes and the shop's secret lie in the file


@dataclass(frozen=True, slots=True)
class Upgraded:
    """What an upgrade did. before: None for a fresh store; copy: the file saved first, if one was."""

    before: str | None
    after: str
    copy: Path | None

    @property
    def changed(self) -> bool:
        return self.before != self.after


def lock_path(database: Path) -> Path:
    return database.with_name(database.name + ".lock")


def upgrade(url_or_path: str | Path) -> Upgraded:
    """Bring the store to this program's schema, making it when there is none.

    Safe to call from many processes at once. Raises StoreError when the store was made by a newer
    program, is not a store, or does not fit together afterwards; then nothing was changed.
    """
    url = store_url(url_or_path)
    path = sqlite_path(url)
    if path is not None:
        _make_private(path)
    with WriteLock(lock_path(path) if path else None).held(wait=60.0):
        engine = make_engine(url, foreign_keys=False)
        try:
            if path is not None:
                _set_journal(path)
            with engine.begin() as connection:
                return _upgrade(connection, path)
        except (DatabaseError, sqlite3.Error) as error:
            cause = error.orig if isinstance(error, DatabaseError) else error
            raise StoreError(
                f"the data store could not be upgraded and was left as it was: {cause}"
            ) from error
        finally:
            engine.dispose()


def _upgrade(connection: Connection, path: Path | None) -> Upgraded:
    alone = f"SELECT pg_advisory_xact_lock({UPGRADE_KEY})" if path is None else "BEGIN IMMEDIATE"
    connection.exec_driver_sql(alone)
    config = _config()
    before, head = state(connection)
    if before == head:
        return Upgraded(before, head, None)
    copy = _copy(path, before) if path is not None and before is not None else None
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
    if path is not None and (loose := connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()):
        raise StoreError(
            f"the upgrade left {len(loose)} rows pointing at nothing; the data store was left as it was"
        )
    return Upgraded(before, head, copy)


def state(connection: Connection) -> tuple[str | None, str]:
    """(revision of the store or None, revision of this program). StoreError when the store is newer."""
    head, known = _revisions()
    current = MigrationContext.configure(connection).get_current_revision()
    if current is not None and current not in known:
        raise StoreError(
            f"the data store was made by a newer version of this program (schema {current}; this version "
            f"knows up to {head}): install the newer version, or go back to the copy made before its upgrade"
        )
    return current, head


@cache
def _revisions() -> tuple[str, frozenset[str]]:
    """This program's newest revision, and every one it knows: read once, as reading them compiles every migration."""
    scripts = ScriptDirectory.from_config(_config())
    head = scripts.get_current_head()
    assert head is not None
    return head, frozenset(script.revision for script in scripts.walk_revisions())


def _config() -> Config:
    config = Config()
    folder = Path(str(files("trainer"))) / "records" / "migrations"
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    return config


def _make_private(path: Path) -> None:
    if not path.parent.is_dir():
        raise StoreError(f"the folder {path.parent} does not exist: make it first")
    try:
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, FILE_MODE))
    except OSError as error:
        raise StoreError(f"the data store {path} cannot be opened: {error.strerror}") from error


def _set_journal(path: Path) -> None:
    """Write-ahead log; it stays set in the file. Done under the lock: at once by several it fails."""
    with closing(sqlite3.connect(path, timeout=30)) as plain:
        plain.execute("PRAGMA journal_mode = WAL")


def _copy(path: Path, revision: str) -> Path:
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%f")
    copy = path.with_name(f"{path.stem}-before-{stamp}-{revision}{path.suffix}")
    _make_private(copy)
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
    return copy
