"""`trainer doctor`: whether this installation is sound, and what to do where it is not."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import click

from trainer.cli.place import data_option


@click.command()
@data_option
def doctor(folder: Path) -> None:
    """Check the installation and say what to do about each thing that is wrong. Nothing is changed.

    The shop may be served meanwhile. Exit status 1: something is wrong.

    \b
    trainer doctor
    trainer doctor --data /srv/shop/topping-out-shop
    """
    from trainer.cli.checks import Place, examine

    found = list(examine(Place(folder, os.environ, datetime.now(UTC))))
    for one in found:
        click.echo(f"{one.state:<6} {one.about}: {one.sentence}")
        if one.do:
            click.echo(f"{'':<6} -> {one.do}")
    wrong = sum(one.state == "WRONG" for one in found)
    click.echo(
        f"\n{wrong} {'thing is' if wrong == 1 else 'things are'} wrong." if wrong else "\nAll is well."
    )
    if wrong:
        raise SystemExit(1)
