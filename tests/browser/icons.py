"""The icons as PNG, drawn by Chromium from static/icon.svg: `python -m tests.browser.icons` writes them anew.

A phone cuts a maskable icon to its own shape; the circle of 80 % that is always left holds the drawing
(W3C Web Application Manifest, "icon masks and safe zone").
"""

from __future__ import annotations

import re
import shutil
from io import BytesIO
from typing import Any, Final

from PIL import Image

from trainer.paths import content_dir

# file → (pixels, share of them that the drawing takes, whether the paper fills the corners)
ICONS: Final = {
    "icon-180.png": (180, 1.0, True),
    "icon-192.png": (192, 1.0, False),
    "icon-512.png": (512, 1.0, False),
    "icon-maskable.png": (512, 0.75, True),
}
COLOURS: Final = 64  # of the palette, which keeps the files small


def draw(browser: Any, name: str) -> Image.Image:
    """One icon as Chromium draws it."""
    size, share, filled = ICONS[name]
    svg = (content_dir("static") / "icon.svg").read_text("utf-8")
    paper = re.search(r'<rect[^>]*fill="(#[0-9a-f]{6})"', svg).group(1)  # type: ignore[union-attr]
    side = round(size * share)
    page = browser.new_page(viewport={"width": size, "height": size})
    page.set_content(
        f"<style>body{{margin:0;height:{size}px;display:grid;place-items:center;background:{paper if filled else 'none'}}}"
        f"svg{{width:{side}px;height:{side}px}}</style>{svg}"
    )
    shot = page.screenshot(omit_background=not filled)
    page.close()
    return Image.open(BytesIO(shot)).convert("RGBA")


def main() -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name in ICONS:
            drawn = draw(browser, name).quantize(
                COLOURS, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE
            )
            drawn.save(content_dir("static") / name, optimize=True)
        browser.close()


if __name__ == "__main__":
    main()
