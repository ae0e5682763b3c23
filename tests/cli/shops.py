"""A shop for the tests of commands."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from trainer.records.people import set_up_shop
from trainer.records.store import TEST_COST, open_store, upgrade


def new_shop(path: Path, now: datetime) -> Path:
    """A shop with its owner, set up at that time in a new store at `path`."""
    upgrade(path)
    store = open_store(path, password_cost=TEST_COST)
    with store.write() as session:
        set_up_shop(
            session,
            now,
            name="A Shop",
            zone="America/Denver",
            language="en",
            owner_name="An Owner",
            owner_sign_in="olive",
        )
    store.close()
    return path


def moved_in(store_path: Path, folder: Path) -> Path:
    """The closed store at `store_path` moved into a new folder, as the one that commands work on; its path there."""
    folder.mkdir()
    for more in ("", "-wal", "-shm"):
        if (left := store_path.with_name(store_path.name + more)).exists():
            left.rename(folder / f"shop.sqlite3{more}")
    return folder / "shop.sqlite3"
