"""A quiz on paper: each person's own numbers on a sheet, a key with the working, and answers typed in from it."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from trainer.questions import Draw
from trainer.records import history, queries

ASKED = ["crown-slab-length", "why-the-gap"]


def text(browser: Any, address: str) -> str:
    answer = browser.client.get(address)
    assert answer.status_code == 200 and answer.mimetype == "application/pdf", answer.status_code
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.data)).pages)


def code(browser: Any, paper: int) -> str:
    link = browser.get(f"/review/{paper}").soup.select_one("a[href^='/worksheets/']")
    return str(link["href"]).removeprefix("/worksheets/")


@pytest.fixture
def paper(acts: Any, people: Any) -> int:
    return int(acts.assign(people.apprentice, ASKED))


def test_the_sheet_asks_and_only_the_key_answers(people: Any, sign_in: Any, paper: int, store: Any) -> None:
    trainer = sign_in(people.trainer)
    with store.read() as session:
        asked, chosen = queries.paper(session, people.trainer, paper).questions
    right = f"{asked.draw['expected']:g}"
    option = next(one for one in Draw.from_json(chosen.draw).body.options if one.right)
    for size in ("letter", "A4"):
        sheet, key = (text(trainer, f"/worksheets/quiz/1{end}.pdf?paper={size}") for end in ("", "/key"))
        assert "Luis Barrera" in sheet and code(trainer, paper) in sheet and code(trainer, paper) in key
        assert "Key:" in key and "Key:" not in sheet
        assert f"{option.letter}. {option.text.en[:20]}" in key  # what is written on the sheet is a letter
        assert "=" in key and "L_c" not in sheet and right.split(".")[0] in key


def test_answers_are_read_back_first_and_kept_as_typed_in(
    acts: Any, people: Any, sign_in: Any, paper: int, store: Any, bank: Any
) -> None:
    trainer = sign_in(people.trainer)
    address = f"/worksheets/{code(trainer, paper)}"
    page = trainer.get(address)
    fields = {one["name"]: one.get("value", "") for one in page.soup.select("main form input[type=hidden]")}
    given = {**fields, "q1-answer": "1 in", "q2-answer": "A"}
    read = trainer.post(address, given)
    assert read.status == 200 and "Keep these answers" in read.text and "1 in" in read.text
    with store.read() as session:
        assert queries.paper(session, people.trainer, paper).row.answered == 0
    mark = read.soup.select_one("input[name=read]")["value"]
    changed = trainer.post(address, {**given, "read": mark, "q1-answer": "2 in"})
    assert changed.status == 200  # what was not read back is not kept
    done = trainer.post(address, {**given, "read": mark})
    assert done.status == 303 and "2 answers typed in." in trainer.get(done.location).text
    with store.read() as session:
        view = queries.paper(session, people.trainer, paper)
        events = [
            one for one in queries.history(session, people.owner).items if one.kind == "answer typed in"
        ]
        assert history.verify(session).ok
    assert view.row.state == "handed in" and [one.answer.typed for one in view.questions] == ["1 in", "A"]
    assert {(one.by, one.about) for one in events} == {("Tom Okafor", "Luis Barrera")}


def test_what_cannot_be_read_stores_nothing(people: Any, sign_in: Any, paper: int, store: Any) -> None:
    trainer = sign_in(people.trainer)
    address = f"/worksheets/{code(trainer, paper)}"
    page = trainer.post(address, {"q1-answer": "many", "q2-answer": "A"})
    assert page.status == 200 and "Read the answers" in page.text
    with store.read() as session:
        assert queries.paper(session, people.trainer, paper).row.answered == 0


def test_a_code_is_not_guessed_and_lets_no_new_hire_in(people: Any, sign_in: Any, paper: int) -> None:
    trainer = sign_in(people.trainer)
    good = code(trainer, paper)
    assert trainer.get(f"/worksheets/{paper}-AAAAAA").status == 404
    assert "No sheet has the code" in trainer.get("/worksheets?code=nothing").text
    found = trainer.get(f"/worksheets?code={good.lower()}")
    assert found.status in (200, 303)
    assert sign_in(people.apprentice).get(f"/worksheets/{good}").status == 403
    assert sign_in(people.apprentice).get("/worksheets/quiz/1.pdf").status == 403
