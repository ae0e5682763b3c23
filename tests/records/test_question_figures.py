"""Question figures from the store, against the same worked out by a statistics library from the acts themselves."""

from __future__ import annotations

import random
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from scipy.stats import pearsonr

from trainer.errors import NotAllowed
from trainer.records import people as records_people
from trainer.records import queries, quizzes, review
from trainer.records.people import Actor

ASKED = ("slope-0", "slope-1", "ladder-0", "ladder-1")


@pytest.fixture
def sat(shop: Any, shop_people: Any) -> np.ndarray:
    """Fourteen people sit one quiz; the marks as they were made: -1 one short (the known slip), 0 far off, 1 right."""
    source = random.Random(11)
    crew = [shop_people.apprentice, shop_people.other]
    with shop.store.write() as session:
        for number in range(12):
            added = records_people.add_person(
                session,
                shop_people.owner,
                shop.now,
                name=f"New {number}",
                sign_in=f"new{number}",
                roles=["apprentice"],
            )
            crew.append(
                Actor(added.person_id, f"New {number}", f"new{number}", "en", frozenset({"apprentice"}), "")
            )
    given = shop.assign(shop_people.trainer, *crew, questions=ASKED)
    marks = np.array([[source.choice([-1, 0, 1, 1]) for _ in ASKED] for _ in crew])
    for person, paper, row in zip(crew, given.papers, marks, strict=True):
        for position, (expected, mark) in enumerate(
            zip(shop.expected(person, paper), row, strict=True), start=1
        ):
            shop.now += timedelta(seconds=10 * position)
            shop.answer(person, paper, position, str(expected + {-1: -1, 0: 7, 1: 0}[int(mark)]))
    return marks


def test_figures_equal_the_library(shop: Any, shop_people: Any, sat: np.ndarray) -> None:
    right = (sat == 1).astype(float)
    with shop.store.read() as session:
        found = queries.question_figures(session, shop_people.trainer)
    assert set(found) == set(ASKED)
    for place, name in enumerate(ASKED):
        one, own = found[name], right[:, place]
        rest = (right.sum(axis=1) - own) / 3
        assert (one.drawn, one.answered, one.right) == (14, 14, int(own.sum()))
        assert one.slips == int((sat[:, place] == -1).sum())
        assert one.discrimination == pytest.approx(pearsonr(own, rest).statistic, abs=1e-9)


def test_a_changed_grade_counts_as_it_holds(shop: Any, shop_people: Any, sat: np.ndarray) -> None:
    wrong = int(np.flatnonzero(sat[:, 0] == 0)[0])
    with shop.store.write() as session:
        for credit in (0.5, 1.0):
            review.change_grade(
                session,
                shop_people.trainer,
                shop.now,
                paper_id=wrong + 1,
                position=1,
                credit=credit,
                reason="key",
            )
    with shop.store.read() as session:
        found = queries.question_figures(session, shop_people.trainer)["slope-0"]
        alone = queries.question_at_work(session, shop_people.trainer, "slope-0")
    assert found.right == int((sat[:, 0] == 1).sum()) + 1
    assert alone.figures == found
    assert len(alone.unexplained) == int((sat[:, 0] == 0).sum()) - 1


def test_one_question_at_work(shop: Any, shop_people: Any, sat: np.ndarray) -> None:
    with shop.store.read() as session:
        found = queries.question_at_work(session, shop_people.trainer, "ladder-0")
        never = queries.question_at_work(session, shop_people.trainer, "slope-4")
    assert found.slips == (("one-short", int((sat[:, 2] == -1).sum())),)
    assert {row.position for row in found.unexplained} == {3}
    # The third answer of every paper came 30 s after the second.
    assert (found.seconds, found.timed) == (30.0, 14)
    assert never.figures.drawn == 0 and never.figures.share is None and never.seconds is None


def test_reliability_of_a_quiz_equals_alpha_of_the_library(
    shop: Any, shop_people: Any, sat: np.ndarray
) -> None:
    right = (sat == 1).astype(float)
    covariance = np.cov(right.T)
    alpha = 4 / 3 * (1 - np.trace(covariance) / covariance.sum())
    few = shop.assign(shop_people.trainer, shop_people.apprentice).quiz_id
    with shop.store.read() as session:
        found = queries.reliability(session, shop_people.trainer, 1)
        assert queries.reliability(session, shop_people.trainer, few) is None
    assert found is not None and (found.papers, found.questions) == (14, 4)
    assert found.kr20 == pytest.approx(alpha, abs=1e-9)


def test_what_is_still_out_or_taken_back_says_nothing(shop: Any, shop_people: Any) -> None:
    out = shop.assign(shop_people.trainer, shop_people.apprentice)
    shop.answer(shop_people.apprentice, out.papers[0], 1, "99")
    with shop.store.read() as session:
        assert queries.question_figures(session, shop_people.trainer) == {}
    with shop.store.write() as session:
        quizzes.close(session, shop_people.trainer, shop.now, out.quiz_id)
    with shop.store.read() as session:
        assert queries.question_figures(session, shop_people.trainer) == {}
        assert queries.question_at_work(session, shop_people.trainer, "ladder-0").unexplained == ()
        with pytest.raises(NotAllowed):
            queries.question_figures(session, shop_people.apprentice)
        with pytest.raises(NotAllowed):
            queries.question_at_work(session, shop_people.apprentice, "ladder-0")
