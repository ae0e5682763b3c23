"""What a browser may keep for when there is no signal, and whose it is.

    edition()       the mark of everything a page is made from besides the records: files, shop standard, language
    reader()        the mark of the signed-in person, which tells nobody who it is
    offer(also)     a view says that its page may be kept, and which others go with it
    keep(app)       adds the headers that static/worker.js goes by

X-Reader: whose page it is and of which edition, "-" where nobody is signed in. The worker throws away every kept page
of another reader or edition as soon as it sees one, so a shared phone shows nobody the pages of someone else.
X-Keep: this page may be kept ("page"), or only the newest of its kind ("last").
A page fetched in order to be kept (request header X-Keep) leaves messages to the page that is looked at.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Final

from flask import Flask, current_app, g, get_flashed_messages, request
from werkzeug.wrappers import Response

import trainer
from trainer.paths import content_dir

NOBODY: Final = "-"
# Not the board, today's page or the job check: an old "cleared" must not be read on a roof.
KEPT: Final = {
    "lessons.index": "page",
    "lessons.read": "page",
    "figures.page": "page",
    "glossary.page": "page",
    "calculations.index": "page",
    "calculations.page": "page",
    "takeoff.page": "page",
    "takeoff.sheet": "last",
    "takeoff.job": "last",
    "offline.page": "page",
}
FOLDERS: Final = ("static", "templates", "lessons", "question_bank")
PROGRAM: Final = (".py", ".mo", ".txt")


@cache
def files_mark() -> str:
    """The first letters of the hash of every file that pages are made from, the program's own among them."""
    whole = sha256()
    for root in (*map(content_dir, FOLDERS), Path(trainer.__file__).parent):
        for path in sorted(root.rglob("*")):
            if path.is_file() and (root.name in FOLDERS or path.suffix in PROGRAM):
                whole.update(f"{root.name}/{path.relative_to(root).as_posix()}\0".encode())
                whole.update(sha256(path.read_bytes()).digest())
    return whole.hexdigest()[:12]


def edition() -> str:
    """Files, the shop's figures and the language: a page of another edition is not shown any more."""
    return sha256(f"{files_mark()} {g.shop.standard_mark} {g.language}".encode()).hexdigest()[:12]


def reader() -> str:
    """The signed-in person's mark; NOBODY when nobody is."""
    if g.person is None:
        return NOBODY
    key = str(current_app.secret_key).encode()
    return hmac.new(key, f"reader {g.person.id}".encode(), sha256).hexdigest()[:16]


def offer(also: Iterable[str] = ()) -> None:
    """This page may be kept; `also` are the addresses of pages to keep with it."""
    g.keep, g.keep_also = "page", tuple(also)


def messages() -> list[str]:
    """The messages for the reader; a page that shows any is not kept, and one made to be kept shows none."""
    if "X-Keep" in request.headers:
        return []
    told = [str(one) for one in get_flashed_messages()]
    g.told = bool(told)
    return told


def keep(app: Flask) -> None:
    """Install the headers and messages()."""
    app.jinja_env.globals.update(messages=messages, reader=reader)
    app.after_request(_mark)


def _mark(response: Response) -> Response:
    # A browser shows the worker nothing of an answer that leads elsewhere.
    if response.mimetype != "text/html" or g.get("shop") is None or response.location:
        return response
    mark = reader()
    response.headers["X-Reader"] = mark if mark == NOBODY else f"{mark}.{edition()}"
    kind = g.get("keep") or KEPT.get(request.endpoint or "")
    alone = kind == "last" or request.endpoint == "figures.page" or not request.args
    shown = request.method == "GET" and response.status_code == 200
    if kind and mark != NOBODY and shown and alone and not g.get("told"):
        response.headers["X-Keep"] = kind
        if also := g.get("keep_also"):
            response.headers["X-Keep-Also"] = " ".join(also)
    return response
