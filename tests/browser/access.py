"""Following every link of a served shop as one person, and what axe says of each page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import axe_playwright_python

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text("utf-8")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN = """async (only) => (await axe.run(document, {runOnly: only, resultTypes: ["violations"]})).violations.map(
  (one) => `${one.id}: ${one.nodes.length} × ${one.nodes[0].target.join(" ")} (${one.help})`)"""
FILES = re.compile(r"\.(pdf|json|txt|csv|ics|toml|svg|png|jpg)$|/photo|/paper$|/feed")


def kind_of(path: str) -> str:
    """Pages of one kind share this: numbers and names in the address are left out."""
    parts = urlsplit(path)
    steps = parts.path.strip("/").split("/")
    names = [
        "#" if step.isdigit() or (place and "-" in step) or "." in step else step
        for place, step in enumerate(steps)
    ]
    return "/".join(names) + ("?" if parts.query else "")


def faults(page: Any, dark: bool = True) -> Iterator[str]:
    """What axe finds on the page: all rules as it stands, and the contrast of its dark form."""
    page.emulate_media(color_scheme="light")
    page.evaluate(AXE)
    yield from page.evaluate(RUN, {"type": "tag", "values": TAGS})
    if dark:
        page.emulate_media(color_scheme="dark")
        yield from (
            f"dark {one}" for one in page.evaluate(RUN, {"type": "rule", "values": ["color-contrast"]})
        )


def crawl(page: Any, address: str, start: str, most_of_a_kind: int) -> Iterator[str]:
    """Open every page that can be reached by links, at most so many of one kind; gives each path once it is shown."""
    waiting, seen, kinds = [start], {start}, Counter[str]()
    while waiting:
        path = waiting.pop(0)
        kind = kind_of(path)
        if kinds[kind] >= most_of_a_kind:
            continue
        kinds[kind] += 1
        answer = page.goto(address + path, wait_until="domcontentloaded")
        assert answer.status == 200, (path, answer.status)
        for link in page.eval_on_selector_all("a[href]", "all => all.map((one) => one.getAttribute('href'))"):
            target = link.split("#")[0]
            if target.startswith("/") and target not in seen and not FILES.search(urlsplit(target).path):
                seen.add(target)
                waiting.append(target)
        yield path
