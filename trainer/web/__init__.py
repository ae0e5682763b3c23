"""The web application: one screen that puts the parts together."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any, Final

from flask import Flask
from jinja2 import StrictUndefined

from trainer.errors import StoreError
from trainer.paths import content_dir
from trainer.records import rules
from trainer.records.shop import shop
from trainer.records.store import Store
from trainer.web import assets, compression, current, errors, i18n, logs, navigation, offline, security, words
from trainer.web.access import guard
from trainer.web.content import CONTENT, Content, supply
from trainer.web.pages import ShortInteger

PRODUCT: Final = "Topping Out"

VIEWS: Final = (
    "account", "people", "crews", "shop", "standard",
    "takeoff", "today", "lessons", "versions", "figures", "glossary", "search", "calculations", "practice", "papers",
    "record", "questions", "assign", "question_figures", "review", "regrades", "talks", "worksheets", "signoffs", "skills", "certificates", "board",
    "job_check", "rules", "sheets", "links", "history", "exports", "health",
)  # fmt: skip


def create_app(
    store: Store, *, settings: Mapping[str, Any] | None = None, content: Content | None = None
) -> Flask:
    """The application on an opened store.

    settings: Flask's own, and HOSTS (host names answered to), PROXIES (how many proxies stand in front),
        CLOCK (a function that gives the aware UTC time), LOG (where to, trainer.web.logs)
    content: what was read from the content folders already; they are read when it is None
    Raises StoreError when no shop is set up in the store, RouteWithoutAccessRule when a route lacks its rule.
    """
    with store.read() as session:
        info = shop(session)
    if info is None:
        raise StoreError("no shop is set up in this store: run `trainer init` first")
    app = Flask(
        "trainer", static_folder=str(content_dir("static")), template_folder=str(content_dir("templates"))
    )
    app.config.from_mapping(security.DEFAULTS, SECRET_KEY=info.secret, CLOCK=current.utc_now)
    app.config.from_mapping(settings or {})
    app.extensions[current.STORE] = store
    app.url_map.converters["int"] = ShortInteger
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.globals.update(PRODUCT=PRODUCT, nav=navigation.nav, here=navigation.here)
    compression.compress(app)  # first, so that it sees what the others have finished
    supply(app, content)
    _begin_rules(app, store)
    i18n.speak(app)
    words.teach(app)
    assets.keep(app)
    offline.keep(app)
    security.secure(app)
    logs.keep(app)
    errors.explain(app)
    for name in (*VIEWS, "offline"):
        app.register_blueprint(importlib.import_module(f"trainer.web.views.{name}").bp)
    guard(app)
    return app


def _begin_rules(app: Flask, store: Store) -> None:
    """A store from before the rules were kept in it begins with those that the program holds."""
    with store.read() as reading:
        begun = rules.begun(reading)
    held = app.extensions[CONTENT]
    # Of files with mistakes a part is left out; what is left must not become the shop's rules for ever.
    if not begun and not held.problems:
        with store.write() as writing:
            rules.begin(writing, app.config["CLOCK"](), held.rules)
