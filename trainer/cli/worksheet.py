"""`trainer worksheet`: a quiz on paper, a sheet for each person with their own numbers, and the key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trainer.cli.place import data_option, shop_store
from trainer.cli.progress import passing
from trainer.errors import StoreError

if TYPE_CHECKING:
    from trainer.records.queries import PaperSheet


@click.command()
@data_option
@click.argument("quiz", type=int)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("worksheets.pdf"),
    show_default=True,
)
@click.option(
    "--key",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Where the key goes; beside the sheets when not given.",
)
@click.option("--paper", type=click.Choice(["letter", "A4"]), default="letter", show_default=True)
@click.option(
    "--site",
    default="http://127.0.0.1:8000",
    show_default=True,
    help="Where the shop is served; the square codes lead there.",
)
def worksheet(folder: Path, quiz: int, out: Path, key: Path | None, paper: str, site: str) -> None:
    """Print the papers of quiz number QUIZ that are still out: one PDF of sheets, another of worked answers.

    \b
    trainer worksheet 12 --out ladders.pdf --paper A4
    """
    from sqlalchemy import select

    from trainer import printing
    from trainer.records import queries
    from trainer.records.actors import as_actor, person_of
    from trainer.records.models import Person, PersonRole
    from trainer.records.store import open_store
    from trainer.web import create_app
    from trainer.web.worksheets import document

    store = open_store(shop_store(folder))
    try:
        app = create_app(store)
        with store.read() as session:
            owner = session.scalars(
                select(Person.id).join(PersonRole, PersonRole.person_id == Person.id)
                .where(PersonRole.role == "owner", Person.left_at.is_(None)).order_by(Person.id)
            ).first()  # fmt: skip
            if owner is None:
                raise StoreError("this shop has no owner who could print")
            found = queries.paper_sheets(session, as_actor(person_of(session, owner)), quiz)
        targets = ((out, False), (key or out.with_name(f"{out.stem}-key{out.suffix}"), True))
        with app.test_request_context("/"):
            app.preprocess_request()
            for target, is_key in targets:
                html = document(
                    found,
                    lambda code: f"{site.rstrip('/')}/worksheets/{code}",
                    key=is_key,
                    passing=_shown(is_key),
                )
                _write(target, printing.pdf(html, paper))
                click.echo(f"{target}: {len(found)} {'keys' if is_key else 'sheets'}")
    finally:
        store.close()


def _shown(is_key: bool) -> Any:
    def walk(sheets: Sequence[PaperSheet]) -> Iterator[PaperSheet]:
        return passing(sheets, "keys" if is_key else "sheets")

    return walk


def _write(target: Path, data: bytes) -> None:
    try:
        target.write_bytes(data)
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from error
