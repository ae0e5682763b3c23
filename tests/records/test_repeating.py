"""Quizzes that come again each week: once a week, at the shop's own clock time, for whoever is there that day."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import select
from sqlalchemy.orm import selectinload

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.learning import Deciding
from trainer.records import crews, history, people, queries, repeating
from trainer.records.models import Event, Paper, PaperQuestion, Quiz, QuizRepeat
from trainer.records.submissions import SentBefore
from trainer.records.weekly import Weekly, moved

WEEK = timedelta(weeks=1)


@pytest.fixture
def making(shop: Any, plain_draw: Any) -> repeating.Making:
    return repeating.Making(
        shop.bank, plain_draw, {}, Deciding(margin=15, wrongly_above=0.05, wrongly_below=0.10), lambda *_: {}
    )


def set_up(
    shop: Any, by: Any, *who: Any, crews: tuple[int, ...] = (), until: date | None = None, **other: Any
) -> int:
    """A weekly quiz; returns the id of its first."""
    weekly = Weekly(crews, tuple(one.id for one in who), until)
    members = [other.pop("member")] if "member" in other else []
    terms = {"opens": shop.now + timedelta(days=1), "due": shop.now + timedelta(days=3), **other}
    return int(shop.assign(by, *who, *members, weekly=weekly, **terms).quiz_id)


def quizzes_of(shop: Any) -> list[Quiz]:
    with shop.store.read() as session:
        return list(session.scalars(select(Quiz).options(selectinload(Quiz.papers)).order_by(Quiz.id)))


def repeat_of(shop: Any, number: int = 1) -> QuizRepeat:
    with shop.store.read() as session:
        return session.get_one(QuizRepeat, number)


def sound(shop: Any) -> bool:
    with shop.store.read() as session:
        return history.verify(session).ok


def test_a_week_later_there_is_another_with_new_numbers_and_times_a_week_on(
    shop: Any, shop_people: Any, making: Any
) -> None:
    set_up(
        shop,
        shop_people.trainer,
        shop_people.apprentice,
        pass_mark=70,
        goes=2,
        wait_hours=4,
        must=("ladder-1",),
        hint_cost=10,
    )
    opens = shop.now + timedelta(days=1)
    assert repeat_of(shop).next_at == opens + WEEK
    assert repeating.make_due(shop.store, opens + WEEK - timedelta(seconds=1), making) == []
    (new,) = repeating.make_due(shop.store, opens + WEEK, making)
    first, second = quizzes_of(shop)
    assert second.id == new and (first.week, second.week) == (0, 1)
    same = ("title", "pass_mark", "goes", "wait_hours", "hint_cost", "by_id", "must")
    assert [getattr(first, name) for name in same] == [getattr(second, name) for name in same]
    assert (second.opens - first.opens, second.due - first.due) == (WEEK, WEEK)
    with shop.store.read() as session:
        seeds = [
            set(session.scalars(select(PaperQuestion.seed).join(Paper).where(Paper.quiz_id == quiz.id)))
            for quiz in (first, second)
        ]
        assert len(seeds[0]) == 2 and seeds[0].isdisjoint(seeds[1])
    assert repeat_of(shop).next_at == opens + 2 * WEEK and sound(shop)


def test_the_clock_time_stays_when_the_clocks_change(shop: Any, shop_people: Any, making: Any) -> None:
    """In Denver clocks go back on 1 November 2026 and forward on 14 March 2027 (IANA time zone database)."""
    zone = ZoneInfo("America/Denver")
    for opens, utc_hours in (
        (datetime(2026, 10, 26, 7, tzinfo=zone), (13, 14)),
        (datetime(2027, 3, 8, 7, tzinfo=zone), (14, 13)),
    ):
        shop.now = opens.astimezone(UTC) - timedelta(days=1)
        set_up(
            shop, shop_people.trainer, shop_people.apprentice, opens=opens, due=opens + timedelta(hours=10)
        )
        repeating.make_due(shop.store, opens.astimezone(UTC) + WEEK + timedelta(hours=1), making)
        every = quizzes_of(shop)
        first, second = (quiz for quiz in every if quiz.repeat_id == max(one.repeat_id for one in every))
        assert (first.opens.hour, second.opens.hour) == utc_hours
        for quiz, days in ((first, 0), (second, 7)):
            assert quiz.opens.astimezone(zone) == opens + timedelta(days=days)  # by the clock there
            assert quiz.due.astimezone(zone).time().hour == 17


def test_a_time_that_the_clocks_skip_comes_an_hour_late() -> None:
    zone = ZoneInfo("America/Denver")
    start = datetime(2027, 3, 7, 2, 30, tzinfo=zone)
    assert moved(start, 1, zone) == datetime(2027, 3, 14, 3, 30, tzinfo=zone)
    assert moved(start, 2, zone) == datetime(2027, 3, 21, 2, 30, tzinfo=zone)


def test_once_however_many_look_at_once_and_however_often(shop: Any, shop_people: Any, making: Any) -> None:
    for _ in range(3):
        set_up(shop, shop_people.trainer, shop_people.apprentice, shop_people.other)
    for week in (1, 2, 3):
        now = shop.now + timedelta(days=1) + week * WEEK
        with ThreadPoolExecutor(6) as pool:
            made = list(pool.map(lambda _, now=now: repeating.make_due(shop.store, now, making), range(6)))
        assert sum(map(len, made)) == 3
        assert repeating.make_due(shop.store, now + timedelta(hours=1), making) == []
    weeks = [(quiz.repeat_id, quiz.week) for quiz in quizzes_of(shop)]
    assert sorted(weeks) == [(repeat, week) for repeat in (1, 2, 3) for week in range(4)]
    assert sound(shop)


def test_the_store_itself_refuses_a_second_of_a_week(shop: Any, shop_people: Any, making: Any) -> None:
    from sqlalchemy.exc import IntegrityError

    set_up(shop, shop_people.trainer, shop_people.apprentice)
    with pytest.raises(IntegrityError), shop.store.write() as session:
        first = session.get_one(Quiz, 1)
        session.add(
            Quiz(
                title="x",
                pass_mark=80,
                spec=first.spec,
                by_id=first.by_id,
                at=shop.now,
                form_token="x",
                repeat_id=first.repeat_id,
                week=0,
            )
        )


def test_whoever_is_in_the_crew_that_day_and_active(shop: Any, shop_people: Any, making: Any) -> None:
    owner, trainer, ana, ben = (
        shop_people.owner,
        shop_people.trainer,
        shop_people.apprentice,
        shop_people.other,
    )
    with shop.store.write() as session:
        north = crews.make(session, trainer, shop.now, name="North", people=[ana.id, trainer.id])
    set_up(shop, trainer, crews=(north,), member=ana)

    def got(week: int) -> set[int]:
        repeating.make_due(shop.store, shop.now + timedelta(days=1) + week * WEEK, making)
        return {paper.person_id for paper in quizzes_of(shop)[-1].papers}

    assert got(1) == {ana.id}  # the trainer in the crew is no new hire
    with shop.store.write() as session:
        crews.change(session, trainer, shop.now, north, name="North", people=[ana.id, ben.id])
    assert got(2) == {ana.id, ben.id}
    with shop.store.write() as session:
        people.deactivate(session, owner, shop.now, ana.id)
    assert got(3) == {ben.id}
    with shop.store.write() as session:
        crews.change(session, trainer, shop.now, north, name="North", people=[])
    before = len(quizzes_of(shop))
    assert (
        got(4) == {ben.id} and len(quizzes_of(shop)) == before
    )  # nobody: none is made, and the page says so
    assert repeat_of(shop).trouble["en"].startswith("Nobody it is for is active")
    with shop.store.write() as session:
        people.reactivate(session, owner, shop.now, ana.id)
        crews.change(session, trainer, shop.now, north, name="North", people=[ana.id])
    assert got(5) == {ana.id} and repeat_of(shop).trouble is None
    assert sound(shop)


def test_until_its_last_day(shop: Any, shop_people: Any, making: Any) -> None:
    opens = shop.now + timedelta(days=1)
    zone = ZoneInfo("America/Denver")
    set_up(
        shop, shop_people.trainer, shop_people.apprentice, until=(opens + 2 * WEEK).astimezone(zone).date()
    )
    for week in range(1, 6):
        repeating.make_due(shop.store, opens + week * WEEK, making)
    assert [quiz.week for quiz in quizzes_of(shop)] == [0, 1, 2]
    assert repeat_of(shop).next_at is None
    with pytest.raises(Refusal, match="no second quiz would come"):
        set_up(
            shop, shop_people.trainer, shop_people.apprentice, until=(opens + WEEK).date() - timedelta(days=1)
        )


def test_stopped_with_one_act(shop: Any, shop_people: Any, making: Any) -> None:
    first = set_up(shop, shop_people.trainer, shop_people.apprentice)
    for _ in range(2):  # tapped twice
        with shop.store.write() as session:
            repeating.stop(session, shop_people.owner, shop.now, first)
    assert repeating.make_due(shop.store, shop.now + 5 * WEEK, making) == []
    with shop.store.read() as session:
        kinds = [
            event.kind for event in session.scalars(select(Event).where(Event.kind.like("weekly quiz%")))
        ]
    assert kinds == ["weekly quiz set up", "weekly quiz stopped"] and sound(shop)
    with pytest.raises(NotAllowed), shop.store.write() as session:
        repeating.stop(session, shop_people.apprentice, shop.now, first)
    plain = shop.assign(shop_people.trainer, shop_people.apprentice).quiz_id
    for quiz in (plain, 99):
        with pytest.raises(UnknownName), shop.store.write() as session:
            repeating.stop(session, shop_people.trainer, shop.now, quiz)


def test_weeks_in_which_nothing_ran_are_left_out(shop: Any, shop_people: Any, making: Any) -> None:
    set_up(shop, shop_people.trainer, shop_people.apprentice)  # opens after one day, due after three
    opens = shop.now + timedelta(days=1)
    late = opens + 4 * WEEK + timedelta(days=1)
    assert len(repeating.make_due(shop.store, late, making)) == 1
    assert [quiz.week for quiz in quizzes_of(shop)] == [0, 4]
    overdue = opens + 6 * WEEK + timedelta(days=2)  # its due time is now
    assert repeating.make_due(shop.store, overdue, making) == []
    assert repeat_of(shop).next_at == opens + 7 * WEEK
    assert len(repeating.make_due(shop.store, opens + 7 * WEEK, making)) == 1 and sound(shop)


def test_without_times_it_comes_a_week_after_it_was_assigned(
    shop: Any, shop_people: Any, making: Any
) -> None:
    set_up(shop, shop_people.trainer, shop_people.apprentice, opens=None, due=None)
    assert repeating.make_due(shop.store, shop.now + WEEK - timedelta(seconds=1), making) == []
    assert len(repeating.make_due(shop.store, shop.now + WEEK + timedelta(days=2), making)) == 1
    assert repeat_of(shop).next_at == shop.now + 2 * WEEK  # the time of day does not wander
    assert (quizzes_of(shop)[1].opens, quizzes_of(shop)[1].due) == (None, None)


def test_what_cannot_be_made_says_why_and_stops_no_other(shop: Any, shop_people: Any, making: Any) -> None:
    for questions in (("ladder-0",), ("ladder-1",)):
        set_up(shop, shop_people.trainer, shop_people.apprentice, questions=questions)
    now = shop.now + timedelta(days=1) + WEEK
    short = replace(making, bank={name: one for name, one in shop.bank.items() if name != "ladder-0"})
    assert len(repeating.make_due(shop.store, now, short)) == 1
    assert "no question 'ladder-0'" in repeat_of(shop, 1).trouble["en"] and repeat_of(shop, 2).trouble is None
    assert (
        repeating.make_due(shop.store, now + timedelta(hours=1), short) == []
    )  # not again each five minutes
    assert len(repeating.make_due(shop.store, now + WEEK, making)) == 2 and repeat_of(shop, 1).trouble is None


def test_a_trainer_who_may_not_assign_any_more_has_none_made(
    shop: Any, shop_people: Any, making: Any
) -> None:
    set_up(shop, shop_people.trainer, shop_people.apprentice)
    with shop.store.write() as session:
        people.change_roles(session, shop_people.owner, shop.now, shop_people.trainer.id, ["apprentice"])
    assert repeating.make_due(shop.store, shop.now + timedelta(days=1) + WEEK, making) == []
    assert repeat_of(shop).trouble["en"].startswith("Theo Tran, who set it up, can no longer assign")


@pytest.mark.parametrize(
    "choice",
    [
        {"questions": ("ladder-0",), "skills": {"roof-slope": 2}},
        {"questions": (), "skills": {"roof-slope": 5, "ladder-setup": 3}, "decide": Deciding(15, 0.05, 0.10)},
        {"same_numbers": True, "must": ("slope-2",)},
        {"weakest": 2},
    ],
)
def test_the_same_choice(shop: Any, shop_people: Any, making: Any, choice: Any) -> None:
    set_up(shop, shop_people.trainer, shop_people.apprentice, **choice)
    weak = replace(making, weak_in=lambda _session, _actor, _now, who: dict.fromkeys(who, ("roof-slope",)))
    assert len(repeating.make_due(shop.store, shop.now + timedelta(days=1) + WEEK, weak)) == 1
    first, second = quizzes_of(shop)
    assert {**first.spec, "seed": 0, "asked": 0} == {**second.spec, "seed": 0, "asked": 0}
    assert first.deciding == second.deciding


def test_the_same_form_again_and_with_other_weeks(shop: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    set_up(shop, shop_people.trainer, ana, token="once")
    set_up(shop, shop_people.trainer, ana, token="once")
    assert len(quizzes_of(shop)) == 1
    with pytest.raises(SentBefore):
        set_up(shop, shop_people.trainer, ana, token="once", until=date(2027, 5, 1))


def test_its_quizzes_say_where_they_belong(shop: Any, shop_people: Any, making: Any) -> None:
    set_up(shop, shop_people.trainer, shop_people.apprentice)
    repeating.make_due(shop.store, shop.now + timedelta(days=1) + WEEK, making)
    with shop.store.read() as session:
        rows = queries.quizzes(session, shop_people.trainer).items
    assert [(row.repeat.id, row.repeat.week) for row in rows] == [(1, 2), (1, 1)]


def test_a_quiz_that_opened_long_ago_makes_up_for_no_week(shop: Any, shop_people: Any, making: Any) -> None:
    opens = shop.now - 3 * WEEK - timedelta(days=2)
    set_up(shop, shop_people.trainer, shop_people.apprentice, opens=opens, due=None)
    assert repeat_of(shop).next_at == opens + 4 * WEEK
    assert repeating.make_due(shop.store, shop.now + timedelta(days=1), making) == []
    assert len(repeating.make_due(shop.store, opens + 4 * WEEK, making)) == 1
    assert [quiz.week for quiz in quizzes_of(shop)] == [0, 4] and sound(shop)
