"""Where tests make their stores: SQLite files, or databases of one PostgreSQL server."""

from __future__ import annotations

import itertools
import shutil
from pathlib import Path

from sqlalchemy import create_engine, make_url, text


class Files:
    """SQLite files; a name without a folder lies in `folder`."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def new(self, name: str) -> str:
        return str(self._folder / f"{name}.sqlite3")

    def copy(self, template: str, name: str) -> str:
        """Copy a closed store; the log lies beside an SQLite file until it is folded in."""
        path = Path(name if "/" in name else self.new(name))
        for suffix in ("", "-wal"):
            source = Path(template + suffix)
            if source.exists():
                shutil.copyfile(source, path.with_name(path.name + suffix))
        return str(path)

    def drop(self, at: str) -> None:
        """Files go with the test's own folder."""


class Databases:
    """Databases whose names begin with `prefix` on the server at `address`."""

    def __init__(self, address: str, prefix: str) -> None:
        self._address = make_url(address).set(drivername="postgresql+psycopg")
        self._prefix = prefix
        self._numbers = itertools.count()
        self._server = create_engine(self._address.set(database="postgres"), isolation_level="AUTOCOMMIT")
        self._made: set[str] = set()

    def new(self, name: str) -> str:
        return self._make(f'CREATE DATABASE "%s" TEMPLATE template0 /* {name} */')

    def copy(self, template: str, name: str = "") -> str:
        return self._make(f'CREATE DATABASE "%s" TEMPLATE "{make_url(template).database}"')

    def _make(self, statement: str) -> str:
        name = f"{self._prefix}{next(self._numbers)}"
        with self._server.connect() as connection:
            connection.execute(text(f'DROP DATABASE IF EXISTS "{name}"'))
            connection.execute(text(statement % name))
        self._made.add(name)
        return self._address.set(database=name).render_as_string(hide_password=False)

    def drop(self, at: str) -> None:
        name = make_url(at).database
        assert name in self._made
        with self._server.connect() as connection:
            connection.execute(text(f'DROP DATABASE "{name}"'))
        self._made.remove(name)

    def close(self) -> None:
        for name in list(self._made):
            self.drop(str(self._address.set(database=name)))
        self._server.dispose()
