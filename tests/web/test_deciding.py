"""A quiz that decides early, from the form to its end."""

from __future__ import annotations

from trainer.questions import load_bank

BANK = load_bank()


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
