"""`trainer demo`: an invented shop, made once and served."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from pathlib import Path

import click

from trainer.cli.place import DEMO_FOLDER, store_file
from trainer.cli.serve import port_of, run, take_port
from trainer.cli.shop import put_in_place
from trainer.errors import StoreError


@click.command()
@click.option(
    "--data",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=DEMO_FOLDER,
    show_default=True,
    help="The folder that holds the demo's data.",
)
@click.option("--port", type=click.IntRange(1, 65535), help="Port to listen on.")
def demo(folder: Path, port: int | None) -> None:
    """Make an invented shop with people and six weeks of history, and serve it on this machine only.

    \b
    trainer demo
    """
    from trainer.cli.demo_shop import PASSWORD, PEOPLE, SHOP_NAME
    from trainer.records.schema import upgrade

    path = store_file(folder)
    if path.exists():
        click.echo(f"Going on with the demo in {folder} (delete the folder to begin afresh).")
        upgrade(path)
    else:
        click.echo(f"Making an invented shop, {SHOP_NAME}, in the folder {folder} …")
        make(folder)
    taken = take_port("127.0.0.1", port)
    click.echo(
        f"\nOpen  http://127.0.0.1:{port_of(taken)}/  and sign in as one of these. Password for all:  {PASSWORD}\n"
    )
    for sign_in, (name, _, _, about) in PEOPLE.items():
        click.echo(f"  {sign_in:<6} {name}, {about}")
    click.echo("\nEverything here is invented. Ctrl-C stops it.")
    with taken:
        run(path, "127.0.0.1", taken, {}, workers=1, threads=4)


def make(folder: Path) -> None:
    """Make the demo's data in `folder`; whole or not at all."""
    from trainer.cli.demo_shop import build
    from trainer.web.content import load_content

    content = load_content()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"the folder {folder} cannot be made: {error.strerror}") from error
    # Made in a folder of its own and put in place whole: the presence of the file says that the demo is complete.
    with tempfile.TemporaryDirectory(dir=folder, prefix=".making-") as making:
        made = store_file(Path(making))
        build(
            made, datetime.now(UTC), content.bank, content.library, content.rules, content.learning.deciding
        )
        put_in_place(made, store_file(folder))
