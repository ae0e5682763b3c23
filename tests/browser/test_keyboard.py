"""Every task by keyboard alone: Tab to reach, Enter and Space to press, arrows to choose; no pointer and no focus set by hand.

WCAG 2.2, 2.1.1 Keyboard, 2.4.7 Focus Visible and 2.4.11 Focus Not Obscured: wherever the focus stands it is marked, and at
least a part of it is not under the bar.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from tests.browser.reading import lesson as lesson_of
from tests.browser.reading import next_try, right
from tests.shipped import shipped_bank, shipped_content
from trainer.questions import Draw, draw
from trainer.records import papers, queries, quizzes

PASSWORD = "brick and mortar"
STEPS = 400  # most keys until something is reached
WHERE = """() => {
  const one = document.activeElement, box = one.getBoundingClientRect(), how = getComputedStyle(one);
  const named = one.getAttribute("aria-label") || (one.labels && one.labels[0] && one.labels[0].textContent) || one.textContent || "";
  const at = document.elementFromPoint(Math.min(Math.max(box.x + box.width / 2, 1), innerWidth - 1), Math.max(box.y + Math.min(box.height, 40) / 2, 1));
  return {tag: one.tagName, id: one.id, type: one.type || "", name: named.trim().replace(/\\s+/g, " "), value: one.value ?? "",
          marked: how.outlineStyle !== "none" && parseFloat(how.outlineWidth) >= 2,
          seen: box.bottom > 0 && box.top < innerHeight && at !== null && (one.contains(at) || at.contains(one))};
}"""


class Keys:
    """A person without a pointer."""

    def __init__(self, page: Any, address: str, sign_in: str) -> None:
        self.page, self.address = page, address
        page.goto(address + "/sign-in")
        self.type("Sign-in name", sign_in)
        self.type("Password", PASSWORD)
        self.press("Enter")

    def at(self) -> dict[str, Any]:
        found: dict[str, Any] = self.page.evaluate(WHERE)
        return found

    def reach(self, *names: str, tag: str = "", id: str = "") -> dict[str, Any]:
        """Tab until the focus is on what is called so; what is passed on the way must be marked and in sight."""
        for _ in range(STEPS):
            self.page.keyboard.press("Tab")
            here = self.at()
            if here["tag"] in ("BODY", "HTML"):
                continue
            assert here["marked"], f"the focus does not show on {here}"
            assert here["seen"], f"the focus is hidden on {here}"
            if (here["id"] == id if id else here["name"].startswith(names)) and here["tag"].startswith(
                tag.upper()
            ):
                return here
        raise AssertionError(f"no way by Tab to {names or id} on {self.page.url}")

    def type(self, name: str, text: str) -> None:
        self.reach(name)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def press(self, key: str) -> None:
        """Press a key that leads to another page."""
        with self.page.expect_navigation():
            self.page.keyboard.press(key)

    def follow(self, *names: str, tag: str = "") -> None:
        self.reach(*names, tag=tag)
        self.press("Enter")

    def tick(self, id: str) -> None:
        """Tick a box, or choose one of a group: Tab reaches a group, its arrows go on in it."""
        here = self.reach(id=id) if self.page.locator(f"#{id}").get_attribute("type") == "checkbox" else None
        if here is None:
            group = self.page.locator(f"#{id}").get_attribute("name")
            for _ in range(STEPS):
                self.page.keyboard.press("Tab")
                if self.page.evaluate("document.activeElement.name") == group:
                    break
            for _ in range(12):
                if self.at()["id"] == id:
                    break
                self.page.keyboard.press("ArrowDown")
            assert self.at()["id"] == id
        if not self.page.locator(f"#{id}").is_checked():
            self.page.keyboard.press("Space")
        assert self.page.locator(f"#{id}").is_checked()

    def sees(self, *words: str) -> None:
        text = " ".join(self.page.locator("body").inner_text().split())
        for each in words:
            assert each in text, f"{each!r} is not on {self.page.url}: {text[:1500]}"


def answer(keys: Keys, drawn: Any) -> None:
    """Fill in the right answer of a question, whatever its kind, and leave the focus where it is."""
    page, typed = keys.page, drawn.answer("en")
    if drawn.kind == "number":
        keys.type("Your answer", typed)
    elif drawn.kind == "order":
        for place, letter in enumerate(typed.split(", ")):
            step = page.locator("ol.order > li").filter(has=page.locator(f"#place_{letter}"))
            up = step.locator("[data-by='-1']").get_attribute("aria-label")
            moves = (
                page.locator("ol.order > li").evaluate_all(
                    "(all, id) => all.findIndex((one) => one.querySelector(`#${id}`))", f"place_{letter}"
                )
                - place
            )
            if moves:
                keys.reach(str(up))
            for _ in range(moves):
                page.keyboard.press("Enter")
    else:
        letters = right(drawn) if drawn.kind in ("choose", "several") else typed
        for letter in letters.split(", "):
            box = page.locator(f"input[name=answer][value='{letter}']").get_attribute("id")
            keys.tick(str(box))


def test_a_new_hire_by_keyboard(site: Any, open_page: Any) -> None:
    """A lesson read with its check, practice in order and of faults, and a quiz to its end."""
    questions = ["crown-slab-length", "flue-cut-order", "look-it-over", "ladder-foot"]
    with site.store.write() as session:
        quizzes.assign(
            session, site.people["tom"], datetime.now(UTC), title="All kinds", people=[site.people["luis"].id],
            questions=questions, pass_mark=60, due=None, same_numbers=True, bank=shipped_bank().questions,
            draw=draw, token="keyboard", seed=5,
        )  # fmt: skip
    page = open_page()
    # No section is noted only because its end stays in view: how long it does is chance here.
    page.add_init_script("window.IntersectionObserver = class { observe() {} };")
    keys = Keys(page, site.address, "luis")

    keys.follow("Lessons", tag="a")
    keys.follow("The chimney top", tag="a")
    id = "the-chimney-top"
    for place in range(1, len(lesson_of(id).sections) + 1):
        keys.reach("Read", tag="button")
        while keys.at()["name"].startswith("Read aloud"):
            keys.reach("Read", tag="button")
        page.keyboard.press("Enter")
        page.wait_for_function(
            "(place) => document.querySelector('#reading-bar')?.value === place", arg=place
        )
    page.wait_for_load_state()
    for question in lesson_of(id).check:
        drawn = next_try(site, "luis", id, question)
        keys.page.goto(f"{site.address}/lessons/{id}/check/{question}")
        answer(keys, drawn)
        keys.follow("Check", tag="button")
        assert page.locator(".result-right").count() == 1, question

    page.goto(site.address + "/today")
    keys.follow("All kinds", tag="a")
    keys.follow("Start", tag="button")
    with site.store.read() as session:
        paper = queries.paper(session, site.people["luis"], int(page.url.split("/papers/")[1].split("/")[0]))
    for one in paper.questions:
        answer(keys, Draw.from_json(one.draw))
        if page.get_by_role("button", name="Read my answer").count():
            keys.follow("Read my answer", tag="button")
        keys.follow("Keep this answer", tag="button")
    keys.sees("handed in", "100 %")


def test_a_trainer_by_keyboard(site: Any, open_page: Any) -> None:
    """A quiz assigned, a paper reviewed with a comment and a changed grade, and a task signed off."""
    luis, tom = site.people["luis"], site.people["tom"]
    kinds: dict[str, set[str]] = {}
    for question in shipped_bank().questions.values():
        kinds.setdefault(question.skills[0], set()).add(question.kind)
    skill = next(id for id, found in kinds.items() if found == {"choose"})
    page = open_page()
    keys = Keys(page, site.address, "tom")
    keys.follow("Assign", tag="a")
    keys.follow("Assign a quiz", tag="a")
    keys.type("Name of the quiz", "By keys")
    keys.tick(str(page.get_by_label("Luis Barrera").get_attribute("id")))
    keys.reach(
        str(
            page.locator(".of-lesson", has=page.locator(f"[name=take-{skill}]"))
            .locator("summary")
            .first.inner_text()
        ).splitlines()[0],
        tag="summary",
    )
    page.keyboard.press("Enter")
    keys.reach(id=str(page.locator(f"[name=take-{skill}]").get_attribute("id")))
    page.keyboard.press("ArrowDown")
    keys.type("Pass mark, in percent", "70")
    keys.follow("Assign", tag="button")
    keys.sees("By keys", "Luis Barrera")

    with site.store.read() as session:
        paper = queries.home(session, luis, datetime.now(UTC), shipped_content().rules).due[0].id
        (asked,) = queries.paper(session, luis, paper).questions
    with site.store.write() as session:
        drawn = Draw.from_json(asked.draw)
        wrong = next(option.letter for option in drawn.body.options if not option.right)
        papers.answer(
            session,
            luis,
            datetime.now(UTC),
            paper_id=paper,
            position=1,
            typed=wrong,
            token="keys",
        )

    page.goto(site.address + "/review")
    keys.follow("Luis Barrera: By keys", tag="a")
    keys.reach("Comment", tag="summary")
    page.keyboard.press("Enter")
    keys.reach("", tag="textarea")
    page.keyboard.type("Look at the label first.")
    keys.follow("Keep the comment", tag="button")
    keys.sees("Look at the label first.")
    keys.reach("Change the grade", tag="summary")
    page.keyboard.press("Enter")
    keys.tick(str(page.get_by_label("Right: full credit").first.get_attribute("id")))
    keys.type("Reason", "Shown on the roof the same day.")
    keys.follow("Change the grade", tag="button")
    keys.sees("Grade changed", "Shown on the roof the same day.")
    keys.follow("Reviewed", tag="button")

    page.goto(f"{site.address}/sign-offs/{luis.id}/build-form")
    for box in page.locator("input[name^=criterion-]").all():
        keys.tick(str(box.get_attribute("id")))
    for name, typed in (
        ("overhang", "2 1/8 in"),
        ("edge_thickness", "4 in"),
        ("diagonal_difference", "1/16 in"),
    ):
        keys.reach(id=str(page.locator(f"[name=measure-{name}]").get_attribute("id")))
        page.keyboard.type(typed)
    keys.tick(str(page.locator("input[name=outcome][value=passed]").get_attribute("id")))
    keys.follow("Read it back to me", tag="button")
    keys.sees("2 1/8 in")
    keys.follow("Yes, record it", tag="button")
    keys.sees("The sign-off is on record.")
    assert tom.name in page.locator("main").inner_text()
