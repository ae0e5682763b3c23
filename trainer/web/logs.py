"""The log: one JSON line a request and one a fault, which name nobody and repeat nothing that was sent.

    keep(app)   number every request and log it to the place that app.config["LOG"] names

LOG is STDERR ("-"), QUIET ("none": faults only, to stderr) or a file, which is made readable by this account only.

    {"time": …, "id": "9f2c41d0", "method": "GET", "route": "/people/<int:person_id>", "status": 200, "ms": 12.4}
    {"time": …, "id": "9f2c41d0", "level": "error", "faults": [{"kind": "KeyError", "at": ["trainer.web.pages:31 page"]}]}

The id is the number that the error page shows. The route is the pattern: an address may hold a person's number or the key
of a private link. A fault is told by the kinds of its errors and the places in the code, because an error's own
sentence may quote what someone typed; only a StoreError's is given, which speaks of the store. ms: until the answer
was made, without the time that it took to send.
"""

from __future__ import annotations

import json
import logging
import os
import time
import traceback
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from secrets import token_hex
from typing import Any, Final

from flask import Flask, has_request_context, request

from trainer.errors import StoreError

STDERR: Final = "-"
QUIET: Final = "none"
NUMBER: Final = "trainer.request"  # keys of the request's environment, which no header can set
ROUTE: Final = "trainer.route"
METHODS: Final = ("GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE")
MOST_PLACES: Final = 40  # of an error without end only the innermost places are told
MOST_CAUSES: Final = 5
BROKEN: Final = "Something broke on our side. / Algo falló de nuestro lado. ({})\n"

Environ = dict[str, Any]
Wsgi = Callable[[Environ, Callable[..., Any]], Iterable[bytes]]


def keep(app: Flask) -> None:
    """Log every request of the application and every fault that is reported to its logger."""
    place = str(app.config["LOG"])
    lines = Lines(STDERR if place == QUIET else place)
    logger = logging.Logger("trainer", logging.WARNING)  # the application's own, not one of the whole process
    logger.addHandler(lines)
    app.logger = logger
    app.wsgi_app = Requests(app.wsgi_app, lines, quiet=place == QUIET)  # type: ignore[method-assign]


def number() -> str:
    """The number of the present request, which the error page shows; its route is noted for the log."""
    if request.url_rule is not None:
        request.environ[ROUTE] = request.url_rule.rule
    return str(request.environ.setdefault(NUMBER, token_hex(4)))


class Requests:
    """Around the whole application: numbers a request, logs it, and answers when even the error page failed."""

    def __init__(self, inner: Wsgi, lines: Lines, *, quiet: bool) -> None:
        self._inner, self._lines, self._quiet = inner, lines, quiet

    def __call__(self, environ: Environ, start_response: Callable[..., Any]) -> Iterable[bytes]:
        begun, said = time.perf_counter(), [500]
        environ[NUMBER] = token_hex(4)

        def start(status: str, *rest: Any) -> Any:
            said[0] = int(status[:3])
            return start_response(status, *rest)

        try:
            return self._inner(environ, start)
        except Exception as error:
            self._lines.write({"id": environ[NUMBER], "level": "error", "faults": faults(error)})
            kind = ("Content-Type", "text/plain; charset=utf-8")
            start("500 Internal Server Error", [kind, ("Cache-Control", "no-store")])
            return [BROKEN.format(environ[NUMBER]).encode()]
        finally:
            if not self._quiet:
                method = environ.get("REQUEST_METHOD")
                self._lines.write(
                    {
                        "id": environ[NUMBER],
                        "method": method if method in METHODS else "other",
                        "route": environ.get(ROUTE),
                        "status": said[0],
                        "ms": round((time.perf_counter() - begun) * 1000, 1),
                    }
                )


class Lines(logging.Handler):
    """Writes whole lines to stderr or to the end of a file, from any number of processes."""

    def __init__(self, place: str) -> None:
        super().__init__()
        self._place = place

    def write(self, told: dict[str, Any]) -> None:
        """One line; a log that cannot be written stops no request."""
        now = datetime.now(UTC).isoformat(timespec="milliseconds")
        line = f"{json.dumps({'time': now, **told}, ensure_ascii=False)}\n".encode()
        if self._place == STDERR:
            _write(2, line)
            return
        try:
            # Opened for each line: the file may be moved away at any time, and a fork shares nothing.
            file = os.open(self._place, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
        except OSError as error:
            _write(2, f"trainer: the log cannot be written: {error.strerror}\n".encode())
            return
        _write(file, line)
        os.close(file)

    def emit(self, record: logging.LogRecord) -> None:
        """A report to the application's logger: its text before anything was filled in, and its error."""
        told: dict[str, Any] = {"id": number() if has_request_context() else None}
        told["level"] = record.levelname.lower()
        error = record.exc_info[1] if record.exc_info else None
        # Flask's own text has the address in it.
        told |= {"text": str(record.msg)} if error is None else {"faults": list(faults(error))}
        self.write(told)


def faults(error: BaseException) -> list[dict[str, Any]]:
    """The error and what led to it, the last first: kind, places in the code from outside in, the store's own words."""
    return [_told(one) for one in _chain(error)]


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    for _ in range(MOST_CAUSES):
        if error is None:
            return
        yield error
        error = error.__cause__ or (None if error.__suppress_context__ else error.__context__)


def _told(error: BaseException) -> dict[str, Any]:
    told: dict[str, Any] = {"kind": type(error).__name__, "at": _places(error)}
    if isinstance(error, StoreError):
        told["says"] = str(error)
    # SQLite's name of the error, or PostgreSQL's number of it.
    if code := getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None):
        told["code"] = str(code)
    return told


def _places(error: BaseException) -> list[str]:
    walk = list(traceback.walk_tb(error.__traceback__))[-MOST_PLACES:]
    return [f"{frame.f_globals.get('__name__', '?')}:{line} {frame.f_code.co_name}" for frame, line in walk]


def _write(file: int, line: bytes) -> None:
    try:
        os.write(file, line)
    except OSError:
        return
