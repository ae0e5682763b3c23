"""`trainer init`, `backup`, `restore` and `new-code`: set a shop up, copy its data, put a copy in place, let someone in."""

from __future__ import annotations

import os
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

import click

from trainer.cli.place import DATABASE, data_option, shop_store, store_file
from trainer.cli.progress import Parts
from trainer.errors import StoreError
from trainer.languages import LANGUAGES

PAGES: Final = 1000  # of the file, copied between two looks at how far it is


@click.command()
@data_option
@click.option("--shop", "shop_name", prompt="Name of the shop", help="The shop's name.")
@click.option("--owner", "owner_name", prompt="Name of the first owner", help="The first owner's name.")
@click.option("--sign-in", prompt="Sign-in name of the owner", help="What the owner types to sign in.")
@click.option(
    "--zone", default="America/New_York", show_default=True, prompt="Time zone", help="The shop's time zone."
)
@click.option(
    "--language", type=click.Choice(LANGUAGES), default="en", show_default=True, help="The shop's language."
)
def init(folder: Path, shop_name: str, owner_name: str, sign_in: str, zone: str, language: str) -> None:
    """Set up a shop in the data folder and print the first owner's one-time code.

    \b
    trainer init --data topping-out-shop
    """
    path = store_file(folder)
    database = os.environ.get(DATABASE)
    if database is None and path.exists():
        raise StoreError(f"there is a shop in {folder} already; serve it, or name another folder with --data")
    shop = {
        "name": shop_name,
        "zone": zone,
        "language": language,
        "owner_name": owner_name,
        "owner_sign_in": sign_in,
    }
    code = _set_up(database, shop) if database else _make_file(path, shop)
    click.echo(f"{shop_name} is set up in {'the database' if database else folder}.")
    click.echo(
        f"{owner_name} signs in the first time as {sign_in} with the one-time code {code} (good for 7 days)."
    )
    click.echo(f"Now run:  trainer serve{'' if database else f' --data {folder}'}")


def _set_up(data: str | Path, shop: dict[str, str]) -> str:
    """Make the schema and the shop there; returns the owner's one-time code. Refusal when there is a shop."""
    from trainer.records.people import set_up_shop
    from trainer.records.schema import upgrade
    from trainer.records.store import open_store

    upgrade(data)
    store = open_store(data)
    try:
        with store.write() as session:
            return set_up_shop(session, datetime.now(UTC), **shop).code
    finally:
        store.close()


def _make_file(path: Path, shop: dict[str, str]) -> str:
    """Make the shop whole in a folder of its own, then put it in place; returns the owner's one-time code.

    Raises StoreError when the folder cannot be made, or when another shop was put in place meanwhile.
    """
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        making = tempfile.TemporaryDirectory(dir=path.parent, prefix=".making-")
    except OSError as error:
        raise StoreError(f"the folder {path.parent} cannot be written: {error.strerror}") from error
    with making as folder:
        made = Path(folder) / path.name
        code = _set_up(made, shop)
        put_in_place(made, path)
    return code


def put_in_place(made: Path, path: Path) -> None:
    """Move a closed store to `path`. Raises StoreError when there is one already."""
    if made.with_name(made.name + "-wal").exists():
        raise StoreError(f"{made} is still in use; nothing was put in place")
    try:
        os.link(made, path)  # unlike a rename, a link never replaces a shop that came there meanwhile
    except FileExistsError:
        raise StoreError(f"there is a shop in {path.parent} already; nothing was changed") from None


@click.command()
@data_option
@click.argument("target", type=click.Path(path_type=Path, dir_okay=False))
def backup(folder: Path, target: Path) -> None:
    """Copy the shop's data into the file TARGET; the shop may be in use meanwhile.

    \b
    trainer backup shop-copy.sqlite3
    """
    source = shop_store(folder)
    if target.exists():
        raise StoreError(f"{target} exists already; name a new file")
    if isinstance(source, Path):
        copy_store(source, target)
    else:
        move_data(source, target)
    click.echo(f"The shop's data is copied to {target}. Keep the copy away from this machine.")


