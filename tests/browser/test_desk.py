"""The trainer's desk in a real Chromium, on a phone and on a desk's screen: assign, sit, review, grade anew, export."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.browser.at_work import Screen
from tests.browser.reading import fill_in, right
from tests.shipped import shipped_content
from trainer.questions import Draw
from trainer.records import history, queries

WRONG = "rocking-stack"  # the question that turns out to be wrong in itself
QUESTIONS = (WRONG, "first-thing-up")


@pytest.mark.parametrize("width", [390, 1280])
def test_from_the_quiz_to_the_tables(site: Any, open_page: Any, width: int) -> None:
    nora, tom, luis = (Screen(open_page(width), site.address, name) for name in ("nora", "tom", "luis"))

    # The trainer assigns two questions.
    tom.go("/assign/new")
    tom.page.get_by_label("Name of the quiz").fill("Monday, two questions")
    tom.page.get_by_label("Luis Barrera").check()
    for summary in tom.page.locator(".of-lesson summary").all():
        summary.click()
    for question in QUESTIONS:
        tom.page.locator(f"[name=questions][value={question}]").check()
    tom.page.get_by_label("Pass mark, in percent").fill("100")
    tom.press("Assign")
    tom.sees("Monday, two questions")

    # The new hire sits it: the one that is wrong in itself is answered with another option.
    luis.go("/today")
    luis.press("Monday, two questions")
    luis.press("Start")
    now, person = datetime.now(UTC), site.people["luis"]
    with site.store.read() as session:
        paper = queries.home(session, person, now, shipped_content().rules).due[0].id
        asked = [Draw.from_json(one.draw) for one in queries.paper(session, person, paper).questions]
    for drawn in asked:
        letters = [option.letter for option in drawn.body.options if not option.right]
        fill_in(luis.page, drawn, letters[0] if drawn.question_id == WRONG else right(drawn))
        luis.press("Keep this answer")
    luis.sees("handed in", "50 %", "not passed")

    # The trainer comments on the answer and marks the paper reviewed.
    place = [drawn.question_id for drawn in asked].index(WRONG) + 1
    tom.go("/review")
    tom.press("Luis Barrera: Monday, two questions")
    tom.sees("50 %", "not passed")
    article = tom.page.locator(f"#question{place}")
    article.locator("summary", has_text="Comment").click()
    article.get_by_role("textbox").first.fill("You may be right; I ask the owner.")
    with tom.page.expect_navigation():
        article.get_by_role("button", name=re.compile("comment", re.I)).click()
    tom.sees("You may be right; I ask the owner.")
    tom.press("Reviewed")

    # The question is graded anew: first what would change, and only then the change.
    tom.go(f"/regrade/{WRONG}")
    tom.page.get_by_label("Everyone gets full credit for it").check()
    tom.press("Show what would change")
    tom.sees("1 paper would change.", "1 paper becomes passed", "50 → 100 %")
    luis.go(f"/papers/{paper}")
    luis.sees("not passed")
    tom.page.get_by_label("What was wrong with the question").fill("Two of its options are right.")
    tom.press("Grade 1 paper anew")
    tom.sees("1 paper graded anew.")
    luis.go("/today")
    luis.sees("passed now", "Your score was 50 % and is now 100 %. Two of its options are right.")
    luis.go(f"/papers/{paper}")
    luis.sees("100 %", "You may be right; I ask the owner.")

    # The owner takes the tables out, and everything in one file.
    nora.go("/exports")
    papers = list(
        csv.DictReader(io.StringIO(downloaded(nora.page, "Papers").decode("utf-8-sig"), newline=""))
    )
    assert [row["person"] for row in papers] == ["Luis Barrera"]
    assert (papers[0]["percent"], papers[0]["passed"]) == ("100", "true"), papers
    with zipfile.ZipFile(io.BytesIO(downloaded(nora.page, "Download everything"))) as held:
        assert held.testzip() is None
        assert b"Two of its options are right." in held.read("tables/history.csv")
    with site.store.read() as session:
        assert history.verify(session).ok


def downloaded(page: Any, name: str) -> bytes:
    """What the link or button gives."""
    main = page.locator("main")
    found = main.get_by_role("link", name=name, exact=True).or_(
        main.get_by_role("button", name=name, exact=True)
    )
    with page.expect_download() as coming:
        found.click()
    return Path(coming.value.path()).read_bytes()
