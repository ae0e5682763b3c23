"""Where a shop's data lies: one folder, holding one file."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import click

SHOP_FOLDER: Final = "topping-out-shop"
DEMO_FOLDER: Final = "topping-out-demo"
STORE_FILE: Final = "shop.sqlite3"

data_option = click.option(
    "--data",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=SHOP_FOLDER,
    envvar="TRAINER_DATA",
    show_default=True,
    help="The folder that holds the shop's data.",
)


def store_file(folder: Path) -> Path:
    """The file of the shop in `folder`."""
    return folder / STORE_FILE
