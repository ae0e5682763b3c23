"""What goes over the wire compressed (RFC 9110, 8.4) and what never does: pages that show a lasting secret."""

from __future__ import annotations

import gzip

import brotli
import pytest

from trainer.paths import content_dir
from trainer.web.compression import SECRET

PACKED = {"Accept-Encoding": "gzip, deflate, br"}


def test_pages_and_static_files_are_compressed_and_say_so(sign_in, people):
    luis = sign_in(people.apprentice)
    whole = luis.client.get("/lessons/crown-geometry").data
    answer = luis.client.get("/lessons/crown-geometry", headers=PACKED)
    assert answer.headers["Content-Encoding"] == "br" and "Accept-Encoding" in answer.headers["Vary"]
    assert len(answer.data) < len(whole) / 3
    assert b"</html>" in brotli.decompress(answer.data)
    older = luis.client.get("/lessons/crown-geometry", headers={"Accept-Encoding": "gzip"})
    assert b"</html>" in gzip.decompress(older.data)
    with luis.client.get("/static/site.css", headers=PACKED) as css:
        assert css.headers["Content-Encoding"] == "br"
        assert brotli.decompress(css.data) == (content_dir("static") / "site.css").read_bytes()
    with luis.client.get("/static/icon-512.png", headers=PACKED) as picture:
        assert "Content-Encoding" not in picture.headers
    assert "Content-Encoding" not in luis.client.get("/lessons/crown-geometry").headers


@pytest.mark.parametrize("path", ["/calendar", "/people/add", "/account/second-step"])
def test_a_page_that_shows_a_secret_is_not_compressed(path, sign_in, people):
    answer = sign_in(people.owner).client.get(path, headers=PACKED)
    assert answer.status_code == 200 and "Content-Encoding" not in answer.headers


def test_every_secret_page_is_there(app):
    assert set(app.view_functions) >= SECRET


def test_a_form_token_is_another_one_each_second(sign_in, people, clock, monkeypatch):
    """So the length of a compressed page tells nothing that holds: the token's stamp and signature move."""
    import time

    luis, seen = sign_in(people.apprentice), set()
    begun = time.time()
    for second in range(3):
        monkeypatch.setattr(time, "time", lambda at=begun + second: at)
        seen.add(luis.token())
    assert len(seen) == 3
