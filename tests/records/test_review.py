"""Reviewing: comments, grade changes that keep the first grade, the queue; never one's own paper."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import queries, review


@pytest.fixture
def closed(shop: Any, shop_people: Any) -> int:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    shop.answer_all(shop_people.apprentice, paper, right=False)
    return int(paper)


def change(
    shop: Any, who: Any, paper: int, credit: float = 1.0, reason: str = "read the tape right", **more: Any
) -> None:
    with shop.store.write() as session:
        review.change_grade(
            session,
            who,
            shop.now,
            paper_id=paper,
            position=more.pop("position", 1),
            credit=credit,
            reason=reason,
            **more,
        )


def test_a_changed_grade_holds_and_the_first_stays_on_record(
    shop: Any, shop_people: Any, closed: int
) -> None:
    change(shop, shop_people.trainer, closed)
    change(shop, shop_people.owner, closed, credit=0.5, reason="half of it")
    with shop.store.read() as session:
        view = queries.paper(session, shop_people.apprentice, closed)
    one = view.questions[0]
    assert one.answer is not None and (one.answer.credit, one.answer.right) == (0.0, False)
    assert (one.credit, one.right) == (0.5, False)
    assert [(c.before, c.after, c.by) for c in one.changes] == [
        (0.0, 1.0, "Theo Tran"),
        (1.0, 0.5, "Olive Ortega"),
    ]
    assert view.row.percent == 25


def test_changes_can_make_a_paper_pass(shop: Any, shop_people: Any, closed: int) -> None:
    for position in (1, 2):
        change(shop, shop_people.trainer, closed, position=position)
    with shop.store.read() as session:
        row = queries.paper(session, shop_people.trainer, closed).row
    assert (row.percent, row.passed) == (100, True)


def test_a_wrong_must_pass_question_fails_the_paper_at_any_mark(shop: Any, shop_people: Any) -> None:
    paper = shop.assign(
        shop_people.trainer, shop_people.other, questions=tuple(shop.bank), pass_mark=50
    ).papers[0]
    for position, expected in enumerate(shop.expected(shop_people.trainer, paper), start=1):
        shop.answer(shop_people.other, paper, position, str(expected + (5 if position == 1 else 0)))
    with shop.store.read() as session:
        row = queries.paper(session, shop_people.trainer, paper).row
    assert (row.percent, row.passed) == (87, False)
    change(shop, shop_people.trainer, paper)
    with shop.store.read() as session:
        assert queries.paper(session, shop_people.trainer, paper).row.passed


@pytest.mark.parametrize(
    ("credit", "reason", "sentence"),
    [
        (1.0, "  ", "reason is missing"),
        (1.5, "why", "goes from 0 to 1"),
        (-0.1, "why", "goes from 0 to 1"),
        (float("nan"), "why", "goes from 0 to 1"),
        (0.0, "why", "that already"),
    ],
)
def test_refused_changes(
    shop: Any, shop_people: Any, closed: int, credit: float, reason: str, sentence: str
) -> None:
    with pytest.raises(Refusal, match=sentence):
        change(shop, shop_people.trainer, closed, credit=credit, reason=reason)


def test_nobody_grades_or_reviews_themselves_or_as_an_apprentice(
    shop: Any, shop_people: Any, closed: int
) -> None:
    own = shop.assign(shop_people.owner, shop_people.trainer).papers[0]
    shop.answer_all(shop_people.trainer, own)
    for who, paper in (
        (shop_people.trainer, own),
        (shop_people.apprentice, closed),
        (shop_people.other, closed),
    ):
        with pytest.raises(NotAllowed):
            change(shop, who, paper)
        with pytest.raises(NotAllowed), shop.store.write() as session:
            review.finish(session, who, shop.now, paper)
    with shop.store.read() as session:
        waiting = [row.id for row in queries.for_review(session, shop_people.trainer).items]
        assert waiting == [closed]
        assert queries.counts(session, shop_people.trainer) == queries.Counts(1, 0)


def test_a_paper_still_out_is_not_graded(shop: Any, shop_people: Any) -> None:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    with pytest.raises(Refusal, match="not handed in"):
        change(shop, shop_people.trainer, paper)
    with pytest.raises(UnknownName):
        change(shop, shop_people.trainer, 999)
    shop.answer_all(shop_people.apprentice, paper)
    with pytest.raises(UnknownName, match="no question 9"):
        change(shop, shop_people.trainer, paper, position=9)


def test_the_same_form_changes_a_grade_once(shop: Any, shop_people: Any, closed: int) -> None:
    for _ in range(2):
        change(shop, shop_people.trainer, closed, token="form")
    with shop.store.read() as session:
        assert len(queries.paper(session, shop_people.trainer, closed).questions[0].changes) == 1


def test_comments_by_a_reviewer_and_by_the_person_once_each(shop: Any, shop_people: Any, closed: int) -> None:
    def say(who: Any, text: str, position: int | None, token: str) -> None:
        with shop.store.write() as session:
            review.comment(session, who, shop.now, paper_id=closed, position=position, text=text, token=token)

    say(shop_people.trainer, "Mind the overhang.", 2, "a")
    say(shop_people.trainer, "Mind the overhang.", 2, "a")
    say(shop_people.apprentice, "Both sides, yes.", None, "b")
    with pytest.raises(NotAllowed):
        say(shop_people.other, "Hello.", None, "c")
    with pytest.raises(UnknownName):
        say(shop_people.trainer, "Hello.", 9, "d")
    with pytest.raises(Refusal, match="comment is missing"):
        say(shop_people.trainer, " ", None, "e")
    with shop.store.read() as session:
        view = queries.paper(session, shop_people.apprentice, closed)
    assert [(c.by, c.text) for c in view.questions[1].comments] == [("Theo Tran", "Mind the overhang.")]
    assert [(c.by, c.text) for c in view.comments] == [("Ana Abel", "Both sides, yes.")]


def test_the_queue_is_oldest_first_and_a_reviewed_paper_leaves_it(shop: Any, shop_people: Any) -> None:
    papers = shop.assign(shop_people.trainer, shop_people.apprentice, shop_people.other).papers
    start = shop.now
    for late, (who, paper) in enumerate(
        [(shop_people.other, papers[1]), (shop_people.apprentice, papers[0])]
    ):
        shop.now = start + timedelta(minutes=late)
        shop.answer_all(who, paper)
    with shop.store.read() as session:
        assert [row.id for row in queries.for_review(session, shop_people.trainer).items] == [
            papers[1],
            papers[0],
        ]
        assert queries.paper(session, shop_people.trainer, papers[1]).next_waiting == papers[0]
    for _ in range(2):
        with shop.store.write() as session:
            review.finish(session, shop_people.trainer, shop.now, papers[1])
    with shop.store.read() as session:
        assert [row.id for row in queries.for_review(session, shop_people.trainer).items] == [papers[0]]
        assert queries.paper(session, shop_people.trainer, papers[0]).next_waiting is None
