"""Following every link of a served shop as one person; what axe says of each page, and what does not fit its window."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import axe_playwright_python

from trainer.cli.demo_shop import PASSWORD

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


def enter(browser: Any, demo: str, who: str, language: str) -> Any:
    """A page of the demo on a phone, signed in, in this language."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, service_workers="block", reduced_motion="reduce"
    )
    page = context.new_page()
    page.goto(demo + "/sign-in")
    page.fill("input[name=sign_in]", who)
    page.fill("input[type=password]", PASSWORD)
    page.locator("form:has(input[type=password]) button").click()
    page.wait_for_load_state()
    if page.locator("html").get_attribute("lang") != language:
        page.locator(f"header button[lang={language}]").click()
        page.wait_for_load_state()
    assert page.locator("html").get_attribute("lang") == language
    return page


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


# Whatever shows text or takes it and lies outside the window, or is cut off by its own box. What stands in something that
# scrolls by itself (a table, a drawing, a file as written) may be wider than the window: WCAG 1.4.10 excepts it.
MISFITS = """() => {
  const wide = document.documentElement.clientWidth, found = [];
  const over = document.documentElement.scrollWidth - wide;
  if (over > 0) found.push(`the page is ${over} px wider than the window`);
  const name = (one) => `${one.tagName.toLowerCase()}.${one.className.baseVal ?? one.className} "${(one.textContent || one.value || "").trim().slice(0, 30)}"`;
  const scrolls = (one) => {
    for (let at = one; at && at !== document.body; at = at.parentElement) {
      const how = getComputedStyle(at);
      if (["auto", "scroll"].includes(how.overflowX) || how.clipPath !== "none") return true;
    }
    return one.closest("svg, .skip") !== null;
  };
  for (const one of document.body.querySelectorAll("*")) {
    const shows = [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    if (!(shows || one.matches("input, select, textarea, button, img, svg"))) continue;
    if (!one.checkVisibility({visibilityProperty: true}) || scrolls(one)) continue;
    const box = one.getBoundingClientRect();
    if (box.width && (box.right > wide + 1 || box.left < -1)) found.push(`outside: ${name(one)}`);
    // A word that is wider than the box it stands in lies over its neighbour.
    if (shows && one.matches("a, button, label, th, td, dd, dt, p, li, h1, h2, h3, span, strong")) {
      const words = document.createRange();
      words.selectNodeContents(one);
      const room = one.closest("nav a, button, .button, td, th, li, dd, dt, p, label, h1, h2, h3, summary") || one;
      if (words.getBoundingClientRect().right > room.getBoundingClientRect().right + 1) found.push(`too wide: ${name(one)}`);
    }
  }
  return found;
}"""


def misfits(page: Any, width: int, height: int) -> list[str]:
    """What does not fit a window of this size, in CSS pixels."""
    page.set_viewport_size({"width": width, "height": height})
    return [f"{width} px: {one}" for one in page.evaluate(MISFITS)]
