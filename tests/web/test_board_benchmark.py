"""The board of a large shop: how long one request takes, and how that grows. `pytest -m benchmark -n0 -s tests/web`

Times are processor time of the one request in this process, which other work on the machine does not lengthen.
"""

from __future__ import annotations

import itertools
import json
import random
import time
from datetime import timedelta

import pytest
from sqlalchemy import insert

from trainer.records.models import (
    Answer,
    Certificate,
    Grant,
    LessonReading,
    Paper,
    PaperQuestion,
    Person,
    PersonRole,
    Quiz,
    SignOff,
)
from trainer.records.paper_sheets import sheet_of
from trainer.web.boards import MOST_ON_ROSTER
from trainer.web.content import CONTENT

pytestmark = [pytest.mark.benchmark, pytest.mark.usefixtures("as_served")]

MOST_AT_500 = 0.4  # [s]
MOST_STATEMENTS = 16
MOST_FOR_ROSTER = 10.0  # [s]
SIZES = (50, 500, 5000)
PAPER = 6  # questions


def fill(store, people, rules, now, number):
    """`number` more new hires, each with all that the clearances ask for, some of it too old or not passed."""
    chance = random.Random(1926)
    needs = [need for clearance in rules.clearances.values() for need in clearance.requires]
    lessons = sorted({need.lesson for need in needs if need.kind == "lesson"})
    quizzes = [need for need in needs if need.kind == "quiz"]
    tasks = sorted({need.task for need in needs if need.kind == "sign-off"})
    kinds = sorted({need.certificate for need in needs if need.kind == "certificate"})
    # A moment of its own for each act, in the hours of work.
    days = [
        now - timedelta(days=day, seconds=chance.randrange(6 * 3600)) for day in range(400) for _ in range(40)
    ]
    ids = range(1001, 1001 + number)
    count = itertools.count(1)
    rows = {
        model: []
        for model in (
            Person,
            PersonRole,
            Quiz,
            LessonReading,
            Paper,
            PaperQuestion,
            Answer,
            SignOff,
            Certificate,
            Grant,
        )
    }
    for place, _need in enumerate(quizzes, start=1):
        rows[Quiz].append(
            {"id": place, "title": f"Quiz {place}", "pass_mark": 80, "due": None, "spec": {},
             "by_id": people.trainer.id, "at": days[-1], "form_token": f"q{place}"}
        )  # fmt: skip
    for person in ids:
        rows[Person].append(
            {"id": person, "name": f"Hand {person}", "sign_in": f"hand{person}", "language": "en",
             "session_stamp": f"s{person}", "created_at": days[-1]}
        )  # fmt: skip
        rows[PersonRole].append({"person_id": person, "role": "apprentice"})
        for lesson in lessons:
            version = rules.lessons[lesson].version
            rows[LessonReading].append(
                {"person_id": person, "lesson": lesson, "version": version, "at": chance.choice(days)}
            )
        for place, need in enumerate(quizzes, start=1):
            paper, closed = next(count), chance.choice(days)
            sheet = []
            for position in range(1, PAPER + 1):
                question, name = next(count), f"quiz-{place}-question-{position}-of-{chance.randrange(4)}"
                rows[PaperQuestion].append(
                    {"id": question, "paper_id": paper, "position": position, "question": name, "version": 1,
                     "hash": "h", "seed": 1, "skills": list(need.skills), "must_pass": position <= 2,
                     "draw": {}}
                )  # fmt: skip
                right = chance.random() < 0.97
                rows[Answer].append(
                    {"paper_question_id": question, "typed": "1", "shown": "1", "right": right,
                     "credit": float(right), "at": closed, "form_token": f"a{question}"}
                )  # fmt: skip
                sheet.append((json.dumps(list(need.skills)), position <= 2, "", "{}", float(right), right))
            rows[Paper].append(
                {"id": paper, "quiz_id": place, "person_id": person, "opened_at": closed, "closed_at": closed,
                 "closed_how": "all answered", "sheet": sheet_of(sheet)}
            )  # fmt: skip
        for task in tasks:
            for _ in range(2):
                passed = chance.random() < 0.95
                rows[SignOff].append(
                    {"task": task, "version": rules.tasks[task].version, "person_id": person,
                     "observer_id": people.trainer.id, "passed": passed, "sound": True, "criteria": [True], "fails": [],
                     "measures": {}, "notes": "", "at": chance.choice(days), "form_token": f"s{next(count)}"}
                )  # fmt: skip
        for kind in kinds:
            issued = chance.choice(days).date()
            rows[Certificate].append(
                {"kind": kind, "person_id": person, "issuer": "Millbrook College", "issued": issued,
                 "expires": issued + timedelta(days=365), "by_id": people.trainer.id, "at": now, "entered_on": issued,
                 "form_token": f"c{next(count)}"}
            )  # fmt: skip
        for clearance in rules.clearances.values():
            since = chance.choice(days).date()
            rows[Grant].append(
                {"clearance": clearance.id, "version": clearance.version, "person_id": person,
                 "by_id": people.owner.id, "since": since, "until": since + timedelta(days=365), "evidence": {}, "at": now}
            )  # fmt: skip
    with store.write() as session:
        for model, values in rows.items():
            for start in range(0, len(values), 5000):
                session.execute(insert(model), values[start : start + 5000])


