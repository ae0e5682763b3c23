"""Our own page for everything that can go wrong, each with a way back.

    400 a refused or expired form · 403 · 404 · 405 · 413 · 429 · 500 · 503 the store is busy or full

An expired form keeps what was typed: the page repeats the fields and sends them again on request, except for
passwords and codes, and only for a form that came from this site.
"""

from __future__ import annotations

from typing import Final
from urllib.parse import urlsplit

from flask import Flask, current_app, g, render_template, request
from flask_wtf.csrf import CSRFError, generate_csrf
from sqlalchemy.exc import DBAPIError
from werkzeug.exceptions import HTTPException

from trainer.errors import NotAllowed, Refusal, StoreError, UnknownName
from trainer.records.signin import TooManyTries
from trainer.web.i18n import _l, said

Answer = tuple[str, int]

PAGES: Final = {
    400: (
        _l("This cannot be read"),
        _l("The page was asked for in a way that this site does not understand."),
    ),
    403: (
        _l("This page is not for you"),
        _l("Your role does not include it, or it belongs to someone else."),
    ),
    404: (_l("There is no such page"), _l("The address may be mistyped, or what it showed is gone.")),
    405: (
        _l("Not like that"),
        _l("This address is used by a button on another page. Go back and press it there."),
    ),
    413: (
        _l("That is too much at once"),
        _l("What you sent is larger than this page takes. Nothing was saved."),
    ),
    429: (_l("Too many tries"), _l("Wait a few minutes, then try again.")),
    500: (
        _l("Something broke on our side"),
        _l("Nothing you had saved before is lost. Try again in a moment."),
    ),
    503: (
        _l("The records cannot be written now"),
        _l("What was confirmed before is safe; this was not saved. Try again in a moment."),
    ),
}


def is_secret(name: str) -> bool:
    """Whether a field of that name is never shown or sent again: passwords and codes."""
    return "password" in name or "code" in name or "secret" in name


def explain(app: Flask) -> None:
    """Install the pages."""
    app.register_error_handler(CSRFError, _expired)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(TooManyTries, lambda refusal: _refused(refusal, 429))
    app.register_error_handler(NotAllowed, lambda refusal: _refused(refusal, 403))
    app.register_error_handler(UnknownName, lambda refusal: _refused(refusal, 404))
    app.register_error_handler(Refusal, lambda refusal: _refused(refusal, 400))
    app.register_error_handler(StoreError, _store)
    app.register_error_handler(DBAPIError, _store)
    app.register_error_handler(500, _broken)


def _page(status: int, sentence: str | None = None) -> Answer:
    known = status if status in PAGES else (500 if status >= 500 else 400)
    title, usual = PAGES[known]
    bare = status >= 500 or g.get("shop") is None
    return render_template(
        "errors/page.html", title=title, sentence=sentence or usual, bare=bare, number=g.get("request_id", "")
    ), status


def _http(error: HTTPException) -> Answer | HTTPException:
    if error.code is None or error.code < 400:
        return error  # a redirect, or a finished response
    return _page(error.code)


def _refused(refusal: Refusal, status: int) -> Answer:
    return _page(status, said(refusal))


def _store(error: Exception) -> Answer:
    current_app.logger.error("store fault", exc_info=error)
    return _page(503)


def _broken(error: Exception) -> Answer:
    return _page(500)  # Flask has logged it already


def _expired(error: CSRFError) -> Answer:
    typed = [(name, value) for name, value in request.form.items(multi=True) if name != "csrf_token"]
    secret = any(is_secret(name) for name, _value in typed)
    ours = _from_this_site()
    return render_template(
        "errors/expired.html",
        typed=typed if ours and not secret else [],
        shown=[value for name, value in typed if value and name != "form_token"]
        if ours and not secret
        else [],
        again=ours and bool(typed) and not secret and g.person is not None,
        files=any(one.filename for one in request.files.values()),
        way_back=_origin_page() if ours else "",
        token=generate_csrf(),
    ), 400


def _from_this_site() -> bool:
    """Whether the browser says that the form stood on a page of this site."""
    return urlsplit(request.headers.get("Origin") or request.referrer or "").netloc == request.host


def _origin_page() -> str:
    parts = urlsplit(request.referrer or "")
    return parts.path if parts.netloc == request.host else ""
