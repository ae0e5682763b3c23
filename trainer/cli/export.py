"""`trainer export`: the whole shop in one archive of open formats."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import click

from trainer.cli.place import data_option, shop_store
from trainer.errors import StoreError


@click.command()
@data_option
@click.argument("target", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
def export(folder: Path, target: Path) -> None:
    """Write everything the shop has on record into the ZIP file FILE; the shop may be in use meanwhile.

    Inside are tables (CSV), photographs and papers as they are, and a description. Passwords, codes and keys are left
    out. It cannot be put back as a shop: for that, make a copy with `trainer backup`.

    \b
    trainer export shop.zip
    """
    from trainer.records import exports
    from trainer.records.store import open_store

    source = shop_store(folder)
    if target.exists():
        raise StoreError(f"{target} exists already; name a new file")
    store, now = open_store(source), datetime.now(UTC)
    part = target.with_name(f".{target.name}.part-{os.getpid()}")
    try:
        with store.write() as writing:
            exports.note_taking(writing, None, now)
        with (
            store.read() as reading,
            os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out,
        ):
            for piece in exports.archive(reading, now):
                out.write(piece)
            out.flush()
            os.fsync(out.fileno())
        os.link(part, target)  # unlike a rename, a link never replaces a file that came there meanwhile
    except FileExistsError:
        raise StoreError(f"{target} exists already; name a new file") from None
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from error
    finally:
        part.unlink(missing_ok=True)
        store.close()
    click.echo(f"Everything is in {target}. It holds names and grades: keep it as you keep personnel files.")
