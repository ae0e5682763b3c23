"""Headers, cookies, the host check, form tokens, and who is signed in.

    secure(app)         installs all of it; called before any route is registered
    start_session       a fresh session for a person who has just proved who they are
    end_session         forget the person; the chosen language stays

The cookie holds the person's id, their session stamp and the time they were last seen; the stamp changes when
a password or a code does, which ends every older session.
"""

from __future__ import annotations

from datetime import timedelta
from secrets import token_hex
from typing import Final

from flask import Flask, abort, current_app, g, request, session
from flask_wtf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix
from werkzeug.sansio.utils import host_is_trusted
from werkzeug.wrappers import Response

from trainer.records import shop, signin
from trainer.records.people import Actor
from trainer.web.current import now, store
from trainer.web.i18n import wished_language

IDLE_LIMIT: Final = timedelta(hours=12)
SEEN_EVERY: Final = timedelta(minutes=5)  # how stale "last seen" may be before the cookie is sent again

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
KNOWN_HOSTS: Final = ("127.0.0.1", "localhost", "[::1]")
DEFAULTS: Final[dict[str, object]] = {
    "SESSION_COOKIE_NAME": "trainer",
    "SESSION_COOKIE_HTTPONLY": True,
    "SESSION_COOKIE_SAMESITE": "Lax",
    "SESSION_COOKIE_SECURE": False,  # `trainer serve --https` sets it
    "SESSION_REFRESH_EACH_REQUEST": False,
    "PERMANENT_SESSION_LIFETIME": IDLE_LIMIT,
    "MAX_CONTENT_LENGTH": 1024 * 1024,
    "WTF_CSRF_TIME_LIMIT": None,  # a token lasts as long as its session: a quiz may stay open for hours
    "HOSTS": KNOWN_HOSTS,
    "PROXIES": 0,
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
    CSRFProtect(app)
    app.after_request(_add_headers)


def start_session(actor: Actor) -> None:
    """A new session for the person: nothing of the old one is kept."""
    session.clear()
    session.permanent = True
    session.update(person=actor.id, stamp=actor.stamp, seen=int(now().timestamp()))


def end_session() -> None:
    """Forget the person on this browser."""
    language = session.get("language")
    session.clear()
    if language:
        session["language"] = language


def _number_request() -> None:
    g.request_id = token_hex(4)
    g.person = g.shop = None
    g.language = "en"


def _check_host() -> None:
    if not host_is_trusted(request.host, current_app.config["HOSTS"]):
        abort(400)


def _load_person() -> None:
    g.language = wished_language()
    if request.endpoint == "static":
        return
    person_id, stamp, seen = session.get("person"), session.get("stamp"), session.get("seen")
    with store.read() as reading:
        g.shop = shop.shop(reading)
        if isinstance(person_id, int) and isinstance(stamp, str) and _still_seen(seen):
            g.person = signin.current(reading, person_id, stamp)
    if g.person is None:
        if person_id is not None:
            end_session()
        return
    g.language = g.person.language
    if now().timestamp() - float(session["seen"]) > SEEN_EVERY.total_seconds():
        session["seen"] = int(now().timestamp())


def _still_seen(seen: object) -> bool:
    return isinstance(seen, int) and now().timestamp() - seen < IDLE_LIMIT.total_seconds()


def _add_headers(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.endpoint != "static":
        response.headers.setdefault("Cache-Control", "private, no-cache")
    return response
