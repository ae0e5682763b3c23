"""Questions that the trainer chose as having to be right: they fail a paper as the bank's own do, and stand for none of them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from trainer.clearance import Clearance, QuizRequirement, standing
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.learning import Deciding
from trainer.records import hints, history, queries, review, sent_back
from trainer.records.evidence import evidence_of
from trainer.records.models import Event
from trainer.records.submissions import SentBefore


def paper_of(shop: Any, who: Any, paper: int) -> Any:
    with shop.store.read() as session:
        return queries.paper(session, who, paper)


def sit(shop: Any, who: Any, paper: int, wrong: set[str]) -> None:
    """Answer every question right but those named."""
    for one in paper_of(shop, who, paper).questions:
        right = one.draw["expected"]
        shop.answer(who, paper, one.position, str(right + 5 if one.question in wrong else right))


FIVE = ("ladder-0", "ladder-1", "ladder-2", "slope-1", "slope-2")


@pytest.mark.parametrize(("must", "passed"), [((), True), (("ladder-2",), False), (("ladder-1",), True)])
def test_one_wrong_of_five_passes_at_80_unless_it_had_to_be_right(
    shop: Any, shop_people: Any, must: tuple[str, ...], passed: bool
) -> None:
    ana = shop_people.apprentice
    paper = shop.assign(shop_people.trainer, ana, questions=FIVE, must=must).papers[0]
    assert {one.question for one in paper_of(shop, ana, paper).questions if one.must_pass} == set(must)
    sit(shop, ana, paper, {"ladder-2"})
    row = paper_of(shop, ana, paper).row
    assert (row.percent, row.passed) == (80, passed)


@pytest.mark.parametrize("must", [(), ("ladder-1",)])
def test_clearance_is_refused_when_it_was_wrong(shop: Any, shop_people: Any, must: tuple[str, ...]) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    shop.make_ready(trainer, ana)
    six = ("ladder-0", "ladder-1", "ladder-2")
    paper = shop.assign(trainer, ana, questions=six, must=must, pass_mark=60).papers[0]
    sit(shop, ana, paper, {"ladder-1"})
    with shop.store.write() as session:  # so that the mark itself is reached
        review.change_grade(
            session, shop_people.owner, shop.now, paper_id=paper, position=2, credit=0.9, reason="nearly"
        )
    with shop.store.read() as session:
        stands = queries.person_clearances(session, trainer, ana.id, shop.now.date(), shop.rules).standings
    ladder = next(one for one in stands if one.clearance == "ladder")
    said = " ".join(reason.en for reason in ladder.reasons)
    assert ("A must-pass question was wrong" in said) is bool(must), said


@pytest.mark.parametrize(
    ("questions", "must", "met"),
    [
        (("slope-0", "slope-1"), (), True),
        (("slope-1", "slope-2"), ("slope-1",), False),
        (("slope-0", "slope-1"), ("slope-1",), True),
    ],
    ids=["the bank's", "the trainer's alone", "both"],
)
def test_toward_clearance_it_stands_for_none_of_the_banks(
    shop: Any, shop_people: Any, questions: tuple[str, ...], must: tuple[str, ...], met: bool
) -> None:
    ana, words = shop_people.apprentice, Text("Slopes", "Pendientes")
    need = QuizRequirement(("roof-slope",), 80, 365)
    rules = replace(shop.rules, clearances={"slopes": Clearance("slopes", 1, 1, words, words, (need,))})
    sit(shop, ana, shop.assign(shop_people.trainer, ana, questions=questions, must=must).papers[0], set())
    with shop.store.read() as session:
        found = standing(ana.id, "slopes", evidence_of(session, ana.id), shop.now.date(), rules)
        assert history.verify(session).ok
    assert found.requirements_met is met
    said = " ".join(reason.en for reason in found.reasons)
    assert ("asked no must-pass question on roof slope" in said) is not met, said


def test_it_gives_no_hints(shop: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    paper = shop.assign(
        shop_people.trainer, ana, questions=("ladder-0", "ladder-1"), must=("ladder-0",), hint_cost=10
    ).papers[0]

    def opened(position: int) -> None:
        with shop.store.write() as session:
            hints.open_hint(
                session, ana, shop.now, paper_id=paper, position=position, number=1,
                hint=lambda _draw, n: Text(f"Hint {n}", ""),
            )  # fmt: skip

    with pytest.raises(Refusal, match="must be right has no hints"):
        opened(1)
    opened(2)


def test_one_that_is_only_marked_is_asked_too(shop: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    paper = shop.assign(shop_people.trainer, ana, questions=("ladder-0",), must=("slope-3",)).papers[0]
    asked = [(one.question, one.must_pass) for one in paper_of(shop, ana, paper).questions]
    assert asked == [("ladder-0", False), ("slope-3", True)]
    with pytest.raises(UnknownName, match="no question 'nothing'"):
        shop.assign(shop_people.trainer, ana, must=("nothing",))


def test_what_is_taken_at_random_never_takes_it_twice(shop: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    for _ in range(5):
        paper = shop.assign(
            shop_people.trainer, ana, questions=(), skills={"roof-slope": 3}, must=("slope-3",)
        ).papers[0]
        asked = [one.question for one in paper_of(shop, ana, paper).questions]
        assert len(set(asked)) == len(asked) == 4 and {"slope-0", "slope-3"} <= set(asked)


def test_a_quiz_that_decides_early_asks_every_one_of_them_in_any_case(shop: Any, shop_people: Any) -> None:
    early = Deciding(margin=15, wrongly_above=0.05, wrongly_below=0.10)
    must = ("ladder-1", "slope-2", "slope-4")
    for seed in range(8):
        paper = shop.assign(
            shop_people.trainer, shop_people.apprentice, questions=(), skills={"roof-slope": 3, "ladder-setup": 2},
            must=must, decide=early, seed=seed,
        ).papers[0]  # fmt: skip
        asked = [one.question for one in paper_of(shop, shop_people.trainer, paper).questions]
        with shop.store.read() as session:
            quiz = queries.quiz(session, shop_people.trainer, paper)
        assert set(must) <= set(asked[: quiz.deciding["first"]])


def test_the_history_tells_it_and_a_paper_sent_back_keeps_it(
    shop: Any, shop_people: Any, plain_draw: Any
) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    done = shop.assign(trainer, ana, questions=("ladder-0", "ladder-1"), must=("ladder-1",))
    shop.answer_all(ana, done.papers[0], right=False)
    with shop.store.write() as session:
        again = sent_back.send_back(
            session, trainer, shop.now, paper_id=done.papers[0], reason="guessed", bank=shop.bank, draw=plain_draw
        )  # fmt: skip
    assert [one.must_pass for one in paper_of(shop, ana, again).questions] == [False, True]
    with shop.store.read() as session:
        told = [
            event.facts["must"]
            for event in session.query(Event).filter(Event.kind == "quiz assigned").order_by(Event.number)
        ]
        assert told == [["ladder-1"], ["ladder-1"]]
        assert queries.quiz(session, trainer, done.quiz_id).must == ("ladder-1",)
        assert history.verify(session).ok


def test_the_same_form_with_others_is_another_form(shop: Any, shop_people: Any) -> None:
    shop.assign(shop_people.trainer, shop_people.apprentice, must=("ladder-1",), token="once")
    assert shop.assign(shop_people.trainer, shop_people.apprentice, must=("ladder-1",), token="once").repeated
    with pytest.raises(SentBefore):
        shop.assign(shop_people.trainer, shop_people.apprentice, token="once")
