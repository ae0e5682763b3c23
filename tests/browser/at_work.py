"""People at work on a served shop, each in a browser of their own: they press buttons, follow links and sit papers."""

from __future__ import annotations

from typing import Any

from trainer.questions import Draw
from trainer.questions.writing import written

PASSWORD = "brick and mortar"


class Screen:
    """One person's browser: no page of it is wider than its window."""

    def __init__(self, page: Any, address: str, sign_in: str) -> None:
        self.page, self.address = page, address
        self.go("/")
        page.get_by_label("Sign-in name").fill(sign_in)
        page.get_by_label("Password").fill(PASSWORD)
        self.press("Sign in")

    def go(self, path: str) -> None:
        answer = self.page.goto(self.address + path)
        assert answer.status == 200, (path, answer.status)
        width = self.page.viewport_size["width"]
        assert self.page.evaluate("document.documentElement.scrollWidth") <= width, (
            f"{path} is wider than the window"
        )

    def press(self, name: str) -> None:
        """Press a button or follow a link, and wait for the page that comes."""
        page = self.page
        found = (
            page.locator("main")
            .get_by_role("button", name=name, exact=True)
            .or_(page.locator("main").get_by_role("link", name=name, exact=True))
        )
        with page.expect_navigation():
            found.first.click()

    def sees(self, *words: str) -> None:
        text = " ".join(self.page.locator("body").inner_text().split())
        for each in words:
            assert each in text, f"{each!r} is not on {self.page.url}: {text[:2000]}"


def as_the_trade_writes(drawn: Draw) -> str:
    """The right answer in feet, inches and fractions."""
    if drawn.body.unit != "in":
        return drawn.answer("en")
    feet, inches = divmod(round(drawn.body.expected * 16), 192)
    whole, rest = divmod(inches, 16)
    return f"{feet}' {whole} {rest}/16\"" if rest else f"{feet}'-{whole}\""


def put_in_order(page: Any, letters: list[str]) -> None:
    """Move each step up, by its button, until it stands where it belongs."""
    for place, letter in enumerate(letters):
        step = page.locator("ol.order > li").filter(has=page.locator(f"#place_{letter}"))
        while page.locator("ol.order > li").nth(place).locator(f"#place_{letter}").count() == 0:
            step.locator("[data-by='-1']").click()


def sit(luis: Screen, questions: Any) -> list[int]:
    """Answer every question; the first number is answered with a slip. Returns the positions answered wrong."""
    wrong: list[int] = []
    page = luis.page
    for each in questions:
        drawn = Draw.from_json(each.draw)
        luis.sees(f"Question {each.position} of {len(questions)}")
        if drawn.kind in ("choose", "several"):
            for option in drawn.body.options:
                if option.right:
                    page.locator(f"input[name=answer][value={option.letter}]").check()
            luis.press("Keep this answer")
            continue
        if drawn.kind == "faults":
            for number in drawn.answer("en").split(", "):
                page.locator(f"input[name=answer][value='{number}']").check()
            luis.press("Keep this answer")
            continue
        if drawn.kind in ("linked", "order"):
            if drawn.kind == "linked":
                for place, line in enumerate(drawn.answer("en").splitlines()):
                    page.locator(f"#part_{place}").fill(line)
            else:
                put_in_order(page, drawn.answer("en").split(", "))
            luis.press("Read my answer")
            luis.sees("Read as")
            luis.press("Keep this answer")
            continue
        if not wrong:
            wrong.append(each.position)
            typed = written(drawn.body.slips[0].value, drawn.body.unit).en
        else:
            typed = as_the_trade_writes(drawn)
        page.get_by_label("Your answer", exact=True).fill(typed)
        luis.press("Read my answer")
        luis.sees("Read as")
        luis.press("Keep this answer")
    return wrong
