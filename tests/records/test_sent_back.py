"""A paper sent back: a new one with the same questions and other numbers, told why, and the queue goes on."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import history, queries, sent_back
from trainer.records.submissions import SentBefore


def send(
    shop: Any, who: Any, paper: int, draw: Any, reason: str = "the steps were guessed", **other: Any
) -> int:
    with shop.store.write() as session:
        return sent_back.send_back(
            session,
            who,
            shop.now,
            paper_id=paper,
            reason=reason,
            bank=other.pop("bank", shop.bank),
            draw=draw,
            **other,
        )


@pytest.fixture
def closed(shop: Any, shop_people: Any) -> int:
    paper = shop.assign(
        shop_people.owner, shop_people.apprentice, title="Ladders again", pass_mark=70
    ).papers[0]
    shop.answer_all(shop_people.apprentice, paper, right=False)
    return int(paper)


def test_the_person_gets_a_new_paper_and_is_told_why(
    shop: Any, shop_people: Any, closed: int, plain_draw: Any
) -> None:
    new = send(shop, shop_people.trainer, closed, plain_draw)
    with shop.store.read() as session:
        old, again = (queries.paper(session, shop_people.trainer, one) for one in (closed, new))
        home = queries.home(session, shop_people.apprentice, shop.now, shop.rules)
        waiting = queries.for_review(session, shop_people.owner).items
        assert history.verify(session).ok
    assert (again.row.title, again.row.pass_mark, again.row.due, again.row.answered) == (
        "Ladders again",
        70,
        None,
        0,
    )
    assert [one.question for one in again.questions] == [one.question for one in old.questions]
    assert [one.seed for one in again.questions] != [one.seed for one in old.questions]
    assert old.row.state == "reviewed" and old.row.percent == 0 and waiting == ()
    assert (home.again[new].reason, home.again[new].by) == ("the steps were guessed", "Theo Tran")
    assert [(one.paper_id, one.again_id) for one in old.again + again.again] == [(closed, new)] * 2


def test_sent_back_once(shop: Any, shop_people: Any, closed: int, plain_draw: Any) -> None:
    new = send(shop, shop_people.trainer, closed, plain_draw)
    assert send(shop, shop_people.trainer, closed, plain_draw) == new
    with pytest.raises(SentBefore):
        send(shop, shop_people.trainer, closed, plain_draw, reason="another")


def test_what_cannot_be_sent_back(shop: Any, shop_people: Any, closed: int, plain_draw: Any) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    out = shop.assign(trainer, ana).papers[0]
    with pytest.raises(Refusal, match="not handed in"):
        send(shop, trainer, out, plain_draw)
    with pytest.raises(Refusal, match="reason is missing"):
        send(shop, trainer, closed, plain_draw, reason=" ")
    with pytest.raises(NotAllowed):
        send(shop, ana, closed, plain_draw)
    with pytest.raises(UnknownName):
        send(shop, trainer, 99, plain_draw)
    with pytest.raises(Refusal, match="ladder-1 is no longer in the bank"):
        send(shop, trainer, closed, plain_draw, bank={"ladder-0": shop.bank["ladder-0"]})
    own = shop.assign(shop_people.owner, trainer).papers[0]
    shop.answer_all(trainer, own)
    with pytest.raises(NotAllowed):
        send(shop, trainer, own, plain_draw)


def test_the_next_paper_is_the_one_after_it_and_the_last_leads_to_the_first(
    shop: Any, shop_people: Any
) -> None:
    papers = []
    for _ in range(3):
        paper = shop.assign(shop_people.owner, shop_people.apprentice).papers[0]
        shop.answer_all(shop_people.apprentice, paper)
        shop.now += timedelta(minutes=1)
        papers.append(paper)
    with shop.store.read() as session:
        following = [queries.paper(session, shop_people.trainer, one).next_waiting for one in papers]
    assert following == [papers[1], papers[2], papers[0]]


def test_how_long_each_answer_took(shop: Any, shop_people: Any) -> None:
    from trainer.records import papers as sitting

    ana = shop_people.apprentice
    paper = shop.assign(shop_people.trainer, ana).papers[0]
    with shop.store.write() as session:
        sitting.open_paper(session, ana, shop.now, paper)
    for position, seconds in ((2, 40), (1, 95)):  # answered the second first
        shop.now += timedelta(seconds=seconds)
        shop.answer(ana, paper, position, "1")
    with shop.store.read() as session:
        view = queries.paper(session, shop_people.trainer, paper)
    assert {one.position: one.seconds for one in view.questions} == {2: 40, 1: 95}
