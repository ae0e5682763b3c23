"""A quiz that opens later: nothing is done to its papers before, by any path."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from trainer.clearance.words import clock
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import entering, hints, history, papers, queries


@pytest.fixture
def paper(shop: Any, shop_people: Any) -> int:
    done = shop.assign(
        shop_people.trainer,
        shop_people.apprentice,
        opens=shop.now + timedelta(hours=3),
        due=shop.now + timedelta(days=1),
        hint_cost=0,
    )
    return int(done.papers[0])


def acts(shop: Any, who: Any, plain_grade: Any) -> dict[str, Any]:
    """Everything that touches a paper, by name."""
    ana, trainer = who.apprentice, who.trainer
    return {
        "open": lambda session, paper: papers.open_paper(session, ana, shop.now, paper),
        "answer": lambda session, paper: papers.answer(
            session, ana, shop.now, paper_id=paper, position=1, typed="1", token=shop.token(), grade=plain_grade
        ),
        "hint": lambda session, paper: hints.open_hint(
            session, ana, shop.now, paper_id=paper, position=1, number=1, hint=lambda _draw, n: Text(f"{n}", "")
        ),
        "hand in": lambda session, paper: papers.hand_in(session, ana, shop.now, paper),
        "type in": lambda session, paper: entering.enter(
            session, trainer, shop.now, paper_id=paper, answers={1: "1"}, hand_in=True, token=shop.token(),
            grade=lambda draw, typed, _language: plain_grade(draw, typed),
        ),
    }  # fmt: skip


@pytest.mark.parametrize("name", ["open", "answer", "hint", "hand in", "type in"])
def test_nothing_is_done_before_it_opens_and_all_of_it_after(
    shop: Any, shop_people: Any, paper: int, plain_grade: Any, name: str
) -> None:
    act = acts(shop, shop_people, plain_grade)[name]
    with shop.store.read() as session:
        before = history.verify(session).rows
    shop.now += timedelta(hours=3) - timedelta(microseconds=1)
    with (
        pytest.raises(Refusal, match=r"This quiz opens on .*; it cannot be started before"),
        shop.store.write() as session,
    ):
        act(session, paper)
    with shop.store.read() as session:
        view = queries.paper(session, shop_people.apprentice, paper, shop.now)
        verified = history.verify(session)
    assert view.row.shut and view.row.opened_at is None and view.row.answered == 0
    assert verified.ok and verified.rows == before
    shop.now += timedelta(microseconds=1)  # at the very moment
    with shop.store.write() as session:
        act(session, paper)
    with shop.store.read() as session:
        view = queries.paper(session, shop_people.apprentice, paper, shop.now)
        assert history.verify(session).ok
    assert not view.row.shut and (view.row.opened_at or view.row.closed_at) == shop.now


def test_every_act_on_a_paper_is_tried() -> None:
    """So that the cases above leave nothing out: whatever notes an opening or closes a paper for someone."""
    from inspect import getmembers, isfunction, signature

    touching = {
        name
        for module in (papers, hints, entering)
        for name, one in getmembers(module, isfunction)
        if one.__module__ == module.__name__
        and not name.startswith("_")
        and "paper_id" in signature(one).parameters
    }
    assert touching == {
        "open_paper",
        "answer",
        "hand_in",
        "open_hint",
        "enter",
        "own_paper",
        "score_at_hand_in",
    }


def test_due_comes_after_opening(shop: Any, shop_people: Any) -> None:
    opens = shop.now + timedelta(days=2)
    for due in (opens, opens - timedelta(hours=1)):
        with pytest.raises(Refusal, match="due before it opens"):
            shop.assign(shop_people.trainer, shop_people.apprentice, opens=opens, due=due)
    shop.assign(shop_people.trainer, shop_people.apprentice, opens=opens, due=opens + timedelta(minutes=1))
    shop.assign(shop_people.trainer, shop_people.apprentice, opens=opens, due=None)


def test_what_opens_later_stands_last(shop: Any, shop_people: Any, paper: int) -> None:
    later = shop.assign(shop_people.trainer, shop_people.apprentice, due=None).papers[0]
    with shop.store.read() as session:
        home = queries.home(session, shop_people.apprentice, shop.now, shop.rules)
        after = queries.home(session, shop_people.apprentice, shop.now + timedelta(hours=3), shop.rules)
    assert [(row.id, row.shut) for row in home.due] == [(later, False), (paper, True)]
    assert [(row.id, row.shut) for row in after.due] == [(paper, False), (later, False)]


def test_the_days_and_the_digest_tell_it_until_it_opens(shop: Any, shop_people: Any, paper: int) -> None:
    def told(now: datetime) -> tuple[list[int], list[int]]:
        with shop.store.read() as session:
            days = queries.days(session, now, shop.rules)
            (own,) = [
                one
                for one in queries.digests(session, now, shop.rules)
                if one.person_id == shop_people.apprentice.id
            ]
        assert [one.paper_id for one in days.due] == [paper]
        return [one.paper_id for one in days.opening], [one.paper_id for one in own.own_opening]

    assert told(shop.now) == ([paper], [paper])
    assert told(shop.now + timedelta(hours=3)) == ([], [])


def test_a_moment_to_come_in_words() -> None:
    # 30 November 2026 is a Monday, 1 March 2028 a Wednesday (the calendar).
    assert clock(datetime(2026, 11, 30, 7, 0, tzinfo=UTC)) == Text(
        en="Mon 30 Nov, 7:00\u00a0AM", es="lun 30 nov, 7:00\u00a0a.\u00a0m."
    )
    assert clock(datetime(2028, 3, 1, 12, 5, tzinfo=UTC)).en == "Wed 1 Mar, 12:05\u00a0PM"
    assert clock(datetime(2028, 3, 1, 0, 30, tzinfo=UTC)).es == "mié 1 mar, 12:30\u00a0a.\u00a0m."
