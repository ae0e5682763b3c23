"""The home-screen icon: Chromium reads the manifest without complaint, and the pictures are drawn from icon.svg."""

from __future__ import annotations

import json
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageStat

from tests.browser.icons import ICONS, draw
from trainer.paths import content_dir

PASSWORD = "brick and mortar"


def test_chromium_would_install_it_and_it_starts_on_todays_work(site: Any, open_page: Any) -> None:
    page = open_page()
    page.goto(site.address)
    tools = page.context.new_cdp_session(page)
    told = tools.send("Page.getAppManifest")
    assert told["errors"] == [] and told["url"].startswith(f"{site.address}/static/app.webmanifest")
    against = {one["errorId"] for one in tools.send("Page.getInstallabilityErrors")["installabilityErrors"]}
    assert against <= {"in-incognito"}  # the test's own window, which is a private one
    page.get_by_label("Sign-in name").fill("luis")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    start = page.evaluate(
        "([from, to]) => new URL(to, from).href", [told["url"], json.loads(told["data"])["start_url"]]
    )
    page.goto(start)
    assert page.url == f"{site.address}/today"


@pytest.mark.parametrize("name", ICONS)
def test_the_pictures_are_the_drawing(browser: Any, name: str) -> None:
    with Image.open(content_dir("static") / name) as opened:
        kept = opened.convert("RGBA")
    difference = ImageStat.Stat(ImageChops.difference(kept, draw(browser, name)))
    assert max(difference.mean) < 3, "run: python -m tests.browser.icons"
    assert max(ImageStat.Stat(kept).stddev) > 30  # not an empty sheet
