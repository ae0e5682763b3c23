"""For a phone without signal: the worker that keeps pages, what it is to keep, and the page that says what is kept."""

from __future__ import annotations

import json
from collections.abc import Iterator

from flask import Blueprint, Response, g, jsonify, render_template, request, url_for
from flask_wtf.csrf import generate_csrf

from trainer import calc
from trainer.paths import content_dir
from trainer.web import offline
from trainer.web.access import Access, access
from trainer.web.assets import asset
from trainer.web.content import content

bp = Blueprint("offline", __name__)


@bp.get("/worker.js")
@access(Access.PUBLIC)
def worker() -> Response:
    """The worker stands at the root, because a worker serves only what lies below it."""
    root = request.script_root
    told = {
        "files": offline.files_mark(),
        "root": root,
        "assets": [asset(one.name) for one in sorted(content_dir("static").iterdir()) if _on_pages(one.name)],
        "noSignal": url_for("offline.no_signal"),
        "page": url_for("offline.page"),
        "state": url_for("offline.state"),
    }
    parts = (
        f"const TOLD = {json.dumps(told)};",
        *((content_dir("static") / name).read_text("utf-8") for name in ("kept.js", "worker.js")),
    )
    return Response("\n".join(parts), mimetype="text/javascript", headers={"Cache-Control": "no-cache"})


@bp.get("/kept/state")
@access(Access.PUBLIC)
def state() -> Response:
    """Who reads here, a form token, and the addresses of the pages to keep; the page that tells of them comes last."""
    signed_in = g.person is not None
    return jsonify(
        reader=offline.reader(),
        token=generate_csrf() if signed_in else "",
        pages=list(_pages()) if signed_in else [],
    )


@bp.get("/kept")
@access(Access.SIGNED_IN)
def page() -> str:
    return render_template("offline/page.html")


@bp.get("/no-signal")
@access(Access.PUBLIC)
def no_signal() -> str:
    """Shown where nothing else is kept; in both languages, because nobody can be asked."""
    return render_template("offline/no_signal.html", bare=True)


def _on_pages(name: str) -> bool:
    """Whether pages ask for the file: not the worker, nor what only printing or installing uses."""
    return name.endswith((".css", ".js", ".svg")) and name not in ("worker.js", "paper.css")


def _pages() -> Iterator[str]:
    yield url_for("lessons.index")
    for lesson in content.library.ids:
        yield url_for("lessons.read", lesson=lesson)
    yield url_for("glossary.page")
    yield url_for("takeoff.page")
    yield url_for("calculations.index")
    for name in calc.names():
        yield url_for("calculations.page", name=name)
    yield url_for("offline.page")
