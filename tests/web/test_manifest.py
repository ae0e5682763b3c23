"""The web manifest: its type, its colours against the stylesheet's tokens, its pictures, and the tags that name it.

Type and members as in W3C Web Application Manifest; the sizes 192 and 512 are what browsers ask before they install.
"""

from __future__ import annotations

import json
import re

from PIL import Image

from trainer.paths import content_dir

STATIC = content_dir("static")
CSS = (STATIC / "site.css").read_text("utf-8")


def token(name: str) -> list[str]:
    """The token in light and in dark."""
    return re.findall(rf"--{name}: (#[0-9a-f]{{6}})", CSS)


def fetched(visitor, address: str) -> tuple[str, bytes]:
    """The type and the bytes of a static file."""
    with visitor.client.get(address) as answer:
        assert answer.status_code == 200
        return answer.mimetype, answer.data


def test_it_is_served_as_a_manifest_and_names_what_is_there(visitor):
    head = visitor.get("/sign-in").soup.head
    address = head.select_one("link[rel=manifest]")["href"]
    kind, text = fetched(visitor, address)
    assert kind == "application/manifest+json"
    held = json.loads(text)
    assert held["start_url"] == held["scope"] == "../" and held["display"] == "standalone"
    assert held["background_color"] == token("paper")[0] and held["theme_color"] == token("sheet")[0]
    sizes = set()
    for icon in held["icons"]:
        kind, picture = fetched(visitor, f"/static/{icon['src']}")
        assert kind == icon["type"]
        if icon["type"] == "image/png":
            with Image.open(STATIC / icon["src"]) as opened:
                width, height = opened.size
            assert icon["sizes"] == f"{width}x{height}" and len(picture) < 12_000
            sizes.add((width, icon.get("purpose", "any")))
    assert sizes == {(192, "any"), (512, "any"), (512, "maskable")}


def test_the_frame_of_the_browser_has_the_colour_of_the_page(visitor):
    head = visitor.get("/sign-in").soup.head
    told = {one["media"]: one["content"] for one in head.select("meta[name=theme-color]")}
    light, dark = token("sheet")
    assert told == {"(prefers-color-scheme: light)": light, "(prefers-color-scheme: dark)": dark}
    touch = head.select_one("link[rel=apple-touch-icon]")["href"]
    assert fetched(visitor, touch)[0] == "image/png"