def measured(app, sign_in, people, runs):
    """The median (processor time, time on the wall) of one request [s]."""
    browser = sign_in(people.owner)
    times, on_wall = [], []
    for _ in range(runs):
        started, began = time.process_time(), time.perf_counter()
        answer = browser.client.get("/board")
        times.append(time.process_time() - started)
        on_wall.append(time.perf_counter() - began)
        assert answer.status_code == 200
    return sorted(times)[runs // 2], sorted(on_wall)[runs // 2]


def test_a_page_of_the_board_takes_no_longer_in_a_large_shop(
    app, store, sign_in, people, clock, count_statements
):
    rules = app.extensions[CONTENT].rules
    taken = {}
    for size in SIZES:
        with store.engine.begin() as connection:
            for table in (
                "clearance_grant",
                "certificate",
                "sign_off",
                "answer",
                "paper_question",
                "paper",
                "quiz",
                "lesson_reading",
            ):
                connection.exec_driver_sql(f"DELETE FROM {table}")
            connection.exec_driver_sql("DELETE FROM person_role WHERE person_id > 1000")
            connection.exec_driver_sql("DELETE FROM person WHERE id > 1000")
        fill(store, people, rules, clock.now, size)
        taken[size], on_wall = measured(app, sign_in, people, runs=7 if size < 1000 else 3)
        print(
            f"\nboard, {size} people x {len(rules.clearances)} clearances: {taken[size] * 1000:.0f} ms, "
            f"{on_wall * 1000:.0f} on the wall"
        )
    for less, more in itertools.pairwise(SIZES):
        print(f"  {more} to {less} people: {taken[more] / taken[less]:.1f} times as long")
    browser = sign_in(people.owner)
    with count_statements() as statements:
        browser.client.get("/board")
    print(f"  {len(statements)} statements")
    assert len(statements) <= MOST_STATEMENTS, statements
    assert taken[500] < MOST_AT_500
    assert taken[5000] / taken[500] < 2, "a page of many people takes about as long as one of few"


def test_the_longest_roster_that_is_made(app, store, sign_in, people, clock):
    """Setting a cell on paper costs some milliseconds, whatever the style: 500 people would take a quarter of a minute."""
    fill(store, people, app.extensions[CONTENT].rules, clock.now, MOST_ON_ROSTER - 10)
    browser = sign_in(people.owner)
    browser.client.get("/board/roster.pdf?name=Luis")  # what prints is loaded
    started = time.process_time()
    answer = browser.client.get("/board/roster.pdf")
    taken = time.process_time() - started
    print(f"\nroster of {MOST_ON_ROSTER - 6} people: {taken:.1f} s, {len(answer.data) / 1000:.0f} kB")
    assert answer.status_code == 200 and taken < MOST_FOR_ROSTER
