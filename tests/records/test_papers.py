"""Answering: stored once and durably, final, on one's own open paper only."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select

from trainer.errors import NotAllowed, Refusal, UnknownName, Unreadable
from trainer.records import history, papers, queries
from trainer.records.models import Answer, Paper
from trainer.records.store import TEST_COST, open_store


@pytest.fixture
def paper(shop: Any, shop_people: Any) -> int:
    return int(shop.assign(shop_people.trainer, shop_people.apprentice).papers[0])


def answers(shop: Any) -> int:
    with shop.store.read() as session:
        return session.scalar(select(func.count(Answer.id))) or 0


def test_an_answer_is_kept_as_given_and_graded(shop: Any, shop_people: Any) -> None:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice, seed=5).papers[0]
    expected = shop.expected(shop_people.trainer, paper)[0]
    assert expected > 1
    given = shop.answer(shop_people.apprentice, paper, 1, f" {expected - 1} ")
    assert (given.typed, given.shown) == (f" {expected - 1} ", f"{expected - 1} in")
    assert (given.right, given.credit, given.slip) == (False, 0.0, "one-short")
    assert (given.repeated, given.closed, given.left, given.at) == (False, False, 1, shop.now)


def test_it_is_committed_before_the_block_is_left(
    shop: Any, shop_people: Any, paper: int, store_path: Path, plain_grade: Any
) -> None:
    with shop.store.write() as session:
        papers.answer(
            session,
            shop_people.apprentice,
            shop.now,
            paper_id=paper,
            position=1,
            typed="1",
            token="t",
            grade=plain_grade,
        )
        other = open_store(store_path, password_cost=TEST_COST)
        with other.read() as seen:
            assert seen.scalar(select(func.count(Answer.id))) == 1
        other.close()


def test_the_same_form_twice_is_stored_once(shop: Any, shop_people: Any, paper: int) -> None:
    first = shop.answer(shop_people.apprentice, paper, 1, "1", token="form")
    again = shop.answer(shop_people.apprentice, paper, 1, "1", token="form")
    assert (again.repeated, first.repeated, again.at, answers(shop)) == (True, False, first.at, 1)


def test_a_repeat_of_the_last_answer_after_the_paper_closed_is_no_error(
    shop: Any, shop_people: Any, paper: int
) -> None:
    shop.answer(shop_people.apprentice, paper, 1, "1")
    last = shop.answer(shop_people.apprentice, paper, 2, "1", token="last")
    assert (last.closed, last.left) == (True, 0)
    assert shop.answer(shop_people.apprentice, paper, 2, "1", token="last").repeated


def test_a_second_browser_does_not_overwrite(shop: Any, shop_people: Any, paper: int) -> None:
    shop.answer(shop_people.apprentice, paper, 1, "7")
    with pytest.raises(Refusal, match="answered already: 7 in stands"):
        shop.answer(shop_people.apprentice, paper, 1, "8")
    assert answers(shop) == 1


def test_a_form_of_another_question_is_refused(shop: Any, shop_people: Any, paper: int) -> None:
    shop.answer(shop_people.apprentice, paper, 1, "7", token="form")
    with pytest.raises(Refusal, match="another question"):
        shop.answer(shop_people.apprentice, paper, 2, "7", token="form")


def test_what_cannot_be_read_is_not_stored(shop: Any, shop_people: Any, paper: int) -> None:
    for typed in ("four", "", "x" * 501):
        with pytest.raises(Refusal):
            shop.answer(shop_people.apprentice, paper, 1, typed)
    with pytest.raises(Unreadable):
        shop.answer(shop_people.apprentice, paper, 1, "four")
    assert answers(shop) == 0
    with shop.store.read() as session:
        assert session.get_one(Paper, paper).opened_at is None


def test_only_ones_own_paper(shop: Any, shop_people: Any, paper: int) -> None:
    for who in (shop_people.other, shop_people.trainer, shop_people.owner):
        for act in (papers.open_paper, papers.hand_in):
            with pytest.raises(NotAllowed), shop.store.write() as session:
                act(session, who, shop.now, paper)
        with pytest.raises(NotAllowed):
            shop.answer(who, paper, 1, "1")
    assert answers(shop) == 0


def test_unknown_papers_and_questions(shop: Any, shop_people: Any, paper: int) -> None:
    with pytest.raises(UnknownName):
        shop.answer(shop_people.apprentice, 999, 1, "1")
    with pytest.raises(UnknownName, match="no question 3"):
        shop.answer(shop_people.apprentice, paper, 3, "1")


def test_opening_and_handing_in_are_noted_once(shop: Any, shop_people: Any, paper: int) -> None:
    for hours in (1, 2):
        with shop.store.write() as session:
            papers.open_paper(session, shop_people.apprentice, shop.now + timedelta(hours=hours), paper)
    shop.answer(shop_people.apprentice, paper, 2, "1")
    for hours in (3, 4):
        with shop.store.write() as session:
            papers.hand_in(session, shop_people.apprentice, shop.now + timedelta(hours=hours), paper)
    with pytest.raises(Refusal, match="closed"):
        shop.answer(shop_people.apprentice, paper, 1, "1")
    with shop.store.read() as session:
        row = queries.paper(session, shop_people.trainer, paper).row
    assert (row.opened_at, row.closed_at) == (shop.now + timedelta(hours=1), shop.now + timedelta(hours=3))
    assert (row.questions, row.answered) == (2, 1)


def test_an_answer_not_given_counts_as_not_right(shop: Any, shop_people: Any, paper: int) -> None:
    expected = shop.expected(shop_people.trainer, paper)
    shop.answer(shop_people.apprentice, paper, 1, str(expected[0]))
    with shop.store.write() as session:
        papers.hand_in(session, shop_people.apprentice, shop.now, paper)
    with shop.store.read() as session:
        row = queries.paper(session, shop_people.trainer, paper).row
    assert (row.percent, row.passed) == (50, False)


def test_killed_at_any_moment_every_confirmed_answer_is_there_once(
    shop: Any, shop_people: Any, store_path: Path, tmp_path: Path
) -> None:
    """A process that answers as fast as it can is killed; what it had confirmed is in the store, exactly once."""
    quizzes = [
        shop.assign(shop_people.trainer, shop_people.apprentice, questions=tuple(shop.bank))
        for _ in range(12)
    ]
    work = [(q.papers[0], position) for q in quizzes for position in range(1, len(shop.bank) + 1)]
    script = tmp_path / "answering.py"
    script.write_text(
        textwrap.dedent(
            f"""
            import sys
            from datetime import UTC, datetime
            from trainer.records import papers, people
            from trainer.questions import Grade
            from trainer.records.store import TEST_COST, open_store
            who = people.Actor({shop_people.apprentice.id}, "", "", "en", frozenset(["apprentice"]), "")
            store = open_store({str(store_path)!r}, password_cost=TEST_COST)
            for paper, position in {work!r}:
                token = f"{{paper}}-{{position}}"
                with store.write() as session:
                    try:
                        papers.answer(session, who, datetime.now(UTC), paper_id=paper, position=position, typed="1",
                                      token=token, grade=lambda draw, typed: Grade("right", 1.0, typed))
                    except papers.Refusal:
                        continue
                print(token, flush=True)
            """
        )
    )
    confirmed: set[str] = set()
    for run in range(4):
        with (tmp_path / f"out{run}").open("w+") as out:
            process = subprocess.Popen(
                [sys.executable, str(script)], stdout=out, cwd=Path.cwd(), env=_with_path()
            )
            deadline = time.monotonic() + 30
            while not (tmp_path / f"out{run}").stat().st_size and process.poll() is None:
                assert time.monotonic() < deadline
                time.sleep(0.01)
            time.sleep(0.02 + 0.03 * run)
            process.send_signal(signal.SIGKILL)
            process.wait()
        lines = (tmp_path / f"out{run}").read_text().splitlines(keepends=True)
        confirmed |= {line.strip() for line in lines if line.endswith("\n")}
    assert len(confirmed) > 4
    with shop.store.read() as session:
        stored = session.scalars(select(Answer.form_token)).all()
        assert len(stored) == len(set(stored))
        assert confirmed <= set(stored)
        assert history.verify(session).ok
        assert session.connection().exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"


def _with_path() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": os.pathsep.join([str(Path.cwd()), os.environ.get("PYTHONPATH", "")])}
