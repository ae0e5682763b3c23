"""Hints on a paper: opened once and in order, told in the history, paid for in the grade."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.languages import Text
from trainer.records import hints, history, papers, queries
from trainer.records.models import Event, HintOpening
from trainer.records.papers import left_after

LADDER = ("Which side is up?", "The upper one.")


def hint(_draw: Any, number: int) -> Text | None:
    return Text(LADDER[number - 1], f"es {number}") if 1 <= number <= len(LADDER) else None


def open_hint(shop: Any, who: Any, paper: int, position: int, number: int, **more: Any) -> None:
    with shop.store.write() as session:
        hints.open_hint(
            session, who, shop.now, paper_id=paper, position=position, number=number, hint=hint, **more
        )


def opened(shop: Any) -> list[tuple[int, str]]:
    with shop.store.read() as session:
        return [
            (one.number, one.text) for one in session.scalars(select(HintOpening).order_by(HintOpening.id))
        ]


@pytest.fixture
def paper(shop: Any, shop_people: Any) -> int:
    """A paper on which a hint costs a fifth; its third question must be right."""
    asked = ("ladder-0", "ladder-1", "slope-0")
    return shop.assign(shop_people.trainer, shop_people.apprentice, questions=asked, hint_cost=20).papers[0]


def events(shop: Any, kind: str) -> list[Any]:
    with shop.store.read() as session:
        return list(session.scalars(select(Event).where(Event.kind == kind)))


def test_a_hint_is_stored_and_told_once_in_the_persons_language(
    shop: Any, shop_people: Any, paper: int
) -> None:
    ana = shop_people.apprentice
    for _ in range(3):
        open_hint(shop, ana, paper, 1, 1, language="es")
        shop.now += timedelta(minutes=1)
    assert opened(shop) == [(1, "es 1")]
    (event,) = events(shop, "hint opened")
    assert event.facts == {"paper": paper, "position": 1, "hint": 1, "text": "es 1", "hint_cost": 20}
    assert (event.actor_id, event.person_id) == (ana.id, ana.id)
    assert len(events(shop, "paper opened")) == 1
    with shop.store.read() as session:
        assert history.verify(session).ok
        view = queries.paper(session, ana, paper)
    assert [(one.number, one.text) for one in view.questions[0].hints] == [(1, "es 1")]
    assert (view.row.hint_cost, view.row.hints) == (20, 1)


@pytest.mark.parametrize(("many", "credit"), [(0, 1.0), (1, 0.8), (2, 0.6)])
def test_the_grade_pays_for_every_hint(
    shop: Any, shop_people: Any, paper: int, many: int, credit: float
) -> None:
    ana = shop_people.apprentice
    for number in range(1, many + 1):
        open_hint(shop, ana, paper, 1, number)
    right, other, must = shop.expected(ana, paper)
    given = shop.answer(ana, paper, 1, str(right))
    assert given.right and given.credit == pytest.approx(credit)
    assert shop.answer(ana, paper, 2, str(other)).credit == 1.0  # another question pays nothing
    shop.answer(ana, paper, 3, str(must))
    with shop.store.read() as session:
        row = queries.paper(session, ana, paper).row
        assert history.verify(session).ok
    assert row.percent == int(100 * (credit + 2) / 3 + 1e-9) and row.passed is (credit > 0.4)


def test_a_wrong_answer_loses_no_more_than_it_has(shop: Any, shop_people: Any, paper: int) -> None:
    ana = shop_people.apprentice
    open_hint(shop, ana, paper, 1, 1)
    given = shop.answer(ana, paper, 1, str(shop.expected(ana, paper)[0] + 5))
    assert (given.right, given.credit) == (False, 0.0)


def test_the_share_that_is_left() -> None:
    assert [left_after(cost, opened) for cost, opened in ((None, 2), (0, 3), (20, 0), (50, 3))] == [
        1,
        1,
        1,
        0,
    ]


def test_what_cannot_be_opened_is_refused_and_leaves_nothing(shop: Any, shop_people: Any, paper: int) -> None:
    ana, trainer = shop_people.apprentice, shop_people.trainer
    shut = shop.assign(trainer, ana).papers[0]

    def refused(kind: type[Exception], words: str, who: Any, *where: int) -> None:
        with pytest.raises(kind, match=words):
            open_hint(shop, who, *where)

    refused(Refusal, "Open hint 1 first", ana, paper, 1, 2)
    refused(Refusal, "must be right has no hints", ana, paper, 3, 1)
    refused(Refusal, "gives no hints", ana, shut, 1, 1)
    refused(NotAllowed, "someone else's", trainer, paper, 1, 1)
    for where in ((paper, 1, 0), (paper, 1, 3), (paper, 9, 1), (99, 1, 1)):
        refused(UnknownName, "There is no such", ana, *where)
    shop.answer(ana, paper, 1, "1")
    refused(Refusal, "is answered", ana, paper, 1, 1)
    with shop.store.write() as session:
        papers.hand_in(session, ana, shop.now, paper)
    refused(Refusal, "closed", ana, paper, 2, 1)
    assert opened(shop) == [] and events(shop, "hint opened") == []


def test_a_hint_opened_before_is_confirmed_when_the_question_is_answered(
    shop: Any, shop_people: Any, paper: int
) -> None:
    ana = shop_people.apprentice
    open_hint(shop, ana, paper, 1, 1)
    shop.answer(ana, paper, 1, "1")
    open_hint(shop, ana, paper, 1, 1)  # the button pressed twice, the second late
    assert len(opened(shop)) == 1


def test_a_double_tap_pays_once(shop: Any, shop_people: Any, paper: int) -> None:
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda _: open_hint(shop, shop_people.apprentice, paper, 1, 1), range(4)))
    assert opened(shop) == [(1, LADDER[0])] and len(events(shop, "hint opened")) == 1


@pytest.mark.parametrize("cost", [-1, 101])
def test_a_price_that_cannot_be_is_refused(shop: Any, shop_people: Any, cost: int) -> None:
    with pytest.raises(Refusal, match="A hint cannot cost"):
        shop.assign(shop_people.trainer, shop_people.apprentice, hint_cost=cost)