@click.command()
@data_option
@click.argument("copy", type=click.Path(path_type=Path, dir_okay=False, exists=True))
def restore(folder: Path, copy: Path) -> None:
    """Put the copy COPY in place as the shop's data; the folder must hold no shop.

    Stop the server and move the present data folder away first: nothing is ever overwritten.

    \b
    trainer restore shop-copy.sqlite3
    """
    if database := os.environ.get(DATABASE):
        move_data(copy, database)
        click.echo("The copy stands in the database. Start it with: trainer serve")
        return
    path = store_file(folder)
    left = sorted(found.name for found in folder.glob(f"{path.name}*")) if folder.is_dir() else []
    if left:
        raise StoreError(
            f"{folder} still holds {', '.join(left)}; stop the server, move that folder away, and try again"
        )
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {folder} cannot be written: {error.strerror}") from error
    copy_store(copy, path)
    click.echo(f"The copy stands in {folder}. Start it with: trainer serve --data {folder}")


def copy_store(source: Path, target: Path) -> None:
    """Copy a store, in use or not, into the new file `target`, and check the copy.

    Raises StoreError, leaving no file behind, when either cannot be used or the copy is not sound.
    """
    import sqlite3
    from contextlib import closing

    try:
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from error
    try:
        with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copied:
            told = Parts()
            live.execute("BEGIN")
            live.execute("SELECT count(*) FROM shop")  # from here on the source stands still for this copy
            live.backup(
                copied, pages=PAGES, progress=lambda _state, left, whole: told("pages", whole - left, whole)
            )
            (sound,) = copied.execute("PRAGMA integrity_check").fetchone()
            shops = copied.execute("SELECT count(*) FROM shop").fetchone()[0]
    except (sqlite3.Error, OSError) as error:
        target.unlink()
        raise StoreError(f"{source} could not be copied to {target}: {error}; nothing was kept") from error
    if sound != "ok" or not shops:
        target.unlink()
        raise StoreError(f"{source} is not a sound copy of a shop ({sound}); nothing was kept")


@click.command("move-store")
@data_option
@click.argument("target")
def move_store(folder: Path, target: str) -> None:
    """Copy all data into TARGET: a postgresql:// address, or a new file. Stop the server first.

    The present data is left as it is. Afterwards set TRAINER_DATABASE to the address, or, for a file, put it in place
    with `trainer restore`.

    \b
    trainer move-store postgresql://trainer@localhost/trainer
    TRAINER_DATABASE=postgresql://trainer@localhost/trainer trainer move-store shop-copy.sqlite3
    """
    if "://" not in target and Path(target).exists():
        raise StoreError(f"{target} exists already; name a new file")
    rows, head = move_data(shop_store(folder), target)
    click.echo(f"{rows} rows in {target}, the same as before; the history ends with {head[:12]}.")


def move_data(source: str | Path, target: str | Path) -> tuple[int, str]:
    """Copy everything, saying how far it is; (rows, hash of the newest event). StoreError leaves no new file behind."""
    from trainer.records.engine import sqlite_path, store_url
    from trainer.records.moving import move

    new = sqlite_path(store_url(target))
    try:
        moved = move(source, target, Parts())
    except StoreError:
        if new is not None:
            new.unlink(missing_ok=True)
        raise
    finally:
        if new is not None:
            for suffix in ("-wal", "-shm", ".lock"):
                new.with_name(new.name + suffix).unlink(missing_ok=True)
    return sum(moved.rows.values()), moved.head


@click.command("new-code")
@data_option
@click.argument("sign_in")
def new_code(folder: Path, sign_in: str) -> None:
    """Print a new one-time code for the person who signs in as SIGN_IN.

    For an owner who has forgotten the password or lost the phone; whoever can read the data folder can do this. The
    old password and the second step end, and the history says that it was done.

    \b
    trainer new-code nora
    """
    from trainer.records.people import new_code_at_the_machine
    from trainer.records.store import open_store

    store = open_store(shop_store(folder))
    with store.write() as session:
        code = new_code_at_the_machine(session, datetime.now(UTC), sign_in)
    store.close()
    click.echo(
        f"{sign_in} signs in with the one-time code {code} (good for 7 days) and chooses a new password."
    )
