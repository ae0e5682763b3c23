"""Where a shop's data lies: one file in a folder, or a PostgreSQL database."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

import click

from trainer.errors import StoreError

SHOP_FOLDER: Final = "topping-out-shop"
DEMO_FOLDER: Final = "topping-out-demo"
STORE_FILE: Final = "shop.sqlite3"
DATABASE: Final = "TRAINER_DATABASE"  # address of a PostgreSQL database; the folder then holds no data

data_option = click.option(
    "--data",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=SHOP_FOLDER,
    envvar="TRAINER_DATA",
    show_default=True,
    help="The folder that holds the shop's data (not used with TRAINER_DATABASE).",
)


def store_file(folder: Path) -> Path:
    """The file of the shop in `folder`."""
    return folder / STORE_FILE


def shop_store(folder: Path) -> str | Path:
    """The shop's data: the database of TRAINER_DATABASE, else the file in `folder`. StoreError when there is no file."""
    if address := os.environ.get(DATABASE):
        return address
    path = store_file(folder)
    if not path.is_file():
        raise StoreError(
            f"there is no shop in {folder}; set one up with `trainer init`, or name its folder with --data"
        )
    return path
