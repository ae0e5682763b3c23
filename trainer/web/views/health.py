"""For what watches over the server: whether the shop can be served now. No sign-in, no name, no detail."""

from __future__ import annotations

from flask import Blueprint
from sqlalchemy.exc import DBAPIError

from trainer.errors import StoreError
from trainer.records.shop import shop
from trainer.web.access import Access, access
from trainer.web.current import store

bp = Blueprint("health", __name__, url_prefix="/health")

Answer = tuple[str, int, dict[str, str]]
PLAIN = {"Content-Type": "text/plain; charset=utf-8", "Cache-Control": "no-store"}


@bp.route("")
@access(Access.PUBLIC)
def page() -> Answer:
    """200 "ok" when the records can be read, else 503.

    Writing is not tried: a store that takes none for a while still shows everyone what they may do. `trainer doctor` tries it.
    """
    try:
        with store.read() as session:
            ready = shop(session) is not None
    except (StoreError, DBAPIError):
        ready = False
    return ("ok\n", 200, PLAIN) if ready else ("not ready\n", 503, PLAIN)
