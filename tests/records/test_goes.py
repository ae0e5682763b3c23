"""Sitting a quiz again: never more often than allowed, never too early, never after it is passed."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from sqlalchemy import func, select

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import goes, history, papers, people, queries, quizzes, review, sent_back
from trainer.records.models import Paper, Quiz, SentBack
from trainer.records.submissions import SentBefore


def again(shop: Any, who: Any, paper: int, draw: Any, bank: Any = None) -> int:
    with shop.store.write() as session:
        return goes.go_again(
            session, who, shop.now, paper_id=paper, bank=shop.bank if bank is None else bank, draw=draw
        )


def view_of(shop: Any, who: Any, paper: int) -> Any:
    with shop.store.read() as session:
        return queries.paper(session, who, paper, shop.now)


def verified(shop: Any) -> bool:
    with shop.store.read() as session:
        return history.verify(session).ok


@pytest.fixture
def failed(shop: Any, shop_people: Any) -> int:
    """The first of three goes, handed in and not passed; a day must go by before the next."""
    paper = shop.assign(
        shop_people.trainer, shop_people.apprentice, goes=3, wait_hours=24, must=("ladder-1",)
    ).papers[0]
    shop.answer_all(shop_people.apprentice, paper, right=False)
    return int(paper)


def test_the_next_go_asks_the_same_with_other_numbers_after_the_wait(
    shop: Any, shop_people: Any, failed: int, plain_draw: Any
) -> None:
    ana = shop_people.apprentice
    first = view_of(shop, ana, failed)
    assert first.next_go == queries.NextGo(failed, "Ladders", 2, 3, shop.now + timedelta(hours=24), 0)
    shop.now += timedelta(hours=24) - timedelta(microseconds=1)
    with pytest.raises(Refusal, match="The next go opens on"):
        again(shop, ana, failed, plain_draw)
    shop.now += timedelta(microseconds=1)
    second = again(shop, ana, failed, plain_draw)
    view = view_of(shop, ana, second)
    assert (view.row.go, view.row.goes, view.row.quiz_id) == (2, 3, first.row.quiz_id)
    assert [one.question for one in view.questions] == [one.question for one in first.questions]
    assert {one.seed for one in view.questions}.isdisjoint(one.seed for one in first.questions)
    assert [one.must_pass for one in view.questions] == [False, True]
    assert again(shop, ana, failed, plain_draw) == second  # the same form again
    assert view_of(shop, ana, failed).next_go is None  # it was begun
    shop.answer_all(ana, second, right=True)
    assert view_of(shop, ana, second).row.passed and view_of(shop, ana, second).next_go is None
    with pytest.raises(Refusal, match="You passed this quiz"):
        again(shop, ana, second, plain_draw)
    with shop.store.read() as session:
        quiz = queries.quiz(session, shop_people.trainer, view.row.quiz_id, shop.now)
        assert history.verify(session).ok
    assert [(row.go, row.percent) for row in quiz.papers] == [(1, 0), (2, 100)]  # the trainer sees them all


def test_the_last_go_is_the_last(shop: Any, shop_people: Any, failed: int, plain_draw: Any) -> None:
    ana, paper = shop_people.apprentice, failed
    for number in (2, 3):
        shop.now += timedelta(hours=24)
        paper = again(shop, ana, paper, plain_draw)
        assert view_of(shop, ana, paper).row.go == number
        shop.answer_all(ana, paper, right=False)
    shop.now += timedelta(days=30)
    assert view_of(shop, ana, paper).next_go is None
    with pytest.raises(Refusal, match="no further go"):
        again(shop, ana, paper, plain_draw)


def test_without_goes_there_is_none(shop: Any, shop_people: Any, plain_draw: Any) -> None:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice, wait_hours=24).papers[0]
    shop.answer_all(shop_people.apprentice, paper, right=False)
    shop.now += timedelta(days=2)
    with pytest.raises(Refusal, match="no further go"):
        again(shop, shop_people.apprentice, paper, plain_draw)


def test_only_ones_own_closed_paper(shop: Any, shop_people: Any, failed: int, plain_draw: Any) -> None:
    shop.now += timedelta(days=2)
    for who in (shop_people.other, shop_people.trainer, shop_people.owner):
        with pytest.raises(NotAllowed):
            again(shop, who, failed, plain_draw)
    with pytest.raises(UnknownName):
        again(shop, shop_people.apprentice, 99, plain_draw)
    second = again(shop, shop_people.apprentice, failed, plain_draw)
    with pytest.raises(Refusal, match="not handed in"):
        again(shop, shop_people.apprentice, second, plain_draw)


def test_a_question_that_is_gone_stops_it_in_a_sentence(
    shop: Any, shop_people: Any, failed: int, plain_draw: Any
) -> None:
    shop.now += timedelta(days=2)
    with pytest.raises(Refusal, match="no longer in the bank"):
        again(shop, shop_people.apprentice, failed, plain_draw, bank={"ladder-0": shop.bank["ladder-0"]})
    assert view_of(shop, shop_people.apprentice, failed).next_go is not None  # nothing was half written


def test_the_same_numbers_for_all_hold_for_the_first_go_only(
    shop: Any, shop_people: Any, plain_draw: Any
) -> None:
    ana, ben = shop_people.apprentice, shop_people.other
    done = shop.assign(shop_people.trainer, ana, ben, same_numbers=True, goes=2)
    seeds = []
    for who, paper in zip((ana, ben), done.papers, strict=True):
        shop.answer_all(who, paper, right=False)
        second = again(shop, who, paper, plain_draw)
        seeds += [[one.seed for one in view_of(shop, who, each).questions] for each in (paper, second)]
    assert seeds[0] == seeds[2]
    assert set(seeds[1]).isdisjoint({*seeds[0], *seeds[3]}) and set(seeds[3]).isdisjoint(seeds[0])


def test_a_quiz_taken_back_gives_no_further_go(
    shop: Any, shop_people: Any, failed: int, plain_draw: Any
) -> None:
    with shop.store.write() as session:
        quizzes.close(
            session, shop_people.trainer, shop.now, view_of(shop, shop_people.trainer, failed).row.quiz_id
        )
    shop.now += timedelta(days=2)
    with pytest.raises(Refusal, match="no further go"):
        again(shop, shop_people.apprentice, failed, plain_draw)
    assert verified(shop)


def test_a_grade_changed_to_passed_ends_it_and_back_opens_it(
    shop: Any, shop_people: Any, plain_draw: Any
) -> None:
    ana, trainer = shop_people.apprentice, shop_people.trainer
    paper = shop.assign(trainer, ana, questions=("ladder-0",), goes=2).papers[0]
    shop.answer_all(ana, paper, right=False)

    def grade(credit: float) -> None:
        with shop.store.write() as session:
            review.change_grade(
                session, trainer, shop.now, paper_id=paper, position=1, credit=credit, reason="looked again"
            )

    grade(1.0)
    with pytest.raises(Refusal, match="You passed"):
        again(shop, ana, paper, plain_draw)
    grade(0.0)
    assert again(shop, ana, paper, plain_draw) != paper


def test_sent_back_is_one_go_more_and_keeps_those_that_are_left(
    shop: Any, shop_people: Any, failed: int, plain_draw: Any
) -> None:
    ana, trainer = shop_people.apprentice, shop_people.trainer

    def send(paper: int) -> int:
        with shop.store.write() as session:
            return sent_back.send_back(
                session, trainer, shop.now, paper_id=paper, reason="guessed", bank=shop.bank, draw=plain_draw
            )

    shop.now += timedelta(days=1)
    second = again(shop, ana, failed, plain_draw)
    with pytest.raises(Refusal, match="A later go at this quiz was begun"):
        send(failed)
    shop.answer_all(ana, second, right=False)
    new = send(second)
    assert view_of(shop, ana, second).next_go is None  # its place is taken
    shop.now += timedelta(days=9)
    with pytest.raises(Refusal, match="no further go"):
        again(shop, ana, second, plain_draw)
    row = view_of(shop, ana, new).row
    assert (row.go, row.goes) == (1, 2)  # 3 and one more, of which 2 are used
    shop.answer_all(ana, new, right=False)
    shop.now += timedelta(days=1)
    last = again(shop, ana, new, plain_draw)
    shop.answer_all(ana, last, right=False)
    shop.now += timedelta(days=9)
    with pytest.raises(Refusal, match="no further go"):
        again(shop, ana, last, plain_draw)
    assert verified(shop)


def test_a_passed_paper_that_is_sent_back_is_done_again(shop: Any, shop_people: Any, plain_draw: Any) -> None:
    ana = shop_people.apprentice
    paper = shop.assign(shop_people.trainer, ana, goes=2).papers[0]
    shop.answer_all(ana, paper)
    with shop.store.write() as session:
        new = sent_back.send_back(
            session, shop_people.trainer, shop.now, paper_id=paper, reason="too fast", bank=shop.bank, draw=plain_draw
        )  # fmt: skip
    assert view_of(shop, ana, new).row.closed_at is None


def test_today_shows_the_next_go_however_old_its_paper(
    shop: Any, shop_people: Any, failed: int, plain_draw: Any
) -> None:
    ana = shop_people.apprentice
    with shop.store.write() as session:
        review.finish(session, shop_people.trainer, shop.now, failed)
    for _ in range(7):  # newer ones that fill the list of what is done
        shop.now += timedelta(hours=1)
        paper = shop.assign(shop_people.trainer, ana).papers[0]
        shop.answer_all(ana, paper)
        with shop.store.write() as session:
            review.finish(session, shop_people.trainer, shop.now, paper)
    with shop.store.read() as session:
        home = queries.home(session, ana, shop.now, shop.rules)
    assert [(one.paper_id, one.number, one.of) for one in home.goes] == [(failed, 2, 3)]
    assert len(home.done) == 5 and failed not in [row.id for row in home.done]
    shop.now += timedelta(days=1)
    second = again(shop, ana, failed, plain_draw)
    with shop.store.read() as session:
        home = queries.home(session, ana, shop.now, shop.rules)
    assert home.goes == () and [row.id for row in home.due] == [second]


def test_the_newest_go_is_the_one_that_clearance_judges(shop: Any, shop_people: Any, plain_draw: Any) -> None:
    ana, trainer = shop_people.apprentice, shop_people.trainer

    def met() -> bool:
        with shop.store.read() as session:
            stands = queries.person_clearances(
                session, trainer, ana.id, shop.now.date(), shop.rules
            ).standings
        ladder = next(one for one in stands if one.clearance == "ladder")
        return ladder.state == "ready to grant"

    shop.read(ana)
    shop.sign_off(trainer, ana)
    paper = shop.assign(trainer, ana, goes=2).papers[0]
    shop.answer_all(ana, paper, right=False)
    assert not met()
    second = again(shop, ana, paper, plain_draw)
    assert not met()
    shop.now += timedelta(minutes=1)
    shop.answer_all(ana, second)
    assert met()


def test_two_requests_at_once_begin_one_go(shop: Any, shop_people: Any, failed: int, plain_draw: Any) -> None:
    shop.now += timedelta(days=1)
    with ThreadPoolExecutor(8) as pool:
        begun = list(pool.map(lambda _: again(shop, shop_people.apprentice, failed, plain_draw), range(8)))
    assert len(set(begun)) == 1
    with shop.store.read() as session:
        assert session.scalar(select(func.count()).select_from(Paper)) == 2
    assert verified(shop)


@pytest.mark.parametrize("change", [{"goes": 0}, {"goes": 6}, {"wait_hours": -1}, {"wait_hours": 721}])
def test_goes_that_cannot_be(shop: Any, shop_people: Any, change: Any) -> None:
    with pytest.raises(Refusal, match="cannot be"):
        shop.assign(shop_people.trainer, shop_people.apprentice, **{"goes": 2, **change})


def test_the_same_form_with_more_goes_is_another(shop: Any, shop_people: Any) -> None:
    shop.assign(shop_people.trainer, shop_people.apprentice, goes=2, token="once")
    assert shop.assign(shop_people.trainer, shop_people.apprentice, goes=2, token="once").repeated
    with pytest.raises(SentBefore):
        shop.assign(shop_people.trainer, shop_people.apprentice, goes=3, token="once")


@pytest.mark.parametrize("seed", range(6))
def test_no_path_gives_more_goes_than_allowed(
    shop: Any, shop_people: Any, plain_draw: Any, seed: int
) -> None:
    """Whatever people do, in whatever order: two new hires and a trainer act at random for months."""
    chance = random.Random(seed)
    trainer, hands = shop_people.trainer, (shop_people.apprentice, shop_people.other)
    for allowed, wait in ((1, 0), (2, 24), (3, 1)):
        shop.assign(trainer, *hands, goes=allowed, wait_hours=wait, pass_mark=60)
    for _ in range(160):
        shop.now += timedelta(hours=chance.choice((0, 0, 1, 5, 24, 50)))
        with shop.store.read() as session:
            of = dict(session.execute(select(Paper.id, Paper.person_id)).all())
        paper = chance.choice(sorted(of))
        who = next(one for one in hands if one.id == of[paper])
        act = chance.choice(
            ("again", "again", "again", "sit", "sit", "hand in", "send", "grade", "back", "leave")
        )
        try:
            if act == "again":
                again(shop, who, paper, plain_draw)
            elif act == "sit":
                shop.answer_all(who, paper, right=chance.random() < 0.15)
            else:
                with shop.store.write() as session:
                    _act(session, shop, act, chance, trainer, who, paper, plain_draw, shop_people.owner)
        except Refusal:
            continue
    with shop.store.read() as session:
        _check(session)
        assert history.verify(session).ok


def _act(
    session: Any,
    shop: Any,
    act: str,
    chance: random.Random,
    trainer: Any,
    who: Any,
    paper: int,
    draw: Any,
    owner: Any,
) -> None:
    if act == "hand in":
        papers.hand_in(session, who, shop.now, paper)
    elif act == "send" and chance.random() < 0.7:
        sent_back.send_back(
            session, trainer, shop.now, paper_id=paper, reason="so", bank=shop.bank, draw=draw
        )
    elif act == "grade":
        review.change_grade(
            session, trainer, shop.now, paper_id=paper, position=chance.choice((1, 2)), credit=chance.choice((0.0, 1.0)),
            reason="looked again",
        )  # fmt: skip
    elif act == "back" and chance.random() < 0.1:
        quizzes.close(session, trainer, shop.now, session.get_one(Paper, paper).quiz_id)
    elif act == "leave" and chance.random() < 0.3:
        people.deactivate(session, owner, shop.now, who.id)
        people.reactivate(session, owner, shop.now, who.id)


def _check(session: Any) -> None:
    assigned = {quiz.id: quiz for quiz in session.scalars(select(Quiz))}
    sent = dict(session.execute(select(SentBack.again_id, SentBack.paper_id)).all())
    by_taker: dict[tuple[int, int], list[Paper]] = defaultdict(list)
    for paper in session.scalars(select(Paper).order_by(Paper.id)):
        by_taker[paper.quiz_id, paper.person_id].append(paper)
    quiz_of = {paper.id: paper.quiz_id for those in by_taker.values() for paper in those}
    assert max(map(len, by_taker.values())) > 1 and sent, "nothing happened that could go wrong"
    for (quiz, _person), those in by_taker.items():
        assert len(those) <= assigned[quiz].goes
        assert [paper.go for paper in those] == list(range(1, len(those) + 1))
        for first, second in pairwise(those):
            assert first.closed_at is not None and first.id not in sent.values()
            begun = _begun(session, second.id)
            assert begun - first.closed_at >= timedelta(hours=assigned[quiz].wait_hours)
    # What was sent back and all that came of it: one go more each time than the quiz gave at first.
    for quiz, person in by_taker:
        first = by_taker[quiz, person][0]
        if first.id in sent:
            continue
        total = sum(len(by_taker[chain, person]) for chain in _chain(quiz, person, sent, quiz_of, by_taker))
        times = sum(1 for _ in _chain(quiz, person, sent, quiz_of, by_taker)) - 1
        assert total <= assigned[quiz].goes + times


def _begun(session: Any, paper: int) -> Any:
    from trainer.records.models import Event

    events = session.scalars(select(Event).where(Event.kind == "quiz sat again"))
    return next(event.at for event in events if event.facts["paper"] == paper)


def _chain(quiz: int, person: int, sent: Any, quiz_of: Any, by_taker: Any) -> Iterator[int]:
    """The quiz, and those made by sending its papers back, one after the other."""
    yield quiz
    own = {paper.id for paper in by_taker[quiz, person]}
    for new, old in sent.items():
        if old in own:
            yield from _chain(quiz_of[new], person, sent, quiz_of, by_taker)
