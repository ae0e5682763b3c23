"""Records that many tests begin with: made once, then copied, as making them takes longer than any of the tests."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing

from trainer.records.store import Store


def made_once(kept: sqlite3.Connection, store: Store, make: Callable[[], object]) -> None:
    """Fill the store by `make`, or from what `make` put into it the first time.

    kept: a database in memory, empty the first time; a store on a server is filled each time
    """
    if store.engine.dialect.name != "sqlite":
        make()
        return
    with closing(store.engine.raw_connection()) as connection:
        opened = connection.driver_connection
        assert isinstance(opened, sqlite3.Connection)
        if kept.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,):
            make()
            opened.backup(kept)
        else:
            kept.backup(opened)
