"""A day's digests: who gets one, each sent at most once, each failure tried again by the next run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage

from trainer.clearance import Rules
from trainer.notices.digest import message
from trainer.notices.mail import NotSent
from trainer.records import digests, queries
from trainer.records.queries import Digest
from trainer.records.shop import the_shop
from trainer.records.store import Store


@dataclass(frozen=True, slots=True)
class Ran:
    """What became of the digests that say something, by the names of their people; failed: (name, why)"""

    sent: tuple[str, ...]
    failed: tuple[tuple[str, str], ...]
    earlier: tuple[str, ...]
    no_address: tuple[str, ...]


def of_day(store: Store, now: datetime, rules: Rules) -> tuple[str, tuple[Digest, ...]]:
    """The shop's name, and the digests that say something."""
    with store.read() as session:
        shop = the_shop(session).name
        return shop, tuple(one for one in queries.digests(session, now, rules) if not one.says_nothing)


def run(
    store: Store,
    now: datetime,
    rules: Rules,
    *,
    sender: str,
    site: str,
    send: Callable[[EmailMessage], None],
) -> Ran:
    """Send what has not been sent today. send: hands one message to the server, or raises NotSent."""
    shop, all_of = of_day(store, now, rules)
    sent, failed, earlier = [], [], []
    gone: str | None = None
    for one in all_of:
        if one.email is None:
            continue
        if gone is not None:
            failed.append((one.name, gone))
            continue
        # Nothing is held in the store while the server is talked to.
        with store.write() as session:
            mine = digests.begin(session, now, one.person_id, one.on)
        if not mine:
            earlier.append(one.name)
            continue
        try:
            send(message(one, shop=shop, sender=sender, site=site, now=now))
        except NotSent as error:
            with store.write() as session:
                digests.take_back(session, one.person_id, one.on)
            failed.append((one.name, str(error)))
            gone = str(error) if error.gone else None
        else:
            with store.write() as session:
                digests.finish(session, now, one.person_id, one.on)
            sent.append(one.name)
    return Ran(
        tuple(sent), tuple(failed), tuple(earlier), tuple(one.name for one in all_of if one.email is None)
    )
