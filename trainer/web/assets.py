"""Addresses of static files that change with their content, so that a browser may keep them for ever."""

from __future__ import annotations

from functools import cache
from hashlib import sha256

from flask import Flask, request, url_for
from werkzeug.wrappers import Response

from trainer.paths import content_dir


@cache
def mark(name: str) -> str:
    """The first letters of the file's hash."""
    return sha256((content_dir("static") / name).read_bytes()).hexdigest()[:10]


def asset(name: str) -> str:
    """The address of static/`name`."""
    return url_for("static", filename=name, v=mark(name))


def keep(app: Flask) -> None:
    """Offer asset() to templates and let browsers keep what was asked for by its mark."""
    app.jinja_env.globals["asset"] = asset
    app.after_request(_allow_keeping)


def _allow_keeping(response: Response) -> Response:
    if request.endpoint == "static" and "v" in request.args and response.status_code == 200:
        response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
    return response
