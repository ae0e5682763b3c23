"""`trainer digest`: the daily e-mail, to be started once a day by the machine's own clock."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.cli.place import data_option, store_file
from trainer.errors import StoreError

if TYPE_CHECKING:
    from trainer.notices.daily import Ran
    from trainer.records.queries import Digest


@click.command()
@data_option
@click.option("--print", "printed", is_flag=True, help="Print the messages; send nothing.")
def digest(folder: Path, printed: bool) -> None:
    """Send everyone who has an e-mail address what is coming up for them: once a day, however often it is started.

    Without a mail server (mail.toml in the data folder, or TRAINER_MAIL_HOST) the messages are printed and count as
    not sent. A message that the server refuses is tried again by the next start. Exit status 1: some were refused.

    \b
    trainer digest
    """
    from trainer.cli import weekly
    from trainer.notices import daily, mail
    from trainer.records.store import open_store
    from trainer.web.content import load_content

    path = store_file(folder)
    if not path.is_file():
        raise StoreError(f"there is no shop in {folder}; name its folder with --data")
    settings = mail.settings(folder, os.environ)
    now, content = datetime.now(UTC), load_content()
    rules, store = content.rules, open_store(path)
    try:
        if not printed:  # so that the quiz of today is in today's message
            weekly.make(store, now, lambda: content)
        if printed or settings.host is None:
            _print(daily.of_day(store, now, rules)[1], settings.site, now)
            if settings.host is None:
                click.echo("No mail server is set; nothing was sent.", err=True)
            return
        ran = daily.run(
            store,
            now,
            rules,
            sender=settings.sender,
            site=settings.site,
            send=partial(mail.send, settings),
        )
    finally:
        store.close()
    _report(ran)
    if ran.failed:
        raise SystemExit(1)


def _print(digests: tuple[Digest, ...], site: str, now: datetime) -> None:
    from trainer.notices.digest import text

    for one in digests:
        click.echo(
            f"To: {one.name} <{one.email or 'no address'}>\n\n{text(one, site=site, now=now)}\n{'-' * 72}"
        )
    if not digests:
        click.echo("There is nothing to tell anyone today.")


def _report(ran: Ran) -> None:
    for what, names in (
        ("sent", ran.sent),
        ("sent earlier today", ran.earlier),
        ("no e-mail address", ran.no_address),
    ):
        if names:
            click.echo(f"{what}: {', '.join(names)}")
    for name, why in ran.failed:
        click.echo(f"not sent to {name}, to be tried again: {why}", err=True)
    if not (ran.sent or ran.earlier or ran.no_address or ran.failed):
        click.echo("There is nothing to tell anyone today.")
