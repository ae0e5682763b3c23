"""The whole thread at 390 px in a real Chromium: lesson, practice, quiz, review, sign-off, grant, board, refusal."""

from __future__ import annotations

import re
from typing import Any

from tests.browser.at_work import Screen, as_the_trade_writes, sit
from tests.browser.reading import by_buttons_only, fill_in, next_try, read_sections
from tests.browser.reading import lesson as lesson_of
from tests.browser.reading import right as right_answer
from tests.shipped import shipped_bank, shipped_content
from trainer.questions import draw
from trainer.records import queries

LESSONS = ("roof-protection", "concrete-versus-mortar")


def test_the_whole_thread(site: Any, open_page: Any) -> None:
    nora, tom, luis, jess = (
        Screen(open_page(), site.address, name) for name in ("nora", "tom", "luis", "jess")
    )

    # The new hire reads two lessons.
    luis.sees("What is next for you", "No quiz is waiting")
    by_buttons_only(luis.page)
    for lesson in LESSONS:
        luis.go(f"/lessons/{lesson}")
        assert luis.page.locator("figure.drawing svg").count() >= 1
        assert luis.page.locator("aside.caution").count() >= 1
        read_sections(luis.page, lesson)
        for question in lesson_of(lesson).check:
            asked = next_try(site, "luis", lesson, question)
            luis.go(f"/lessons/{lesson}/check/{question}")
            fill_in(luis.page, asked, right_answer(asked))
            luis.press("Check")
            luis.sees("✓ Right")
        luis.sees("This lesson counts as read")
        luis.go(f"/lessons/{lesson}")
        luis.sees("You read this lesson on")

    # Practice: one wrong answer whose slip is named, one right one.
    practised = shipped_bank().questions["crown-slab-length"]
    wrong, right = draw(practised, 7), draw(practised, 8)
    luis.go("/practice/crown-slab-length/7")
    luis.page.get_by_label("Your answer", exact=True).fill(f"{wrong.body.slips[0].value}")
    luis.press("Check")
    luis.sees("Not right", wrong.body.slips[0].text.en, "The working", wrong.answer("en"))
    luis.go("/practice/crown-slab-length/8")
    luis.page.get_by_label("Your answer", exact=True).fill(as_the_trade_writes(right))
    luis.press("Check")
    luis.sees("Right", right.answer("en"))
    # What cannot be read is said, and stays in the field.
    luis.go("/practice/crown-slab-length/9")
    luis.page.get_by_label("Your answer", exact=True).fill("4,5")
    luis.press("Check")
    luis.sees("point")
    assert luis.page.get_by_label("Your answer", exact=True).input_value() == "4,5"

    # The trainer assigns a quiz.
    tom.go("/assign/new")
    tom.page.get_by_label("Name of the quiz").fill("First week")
    tom.page.get_by_label("Luis Barrera").check()
    for summary in tom.page.locator(".of-lesson summary").all():
        summary.click()
    for skill, count in (("roof-protection", 1), ("when-to-stop", 2)):
        tom.page.locator(f"[name=take-{skill}]").select_option(str(count))
    for question in ("crown-slab-length", "crown-slab-width", "flue-projection"):
        tom.page.locator(f"[name=questions][value={question}]").check()
    tom.page.get_by_label("Pass mark, in percent").fill("70")
    tom.press("Assign")
    tom.sees("First week")

    # The new hire sits it, with fractions typed as the trade writes them.
    luis.go("/today")
    luis.press("First week")
    luis.press("Start")
    with site.store.read() as session:
        paper = queries.home(session, site.people["luis"], _now(), _rules()).due[0].id
        questions = queries.paper(session, site.people["luis"], paper).questions
    slipped = sit(luis, questions)
    luis.sees("handed in", "Result", "Right answer")

    # The trainer reviews it and changes one grade with a reason.
    tom.go("/review")
    tom.page.locator("main").get_by_role("link", name=re.compile("First week|Luis")).first.click()
    tom.page.wait_for_load_state()
    tom.sees("Luis Barrera", "What went wrong:", "Right answer", "The working")
    article = tom.page.locator(f"#question{slipped[0]}")
    article.locator("summary", has_text="Change the grade").click()
    article.get_by_label("Right: full credit").check()
    article.get_by_label("Reason").fill("Right on the scratch sheet; one side was copied wrong.")
    with tom.page.expect_navigation():
        article.get_by_role("button", name="Change the grade").click()
    tom.sees("Grade changed", "Right on the scratch sheet")
    tom.press("Reviewed")

    # The trainer signs off a practical; the core compares the measures with the shop standard.
    luis_id = site.people["luis"].id
    tom.go(f"/sign-offs/{luis_id}/build-form")
    for box in tom.page.locator("input[name^=criterion-]").all():
        box.check()
    for name, typed in (
        ("overhang", "1 3/4 in"),
        ("edge_thickness", "4 in"),
        ("diagonal_difference", "1/16 in"),
    ):
        tom.page.locator(f"[name=measure-{name}]").fill(typed)
    tom.page.locator("input[name=outcome][value=passed]").check()
    tom.page.locator("main form button").last.click()
    tom.page.wait_for_load_state()
    tom.sees("1 3/4 in", "2 in")  # too little overhang contradicts "passed"
    tom.page.locator("[name=measure-overhang]").fill("2 1/8 in")
    tom.page.locator("main form button").last.click()
    tom.page.wait_for_load_state()
    tom.sees("2 1/8 in")
    tom.page.get_by_role("button", name=re.compile("record|Keep|Yes|Confirm", re.I)).first.click()
    tom.page.wait_for_load_state()
    tom.sees("The sign-off is on record.", "Build and square a form")

    # The owner sees that it is ready, grants, and the board shows it.
    nora.go("/board")
    nora.sees("Luis Barrera", "Jess Lindqvist", "ready to grant")
    nora.go(f"/board/{luis_id}/on-the-ground")
    nora.press("Grant")
    nora.go("/board")
    nora.sees("cleared")

    # The second new hire is refused, with reasons.
    nora.go(f"/board/{site.people['jess'].id}/on-the-ground")
    nora.sees("not cleared", "missing", "Lesson")
    assert nora.page.get_by_role("button", name="Grant", exact=True).count() == 0
    jess.go("/today")
    jess.sees("On the ground", "not cleared")
    assert jess.page.request.get(site.address + "/board").status == 403


def _now() -> Any:
    from datetime import UTC, datetime

    return datetime.now(UTC)


def _rules() -> Any:

    return shipped_content().rules
