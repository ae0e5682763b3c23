"""A question that was wrong, as a trainer, the person and the owner see it on their pages."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from trainer.records import grants, history
from trainer.web.content import CONTENT

QUESTION = "first-thing-up"


@pytest.fixture
def mended(app: Any, bank: Any) -> Any:
    """The bank's question mended: another option is the right one from version 2 on."""
    old = bank.questions[QUESTION]
    options = list(old.body.options)
    right = next(place for place, option in enumerate(options) if option.right)
    other = (right + 1) % len(options)
    options[right], options[other] = replace(options[right], right=False), replace(options[other], right=True)
    new = replace(old, version=old.version + 1, hash="mended", body=replace(old.body, options=tuple(options)))
    held = app.extensions[CONTENT]
    questions = {**held.bank.questions, QUESTION: new}
    app.extensions[CONTENT] = replace(held, bank=replace(held.bank, questions=questions))
    return new


def confirm(browser: Any, how: str, reason: str = "The key was wrong.") -> Any:
    page = browser.get(f"/regrade/{QUESTION}?version=1&how={how}")
    form = page.soup.select_one("form[method=post][action*=regrade]")
    fields = {one["name"]: one.get("value", "") for one in form.select("input[name]")}
    return browser.post(f"/regrade/{QUESTION}", {**fields, "reason": reason})


def test_a_trainer_sees_the_effect_first_and_the_person_is_told(
    acts: Any, people: Any, sign_in: Any, mended: Any, store: Any
) -> None:
    paper = acts.assign(people.apprentice, [QUESTION, "rocking-stack"])
    acts.sit(people.apprentice, paper)
    trainer = sign_in(people.trainer)
    page = trainer.get(f"/regrade/{QUESTION}?version=1&how=corrected")
    assert "1 paper would change." in page.text and "1 paper becomes not passed" in page.text
    assert "100 → 50 %" in page.text
    assert re.search(r"right → not right", page.text)
    assert "100 %, passed" in trainer.get("/review").text  # nothing was stored yet
    done = confirm(trainer, "corrected")
    assert done.status == 303 and "1 paper graded anew." in trainer.get(done.location).text
    today = sign_in(people.apprentice).get("/today")
    assert "Your score was 100 % and is now 50 %. The key was wrong." in today.text
    assert "Papers graded anew" in sign_in(people.apprentice).get("/record").text
    assert "changed the grade from 100 % to 0 %" in sign_in(people.apprentice).get(f"/papers/{paper}").text
    assert "Question graded anew" in sign_in(people.owner).get("/history").text
    with store.read() as session:
        assert history.verify(session).ok


def test_left_out_is_said_on_the_paper(acts: Any, people: Any, sign_in: Any) -> None:
    paper = acts.assign(people.apprentice, [QUESTION, "rocking-stack"])
    acts.sit(people.apprentice, paper)
    confirm(sign_in(people.trainer), "left out")
    assert (
        "left this question out of the score: The key was wrong."
        in sign_in(people.apprentice).get(f"/papers/{paper}").text
    )
    page = sign_in(people.trainer).get(f"/review/{paper}")
    assert "left out of the score" in page.text and "1 of 1" in page.text


def test_a_clearance_is_flagged_for_the_owner_who_looks_at_it(
    acts: Any, people: Any, sign_in: Any, store: Any, clock: Any, app: Any, mended: Any
) -> None:
    acts.make_ready(people.apprentice)
    with store.write() as session:
        grants.grant(
            session, people.owner, clock.now, person_id=people.apprentice.id, clearance="on-the-ground",
            rules=app.extensions[CONTENT].rules,
        )  # fmt: skip
    trainer, owner = sign_in(people.trainer), sign_in(people.owner)
    assert (
        "Clearances that rest on these papers"
        in trainer.get(f"/regrade/{QUESTION}?version=1&how=corrected").text
    )
    confirm(trainer, "corrected")
    board = owner.get("/board")
    assert (
        "1 clearance was granted on a paper that was graded anew." in board.text
        and "look again" in board.text
    )
    assert "on-the-ground" in owner.get("/regrade/doubts").html
    standing = f"/board/{people.apprentice.id}/on-the-ground"
    assert "An owner looks at it." in trainer.get(standing).text
    page = owner.get(standing)
    form = page.soup.select_one("form[action*='/regrade/doubts/']")
    empty = owner.post(str(form["action"]), {})
    assert "nothing was stored" in owner.get(empty.location).text
    owner.post(str(form["action"]), {str(form.select_one("textarea")["name"]): "She sits it again."})
    assert "She sits it again." in owner.get(standing).text
    assert "graded anew" not in owner.get("/board").text


