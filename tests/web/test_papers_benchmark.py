"""The pages about papers in a shop of ten thousand of them: `pytest -m benchmark -n0 -s tests/web/test_papers_benchmark.py`

Times are processor time of the one request in this process, which other work on the machine does not lengthen.
"""

from __future__ import annotations

import itertools
import json
import random
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import insert

from trainer.questions import draw
from trainer.records.models import Answer, Paper, PaperQuestion, Person, PersonRole, Quiz
from trainer.records.paper_sheets import sheet_of

pytestmark = [pytest.mark.benchmark, pytest.mark.usefixtures("as_served")]

MOST = 0.3  # [s]
PEOPLE, QUESTIONS, WAITING = 50, 5, 500
SIZES = (1_000, 10_000)  # papers
FIRST = 1001  # the first number of those who are added
ASKED = "rocking-stack"
PAGES = (
    "/review", "/review/1", "/assign", "/assign/1", "/assign/new", "/figures", f"/figures/{ASKED}",
    "/skills", f"/skills/{FIRST}", "/people", f"/people/{FIRST}", f"/record/{FIRST}", "/regrade", f"/regrade/{ASKED}",
    f"/regrade/{ASKED}?version=1&how=full", "/board", "/today", "/skills/mine", "/exports", "/history",
)  # fmt: skip

# Opened by these, the rest by the trainer.
OTHERS = {"owner": ("/people", "/history", "/board", "/exports"), "apprentice": ("/today", "/skills/mine")}


def fill(store: Any, people: Any, bank: Any, now: datetime, number: int) -> None:
    """So many papers of `PEOPLE` people, all handed in, the last `WAITING` not reviewed. The shop has none before."""
    chance = random.Random(1926)
    chosen = [bank.questions[ASKED], *(one for one in bank.questions.values() if one.id != ASKED)]
    chosen = [one for one in chosen if one.kind in ("choose", "number")][:40]
    drawn = {one.id: [draw(one, seed) for seed in range(3)] for one in chosen}
    rows: dict[Any, list[dict[str, Any]]] = {
        model: [] for model in (Person, PersonRole, Quiz, Paper, PaperQuestion, Answer)
    }
    everyone = [people.apprentice.id, *range(FIRST, FIRST + PEOPLE - 1)]
    for person in everyone[1:]:
        rows[Person].append(
            {"id": person, "name": f"Hand {person}", "sign_in": f"hand{person}", "language": "en",
             "session_stamp": f"s{person}", "created_at": now - timedelta(days=900)}
        )  # fmt: skip
        rows[PersonRole].append({"person_id": person, "role": "apprentice"})
    ids = itertools.count(1)
    for quiz in range(1, number // PEOPLE + 1):
        closed = now - timedelta(days=800) + timedelta(days=800) * quiz * PEOPLE / (number + PEOPLE)
        asked = [chosen[0], *chance.sample(chosen[1:], QUESTIONS - 1)]
        rows[Quiz].append(
            {"id": quiz, "title": f"Quiz {quiz}", "pass_mark": 80, "due": None, "by_id": people.trainer.id, "at": closed,
             "spec": {"questions": [one.id for one in asked], "skills": {}, "same_numbers": False, "weakest": 0, "seed": 1, "asked": [one.id for one in asked]}, "form_token": f"q{quiz}"}
        )  # fmt: skip
        for place, person in enumerate(everyone, start=1):
            paper, sheet = (quiz - 1) * PEOPLE + place, []
            for position, one in enumerate(asked, start=1):
                frozen, row, right = chance.choice(drawn[one.id]), next(ids), chance.random() < 0.8
                rows[PaperQuestion].append(
                    {"id": row, "paper_id": paper, "position": position, "question": one.id, "version": one.version,
                     "hash": one.hash, "seed": 1, "skills": list(one.skills), "must_pass": one.must_pass,
                     "draw": frozen.to_json()}
                )  # fmt: skip
                rows[Answer].append(
                    {"paper_question_id": row, "typed": frozen.answer("en") if right else "1", "shown": "1",
                     "right": right, "credit": float(right), "at": closed, "form_token": f"a{row}"}
                )  # fmt: skip
                sheet.append((json.dumps(list(one.skills)), one.must_pass, one.id, "{}", float(right), right))
            reviewed = None if paper > number - WAITING else closed
            rows[Paper].append(
                {"id": paper, "quiz_id": quiz, "person_id": person, "opened_at": closed - timedelta(minutes=9),
                 "closed_at": closed, "closed_how": "all answered", "sheet": sheet_of(sheet), "reviewed_at": reviewed,
                 "reviewed_by_id": reviewed and people.trainer.id}
            )  # fmt: skip
    with store.write() as session:
        for model, values in rows.items():
            for start in range(0, len(values), 5000):
                session.execute(insert(model), values[start : start + 5000])


def empty(store: Any) -> None:
    with store.engine.begin() as connection:
        for table in ("answer", "paper_question", "paper", "quiz"):
            connection.exec_driver_sql(f"DELETE FROM {table}")
        connection.exec_driver_sql(f"DELETE FROM person_role WHERE person_id >= {FIRST}")
        connection.exec_driver_sql(f"DELETE FROM person WHERE id >= {FIRST}")


def took(get: Callable[[], Any]) -> float:
    """The median processor time of one request [s]."""
    times = []
    for _ in range(4):
        started = time.process_time()
        answer = get()
        times.append(time.process_time() - started)
        assert answer.status_code == 200, answer.request.path
    return sorted(times[1:])[1]  # the first of them compiles the page


def test_every_page_at_ten_thousand_papers(
    store: Any, people: Any, clock: Any, content: Any, sign_in: Any, count_statements: Any, capsys: Any
) -> None:
    clients = {role: sign_in(getattr(people, role)).client for role in ("trainer", "owner", "apprentice")}
    times: dict[str, list[float]] = {page: [] for page in PAGES}
    statements: dict[str, list[int]] = {page: [] for page in PAGES}
    for size in SIZES:
        empty(store)
        fill(store, people, content.bank, clock.now, size)
        for page in PAGES:
            client = clients[
                next((role for role, pages in OTHERS.items() if page.startswith(pages)), "trainer")
            ]
            times[page].append(took(lambda page=page, client=client: client.get(page)))
            with count_statements() as sent:
                client.get(page)
            statements[page].append(len(sent))
    with capsys.disabled():
        print(f"\n{'papers':<40}" + "".join(f"{size:>16,}" for size in SIZES))
        for page in PAGES:
            told = zip(times[page], statements[page], strict=True)
            print(f"{page:<40}" + "".join(f"{second * 1000:>9.0f} ms {sent:>3}" for second, sent in told))
    assert {page: sent for page, sent in statements.items() if len(set(sent)) > 1} == {}
    assert {page: seconds for page, seconds in times.items() if seconds[-1] > MOST} == {}
