"""What a person does with a lesson in a browser: reads section after section, answers the check questions."""

from __future__ import annotations

from functools import cache
from typing import Any

from tests.shipped import shipped_content
from trainer.calc import DEFAULT_SHOP
from trainer.clearance import LessonRef
from trainer.questions import Draw, draw
from trainer.records import lessons
from trainer.web.content import Content


@cache
def course() -> Content:
    """The shipped lessons and questions."""
    return shipped_content()


def lesson(id: str) -> LessonRef:
    return course().rules.lessons[id]


def by_buttons_only(page: Any) -> None:
    """From the next page on, no section is noted only because its end stays in view: how long it does is chance here."""
    page.add_init_script("window.IntersectionObserver = class { observe() {} };")


def read_sections(page: Any, id: str, number: int | None = None) -> None:
    """Press the button at the end of each of the next `number` sections, or of all that are left."""
    sections = lesson(id).sections
    done = int(page.locator("#reading-bar").get_attribute("value"))
    last = len(sections) if number is None else done + number
    for place in range(done + 1, last + 1):
        page.locator(".section-end form:visible button").click()
        has_read(page, place)
    page.wait_for_load_state()


def has_read(page: Any, number: int) -> None:
    """Wait until the page says that so many sections are read."""
    from playwright.sync_api import expect

    expect(page.locator("#reading-bar")).to_have_attribute("value", str(number), timeout=20_000)


def next_try(site: Any, sign_in: str, id: str, question: str) -> Draw:
    """What the check question will ask the person next."""
    ref, person = lesson(id), site.people[sign_in]
    with site.store.read() as session:
        attempt = lessons.next_attempt(session, person, ref, question)
    seed = lessons.attempt_seed(person.id, ref, question, attempt)
    return draw(course().bank.questions[question], seed, DEFAULT_SHOP)


def fill_in(page: Any, drawn: Draw, typed: str) -> None:
    """Fill in the form of a question with the answer given as one text."""
    parts = typed.splitlines() if drawn.kind == "linked" else typed.split(", ")
    if drawn.kind == "number":
        page.get_by_label("Your answer", exact=True).fill(typed)
    elif drawn.kind == "linked":
        for place, line in enumerate(parts):
            page.locator(f"#part_{place}").fill(line)
    elif drawn.kind == "order":
        for place, letter in enumerate(parts):
            step = page.locator("ol.order > li").filter(has=page.locator(f"#place_{letter}"))
            while page.locator("ol.order > li").nth(place).locator(f"#place_{letter}").count() == 0:
                step.locator("[data-by='-1']").click()
    else:
        for part in parts:
            page.locator(f"input[name=answer][value='{part}']").check()


def right(drawn: Draw) -> str:
    """The right answer as one text; of options, their letters."""
    if drawn.kind in ("choose", "several"):
        return ", ".join(option.letter for option in drawn.body.options if option.right)
    return drawn.answer("en")
