"""Every kind of question by keyboard alone, and on paper: lines to write on, nothing to press, on its own page."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from unicodedata import normalize

import pytest
from pypdf import PdfReader

from tests.shipped import shipped_bank
from trainer.questions import Draw, draw

PASSWORD = "brick and mortar"
BANK = shipped_bank()
# One question of each kind; both layouts of linked numbers.
ONE_OF_EACH = (
    "crown-slab-length", "why-cover", "what-lets-it-move", "flue-cut-order", "take-off-one-tile", "form-to-buckets", "look-it-over",
)  # fmt: skip
SEED = 5


def signed_in(page: Any, address: str) -> Any:
    page.goto(address)
    page.get_by_label("Sign-in name").fill("luis")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    return page


def focused(page: Any, attribute: str) -> str:
    return str(page.evaluate(f"document.activeElement.{attribute}"))


def tab_to(page: Any, wanted: str) -> None:
    """Press Tab until the focus is on the control with that id."""
    for _ in range(80):
        if focused(page, "id") == wanted:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the keyboard never reaches {wanted}")


def fill_in(page: Any, drawn: Draw) -> None:
    """The right answer, with the keyboard alone."""
    body = drawn.body
    if drawn.kind == "number":
        tab_to(page, "answer")
        page.keyboard.type(drawn.answer())
    elif drawn.kind == "choose":
        # The first press of Tab lands in the group, the arrows go through it.
        tab_to(page, "answer-0")
        page.keyboard.press("Space")
        for _ in range(next(place for place, option in enumerate(body.options) if option.right)):
            page.keyboard.press("ArrowDown")
    elif drawn.kind == "several":
        for place, option in enumerate(body.options):
            if option.right:
                tab_to(page, f"answer-{place}")
                page.keyboard.press("Space")
    elif drawn.kind == "faults":
        found = [place for place, mark in enumerate(body.marks) if mark.fault]
        for place in found or [len(body.marks)]:
            tab_to(page, f"answer-{place}")
            page.keyboard.press("Space")
    elif drawn.kind == "linked":
        for line, field in zip(
            drawn.answer().splitlines(), page.locator("article input.answer").all(), strict=True
        ):
            tab_to(page, field.get_attribute("id"))
            page.keyboard.type(line)
    else:
        put_in_order(page, [body.step(id).letter for id in body.order])


def put_in_order(page: Any, wanted: list[str]) -> None:
    def now() -> list[str]:
        return page.locator("ol.order select").evaluate_all("all => all.map(one => one.name.slice(-1))")

    for place, letter in enumerate(wanted):
        while now()[place] != letter:
            step = page.locator("ol.order > li").nth(now().index(letter))
            step.locator("[data-by='-1']").focus()
            page.keyboard.press("Enter")


def test_each_kind_is_answered_with_the_keyboard_alone(site: Any, open_page: Any) -> None:
    page = signed_in(open_page(1280), site.address)
    assert {BANK.questions[id].kind for id in ONE_OF_EACH} == {one.kind for one in BANK.questions.values()}
    for id in ONE_OF_EACH:
        page.goto(f"{site.address}/practice/{id}/{SEED}")
        fill_in(page, draw(BANK.questions[id], SEED))
        for _ in range(30):
            if focused(page, "tagName") == "BUTTON" and focused(page, "textContent").strip() == "Check":
                break
            page.keyboard.press("Tab")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        assert page.locator(".result-right").count() == 1, id


@pytest.mark.parametrize("language", ["en", "es"])
def test_each_kind_is_printed_with_room_for_a_pencil(
    site: Any, open_page: Any, tmp_path: Path, language: str
) -> None:
    page = signed_in(open_page(390), site.address)
    if language == "es":
        page.get_by_role("button", name="Español").click()
    for id in ONE_OF_EACH:
        drawn = draw(BANK.questions[id], SEED)
        page.goto(f"{site.address}/practice/{id}/{SEED}")
        file = tmp_path / f"{id}.pdf"
        page.pdf(path=str(file), format="Letter", prefer_css_page_size=False)
        pages = [words_of(one.extract_text()) for one in PdfReader(file).pages]
        assert len(pages) <= 2, id
        text = words_of(drawn.text.in_language(language))
        assert " ".join(text[:12]) in " ".join(pages[0]), id
        whole = [word for one in pages for word in one]
        assert not {"Check", "Comprobar", "Hint", "Pista"} & set(whole), id
        for line in drawn.body.lines(language):
            said = [word for word in words_of(line) if not word.startswith("____")]
            assert all(word in whole for word in said[1:3]), (id, line)


def words_of(text: str) -> list[str]:
    """The words, whatever ligatures the page was set with, and whether or not a colon follows a number."""
    return [word.strip(":") for word in normalize("NFKC", text).split()]