def test_what_changed_meanwhile_is_shown_again_and_nothing_stored(
    acts: Any, people: Any, sign_in: Any, mended: Any
) -> None:
    acts.sit(people.apprentice, acts.assign(people.apprentice, [QUESTION, "rocking-stack"]))
    trainer = sign_in(people.trainer)
    page = trainer.get(f"/regrade/{QUESTION}?version=1&how=corrected")
    form = page.soup.select_one("form[method=post][action*=regrade]")
    fields = {one["name"]: one.get("value", "") for one in form.select("input[name]")}
    acts.sit(people.second, acts.assign(people.second, [QUESTION, "rocking-stack"]))
    again = trainer.post(f"/regrade/{QUESTION}", {**fields, "reason": "The key was wrong."})
    assert again.status == 200 and "Nothing was stored; look at the list again." in again.text
    assert "2 papers would change." in again.text and "The key was wrong." in again.text
    form = again.soup.select_one("form[method=post][action*=regrade]")
    fields = {one["name"]: one.get("value", "") for one in form.select("input[name]")}
    done = trainer.post(f"/regrade/{QUESTION}", {**fields, "reason": "The key was wrong."})
    assert done.status == 303


@pytest.mark.parametrize("address", ["/regrade/nothing", f"/regrade/{QUESTION}"])
def test_a_question_that_stands_on_no_paper_is_no_page(people: Any, sign_in: Any, address: str) -> None:
    assert sign_in(people.trainer).get(address).status == 404


@pytest.mark.parametrize(
    "query", ["version=9&how=corrected", "version=1&how=nothing", "how=corrected&version=x"]
)
def test_a_choice_that_is_none_is_asked_again(acts: Any, people: Any, sign_in: Any, query: str) -> None:
    acts.sit(people.apprentice, acts.assign(people.apprentice, [QUESTION]))
    page = sign_in(people.trainer).get(f"/regrade/{QUESTION}?{query}")
    assert (
        page.status == 200
        and "Please check this" in page.text
        and "would change" not in page.text.replace("Show what would change", "")
    )


def test_a_paper_is_sent_back_and_the_person_reads_why(acts: Any, people: Any, sign_in: Any) -> None:
    paper = acts.assign(people.apprentice, [QUESTION, "rocking-stack"])
    acts.sit(people.apprentice, paper)
    trainer = sign_in(people.trainer)
    page = trainer.get(f"/review/{paper}")
    assert page.soup.select_one("[accesskey=n]") is not None
    assert "took 0 s" in page.text or "took" in page.text
    empty = trainer.post(f"/review/{paper}/send-back", {"again_reason": " "})
    assert empty.status == 200 and "Fill this in." in empty.text
    done = trainer.post(f"/review/{paper}/send-back", {"again_reason": "The steps were guessed."})
    assert done.status == 303 and "has a new paper, and is told why." in trainer.get(done.location).text
    assert "Sent back to be done again: The steps were guessed." in trainer.get(f"/review/{paper}").text
    other = trainer.post(
        f"/review/{paper}/send-back", {"again_reason": "Done in a hurry."}
    )  # from another window
    assert other.status == 200 and "was sent back before; the reason given then stands" in other.text
    today = sign_in(people.apprentice).get("/today")
    assert "Sent back to be done again: The steps were guessed." in today.text
    new = today.soup.select_one("a[href*='/papers/']")["href"]
    assert "The steps were guessed." in sign_in(people.apprentice).get(str(new)).text
