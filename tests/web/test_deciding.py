"""A quiz that decides early, from the form to its end."""

from __future__ import annotations

import pytest

from tests.shipped import shipped_bank

BANK = shipped_bank()


@pytest.mark.parametrize(
    ("language", "sentence"),
    [
        ("en", "A quiz that decides early gives no hints; choose one or the other."),
        ("es", "Un examen que decide pronto no da pistas; elija una cosa o la otra."),
    ],
)
def test_hints_and_deciding_early_do_not_go_together(sign_in, people, language, sentence):
    chosen = [one.id for one in BANK.questions.values() if one.kind == "choose"][:16]
    page = sign_in(people.trainer, language).submit(
        "/assign/new",
        {
            "title": "Both", "people": [str(people.apprentice.id)], "questions": chosen, "pass_mark": "80",
            "decide": "y", "hints": "25", "numbers": "own", "weakest": "0", "due_day": "", "due_time": "17:00",
        },
    )  # fmt: skip
    assert page.path == "/assign/new" and sentence in page.text
    # Nothing that was typed or chosen is lost.
    kept = [box["value"] for box in page.soup.select('input[name="questions"][checked]')]
    assert sorted(kept) == sorted(chosen) and page.soup.select_one('input[name="decide"][checked]')
    assert page.soup.select_one('select[name="hints"] option[selected]')["value"] == "25"


def test_assigned_sat_and_over(sign_in, people, acts):
    trainer = sign_in(people.trainer)
    chosen = [one.id for one in BANK.questions.values() if one.kind == "choose"][:16]
    page = trainer.submit(
        "/assign/new",
        {
            "title": "Clear or not", "people": [str(people.apprentice.id)], "questions": chosen,
            "pass_mark": "80", "decide": "y", "numbers": "own", "weakest": "0", "due_day": "", "due_time": "17:00",
        },
    )  # fmt: skip
    assert page.path == "/assign/1", page.errors
    assert "at most 16, decides early" in page.text and "How this quiz decides" in page.text
    hire = sign_in(people.apprentice)
    assert "ends as soon as your answers are enough" in hire.get("/papers/1").text
    hire.post("/papers/1/start")
    # Another question than the next cannot be picked.
    assert hire.get("/papers/1/5").path == "/papers/1/1"
    drawn = acts.draws(people.apprentice, 1)
    for position, question in enumerate(drawn, start=1):
        page = hire.submit(f"/papers/1/{position}", {"answer": acts.right(question)})
        if page.path == "/papers/1":
            break
    assert position == 12 or len({skill for one in drawn for skill in one.skills}) > 12
    assert "Your answers are enough: the paper is over and handed in." in page.text
    assert "clearly above the mark. It is over." in page.text and "passed" in page.text
    assert "clearly above the mark" in trainer.get("/review/1").text
