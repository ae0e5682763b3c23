"""Pages and static files go over the wire compressed, but for pages that show a lasting secret.

Compression tells the length of what is repeated in a page (the attack called BREACH: published 2013, from memory).
A form token is no target: it is signed anew with the second it was made in, and the session's cookie does not come with
requests that other sites start (SameSite=Lax). A private link, a one-time code or the secret of a second step stands
on its page as it is for as long as it lasts, so such a page is sent as it is.
"""

from __future__ import annotations

from typing import Final

from flask import Flask, Response, request
from flask_compress import Compress

SECRET: Final = frozenset(
    {"links.calendar", "links.cards", "links.card", "links.feed", "people.add", "people.new_code", "account.second_step_page"}
)  # fmt: skip
KINDS: Final = (
    "text/html",
    "text/css",
    "text/javascript",
    "text/plain",
    "image/svg+xml",
    "application/json",
    "application/manifest+json",
)
SETTINGS: Final = {
    "COMPRESS_ALGORITHM": ["br", "gzip"],  # browsers offer br over HTTPS and on this machine
    "COMPRESS_BR_LEVEL": 5,
    "COMPRESS_MIN_SIZE": 500,
    "COMPRESS_MIMETYPES": list(KINDS),
    "COMPRESS_REGISTER": False,
}


def compress(app: Flask) -> None:
    """Install it; called before anything that looks at finished answers."""
    app.config.from_mapping(SETTINGS)
    packed = Compress(app)

    def pack(response: Response) -> Response:
        if request.endpoint in SECRET:
            return response
        if response.is_streamed and response.mimetype in KINDS:
            response.direct_passthrough = False
            response.make_sequence()  # a static file is small, and is closed with the answer
        return packed.after_request(response)

    app.after_request(pack)
