"""Assigning: who gets which questions, drawn once and frozen."""

from __future__ import annotations

import random
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from tests.shipped import shipped_bank
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import people, queries, quizzes
from trainer.records.models import PaperQuestion


def questions_of(shop: Any, who: Any, paper_id: int) -> list[tuple[str, int]]:
    with shop.store.read() as session:
        return [(one.question, one.seed) for one in queries.paper(session, who, paper_id).questions]


def test_each_person_gets_the_same_questions_with_their_own_numbers(shop: Any, shop_people: Any) -> None:
    done = shop.assign(shop_people.trainer, shop_people.apprentice, shop_people.other)
    one, two = (questions_of(shop, shop_people.trainer, paper) for paper in done.papers)
    assert [name for name, _ in one] == [name for name, _ in two] == ["ladder-0", "ladder-1"]
    assert {seed for _, seed in one}.isdisjoint(seed for _, seed in two)


def test_the_same_numbers_for_all_when_asked(shop: Any, shop_people: Any) -> None:
    done = shop.assign(shop_people.trainer, shop_people.apprentice, shop_people.other, same_numbers=True)
    one, two = (questions_of(shop, shop_people.trainer, paper) for paper in done.papers)
    assert one == two


def test_skills_are_filled_must_pass_first_and_nothing_twice(shop: Any, shop_people: Any) -> None:
    for _ in range(5):
        done = shop.assign(
            shop_people.trainer,
            shop_people.apprentice,
            questions=("ladder-1",),
            skills={"roof-slope": 2, "ladder-setup": 2},
        )
        names = [name for name, _ in questions_of(shop, shop_people.trainer, done.papers[0])]
        assert len(set(names)) == len(names) == 5
        assert "slope-0" in names  # the must-pass question of the skill
        assert sum(name.startswith("slope") for name in names) == 2


def test_every_skill_named_is_asked_a_must_pass_question_that_has_one() -> None:
    """Over the shipped bank: whatever other skills took first, and however few questions are wanted."""
    bank = shipped_bank()
    pick = random.Random(6)
    seen = 0
    for _ in range(300):
        names = pick.sample(sorted(bank.skills), pick.randint(1, 5))
        wanted = {name: pick.randint(1, 2) for name in names}
        already = pick.sample(sorted(bank.questions), pick.randint(0, 3))
        try:
            asked = quizzes.choose(bank.questions, already, wanted, pick, {})
        except Refusal:
            continue  # fewer questions left than wanted
        for name in bank.must_pass_skills & wanted.keys():
            assert any(one.must_pass and name in one.skills for one in asked), (name, wanted, already)
            seen += 1
    assert seen > 100


def test_a_seed_gives_the_same_papers_again(shop: Any, shop_people: Any) -> None:
    terms: dict[str, Any] = {"questions": (), "skills": {"roof-slope": 3}, "seed": 7}
    papers = [shop.assign(shop_people.trainer, shop_people.apprentice, **terms).papers[0] for _ in range(2)]
    assert questions_of(shop, shop_people.trainer, papers[0]) == questions_of(
        shop, shop_people.trainer, papers[1]
    )


def test_a_repeated_form_assigns_nothing_twice(shop: Any, shop_people: Any) -> None:
    first = shop.assign(shop_people.trainer, shop_people.apprentice, token="once")
    again = shop.assign(shop_people.trainer, shop_people.apprentice, token="once")
    assert (again.quiz_id, again.papers, again.repeated, first.repeated) == (
        first.quiz_id,
        first.papers,
        True,
        False,
    )
    with shop.store.read() as session:
        assert len(session.scalars(select(PaperQuestion.id)).all()) == 2


def test_a_later_change_of_the_bank_does_not_reach_the_paper(shop: Any, shop_people: Any) -> None:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    expected = shop.expected(shop_people.trainer, paper)
    shop.bank.clear()
    assert shop.expected(shop_people.trainer, paper) == expected
    assert shop.answer(shop_people.apprentice, paper, 1, str(expected[0])).right


@pytest.mark.parametrize(
    ("change", "error", "sentence"),
    [
        ({"questions": ()}, Refusal, "at least one question"),
        ({"questions": ("nothing",)}, UnknownName, "no question 'nothing'"),
        ({"skills": {"baking": 1}}, UnknownName, "skill 'baking'"),
        ({"skills": {"ladder-setup": 2}}, Refusal, "there are 1 not on the paper"),
        ({"pass_mark": 0}, Refusal, "pass mark 0"),
        ({"pass_mark": 101}, Refusal, "pass mark 101"),
        ({"title": " "}, Refusal, "title is missing"),
    ],
)
def test_refused(shop: Any, shop_people: Any, change: Any, error: type[Refusal], sentence: str) -> None:
    with pytest.raises(error, match=sentence):
        shop.assign(shop_people.trainer, shop_people.apprentice, **change)


def test_refused_for_nobody_the_past_and_the_deactivated(shop: Any, shop_people: Any) -> None:
    with pytest.raises(Refusal, match="at least one person"):
        shop.assign(shop_people.trainer)
    with pytest.raises(Refusal, match="lies in the past"):
        shop.assign(shop_people.trainer, shop_people.other, due=shop.now - timedelta(seconds=1))
    with shop.store.write() as session:
        people.deactivate(session, shop_people.owner, shop.now, shop_people.other.id)
    with pytest.raises(Refusal, match="deactivated"):
        shop.assign(shop_people.trainer, shop_people.apprentice, shop_people.other)


def test_an_apprentice_assigns_and_closes_nothing(shop: Any, shop_people: Any) -> None:
    with pytest.raises(NotAllowed):
        shop.assign(shop_people.apprentice, shop_people.other)
    quiz = shop.assign(shop_people.trainer, shop_people.other).quiz_id
    with pytest.raises(NotAllowed), shop.store.write() as session:
        quizzes.close(session, shop_people.apprentice, shop.now, quiz)


def test_a_quiz_taken_back_closes_what_is_still_out(shop: Any, shop_people: Any) -> None:
    done = shop.assign(shop_people.trainer, shop_people.apprentice, shop_people.other)
    shop.answer_all(shop_people.apprentice, done.papers[0])
    with shop.store.write() as session:
        quizzes.close(session, shop_people.trainer, shop.now + timedelta(hours=1), done.quiz_id)
    with shop.store.read() as session:
        rows = {row.person_id: row for row in queries.quiz(session, shop_people.trainer, done.quiz_id).papers}
    assert rows[shop_people.apprentice.id].closed_at == shop.now
    assert rows[shop_people.other.id].closed_at == shop.now + timedelta(hours=1)
    with pytest.raises(Refusal, match="closed"):
        shop.answer(shop_people.other, done.papers[1], 1, "1")
    with pytest.raises(UnknownName), shop.store.write() as session:
        quizzes.close(session, shop_people.trainer, shop.now, 999)
