"""Headers, cookies, the host check, form tokens, and who is signed in.

    secure(app)         installs all of it; called before any route is registered
    start_session       a fresh session for a person who has just proved who they are
    wait_for_second_step, waiting   between the right password and the right code
    end_session         sign this browser out; the chosen language stays

The cookie holds the form tokens, messages, the language and the key of a session in the store; the store says
whose it is and whether it still holds (trainer.records.sessions).
"""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta
from typing import Final

from flask import Flask, abort, current_app, g, request, session
from flask_wtf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix
from werkzeug.sansio.utils import host_is_trusted
from werkzeug.wrappers import Response

from trainer.errors import StoreError
from trainer.records import sessions, shop
from trainer.records.people import Actor
from trainer.web.current import now, store
from trainer.web.i18n import wished_language
from trainer.web.logs import QUIET, number
from trainer.web.uploads import allow_files

SEEN_EVERY: Final = timedelta(minutes=5)  # how stale "last seen" may be before it is written again
SECOND_STEP_WAITS: Final = timedelta(minutes=10)

# Nothing from another site, nothing written into a page; drawings are inline SVG without style attributes.
CONTENT_POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
HEADERS: Final = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
NOBODYS: Final = (
    "static",
    "health.page",
    "offline.worker",
    "offline.no_signal",
)  # endpoints that work without the store
KNOWN_HOSTS: Final = ("127.0.0.1", "localhost", "[::1]")
DEFAULTS: Final[dict[str, object]] = {
    "SESSION_COOKIE_NAME": "trainer",
    "SESSION_COOKIE_HTTPONLY": True,
    "SESSION_COOKIE_SAMESITE": "Lax",
    "SESSION_COOKIE_SECURE": False,  # `trainer serve --https` sets it
    "SESSION_REFRESH_EACH_REQUEST": False,
    "PERMANENT_SESSION_LIFETIME": sessions.LONGEST,
    "MAX_CONTENT_LENGTH": 1024 * 1024,
    "WTF_CSRF_TIME_LIMIT": None,  # a token lasts as long as its session: a quiz may stay open for hours
    "HOSTS": KNOWN_HOSTS,
    "PROXIES": 0,
    "LOG": QUIET,
}


def secure(app: Flask) -> None:
    """Install the host check, the session, the form tokens and the headers, in that order."""
    proxies = int(app.config["PROXIES"])
    if proxies:
        app.wsgi_app = ProxyFix(  # type: ignore[method-assign]
            app.wsgi_app, x_for=proxies, x_proto=proxies, x_host=proxies
        )
    app.before_request(_number_request)
    app.before_request(_check_host)
    app.before_request(_load_person)
    app.before_request(allow_files)
    CSRFProtect(app)
    app.after_request(_add_headers)


def start_session(actor: Actor) -> None:
    """A new session for the person: nothing of the old one is kept."""
    with store.write() as writing:
        if (old := session.get("key")) is not None:
            sessions.end(writing, old)
        key = sessions.start(writing, actor, now())
    session.clear()
    session.permanent = True
    session["key"] = key


def wait_for_second_step(actor: Actor) -> None:
    """The password was right; nobody is signed in before the second step."""
    end_session()
    session["half"] = [actor.id, actor.stamp, int(now().timestamp())]


def waiting() -> tuple[int, str] | None:
    """(id, stamp) of the person whose second step is awaited in this browser; None when it has taken too long."""
    person_id, stamp, since = session.get("half", (0, "", 0))
    fresh = now().timestamp() - since < SECOND_STEP_WAITS.total_seconds()
    return (person_id, stamp) if person_id and fresh else None


def end_session() -> None:
    """Sign this browser out; a copy of its cookie is worth nothing afterwards."""
    if (key := session.get("key")) is not None:
        with store.write() as writing:
            sessions.end(writing, key)
    _forget()


def _forget() -> None:
    language = session.get("language")
    session.clear()
    if language:
        session["language"] = language


def _number_request() -> None:
    g.request_id = number()
    g.person = g.shop = None
    g.language = "en"


def _check_host() -> None:
    if not host_is_trusted(request.host, current_app.config["HOSTS"]):
        abort(400)


def _load_person() -> None:
    g.language = wished_language()
    if request.endpoint in NOBODYS:
        return
    key: str | None = session.get("key")  # the cookie is signed: what stands in it, this program wrote
    with store.read() as reading:
        g.shop = shop.shop(reading)
        signed = None if key is None else sessions.current(reading, now(), key)
    if key is None:
        return
    if signed is None:
        _forget()
        return
    g.person = signed.actor
    g.language = g.person.language
    if now() - signed.seen_at > SEEN_EVERY:
        # A store that takes no writing now must not keep anyone from reading.
        with suppress(StoreError), store.write() as writing:
            sessions.note_seen(writing, now(), key)


def _add_headers(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.endpoint != "static":
        response.headers.setdefault("Cache-Control", "private, no-cache")
    return response
