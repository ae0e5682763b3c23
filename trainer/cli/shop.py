"""`trainer init` and `trainer backup`: set a shop up, and copy its data."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import click

from trainer.cli.place import data_option, store_file
from trainer.errors import StoreError
from trainer.languages import LANGUAGES


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
    from trainer.records.people import set_up_shop
    from trainer.records.schema import upgrade
    from trainer.records.store import open_store

    path = store_file(folder)
    fresh = not path.exists()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {folder} cannot be made: {error.strerror}") from error
    try:
        upgrade(path)
        store = open_store(path)
        with store.write() as session:
            owner = set_up_shop(
                session,
                datetime.now(UTC),
                name=shop_name,
                zone=zone,
                language=language,
                owner_name=owner_name,
                owner_sign_in=sign_in,
            )
        store.close()
    except Exception:
        if fresh:  # a refused name leaves nothing behind
            for left in folder.glob(f"{path.name}*"):
                left.unlink()
        raise
    click.echo(f"{shop_name} is set up in {folder}.")
    click.echo(
        f"{owner_name} signs in the first time as {sign_in} with the one-time code {owner.code} (good for 7 days)."
    )
    click.echo(f"Now run:  trainer serve --data {folder}")


@click.command()
@data_option
@click.argument("target", type=click.Path(path_type=Path, dir_okay=False))
def backup(folder: Path, target: Path) -> None:
    """Copy the shop's data into the file TARGET; the shop may be in use meanwhile.

    \b
    trainer backup shop-copy.sqlite3
    """
    import sqlite3
    from contextlib import closing

    source = store_file(folder)
    if not source.is_file():
        raise StoreError(f"there is no shop in {folder}; name its folder with --data")
    if target.exists():
        raise StoreError(f"{target} exists already; name a new file")
    try:
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from error
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)
        (sound,) = copy.execute("PRAGMA integrity_check").fetchone()
    if sound != "ok":
        target.unlink()
        raise StoreError(f"the copy is not sound ({sound}); nothing was kept")
    click.echo(f"The shop's data is copied to {target}. Keep the copy away from this machine.")
