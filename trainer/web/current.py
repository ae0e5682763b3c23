"""What one request works with: the store, the signed-in person, the shop, the language and the time.

Nothing here outlives the request; the store itself belongs to the application.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import cast

from flask import current_app, g
from werkzeug.local import LocalProxy

from trainer.records.people import Actor
from trainer.records.shop import ShopInfo
from trainer.records.shop import today as shop_today
from trainer.records.store import Store

STORE = "trainer.store"


def the_store() -> Store:
    """The store itself, for an answer that is still being sent when its request is over."""
    return cast(Store, current_app.extensions[STORE])


store = cast(Store, LocalProxy(the_store))
"""The application's store: `with store.read() as session:` or `with store.write() as session:`."""


def person() -> Actor:
    """The signed-in person; behind the guard there always is one."""
    if g.person is None:
        raise RuntimeError("person() was asked for on a page that anyone may open; use g.person there")
    return cast(Actor, g.person)


def shop() -> ShopInfo:
    """The shop's name, time zone, language and standard."""
    return cast(ShopInfo, g.shop)


def language() -> str:
    """The reader's language, "en" or "es"."""
    return cast(str, g.language)


def now() -> datetime:
    """Server time, aware, UTC."""
    return cast(Callable[[], datetime], current_app.config["CLOCK"])()


def today() -> date:
    """The date on the shop's calendar."""
    return shop_today(shop(), now())


def utc_now() -> datetime:
    """The clock used when the settings name no other."""
    return datetime.now(UTC)
