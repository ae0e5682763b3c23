"""A form that is sent twice is stored once; sent again with other content it is refused and nothing is stored."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import func, select

from trainer.records import learning, people, quizzes, review, signoffs
from trainer.records import shop as shops
from trainer.records.models import Comment, GradeChange, PracticeAnswer, Quiz, SignOff
from trainer.records.submissions import ChangedMeanwhile, SentBefore


@pytest.fixture
def closed(shop: Any, shop_people: Any) -> int:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    shop.answer_all(shop_people.apprentice, paper, right=False)
    return int(paper)


@pytest.fixture
def acts(
    shop: Any, shop_people: Any, closed: int, plain_draw: Any
) -> dict[str, tuple[Any, Callable[..., Any], dict[str, list[Any]]]]:
    """By name: what is stored, the act with one form's token, and what may differ in the second sending."""
    trainer, ana, ben = shop_people.trainer, shop_people.apprentice, shop_people.other

    def act(function: Any, **usual: Any) -> Callable[..., Any]:
        def do(by: Any = trainer, **other: Any) -> Any:
            with shop.store.write() as session:
                return function(session, by, shop.now, **{**usual, "token": "one form", **other})

        return do

    quiz = act(
        quizzes.assign, title="Ladders", people=[ana.id], questions=["ladder-0"], skills={"roof-slope": 1},
        pass_mark=80, due=shop.now + timedelta(days=7), same_numbers=False, bank=shop.bank, draw=plain_draw,
    )  # fmt: skip
    comment = act(review.comment, paper_id=closed, position=1, text="Write it down.")
    grade = act(review.change_grade, paper_id=closed, position=1, credit=0.5, reason="Half of it.")
    sign_off = act(
        signoffs.record, person_id=ana.id, task=shop.rules.tasks["set-ladder"], passed=False,
        criteria=[False], measures={}, notes="Slow.", fails=[],
    )  # fmt: skip
    practice = act(
        learning.record_practice, question="ladder-0", version=1, seed=4, typed="5", shown="5 in", right=True,
        credit=1.0, slip=None, skills=["ladder-setup"],
    )  # fmt: skip
    by = [shop_people.owner]
    return {
        "quiz": (Quiz, quiz, {
            "by": by, "title": ["Stairs"], "people": [[ben.id], [ana.id, ben.id]], "questions": [["ladder-1"]],
            "skills": [{"roof-slope": 2}, {}], "pass_mark": [70], "due": [None], "same_numbers": [True],
        }),
        "comment": (Comment, comment, {"by": by, "position": [2, None], "text": ["Write it up."]}),
        "grade": (GradeChange, grade, {"by": by, "position": [2], "credit": [1.0], "reason": ["All of it."]}),
        "sign-off": (SignOff, sign_off, {
            "by": by, "person_id": [ben.id], "passed": [True], "criteria": [[True]], "fails": [[0]],
            "notes": ["Slow, but safe.", ""],
        }),
        "practice": (PracticeAnswer, practice, {"by": [ana], "typed": ["6"], "seed": [5], "question": ["ladder-1"]}),
    }  # fmt: skip


NAMES = ("quiz", "comment", "grade", "sign-off", "practice")


def count(shop: Any, model: Any) -> int:
    with shop.store.read() as session:
        return session.scalar(select(func.count()).select_from(model)) or 0


@pytest.mark.parametrize("name", NAMES)
def test_the_same_form_with_the_same_content_is_stored_once(shop: Any, acts: Any, name: str) -> None:
    model, act, _ = acts[name]
    before = count(shop, model)
    act()
    act()
    assert count(shop, model) == before + 1


@pytest.mark.parametrize("name", NAMES)
def test_the_same_form_with_other_content_is_refused(shop: Any, acts: Any, name: str) -> None:
    model, act, others = acts[name]
    act()
    after = count(shop, model)
    for field, values in others.items():
        for value in values:
            with pytest.raises(SentBefore, match="sent once before with other content"):
                act(**{field: value})
            assert count(shop, model) == after, field


def test_a_grade_changed_meanwhile_is_not_overwritten(shop: Any, shop_people: Any, closed: int) -> None:
    def change(by: Any, credit: float, made_from: str) -> None:
        with shop.store.write() as session:
            review.change_grade(
                session, by, shop.now, paper_id=closed, position=1, credit=credit, reason="Why.",
                token=shop.token(), made_from=made_from,
            )  # fmt: skip

    change(shop_people.trainer, 0.5, "0")
    for stale in ("0", "", "9"):
        with pytest.raises(ChangedMeanwhile, match=r"Theo Tran gave 50 %\. That stands"):
            change(shop_people.owner, 1.0, stale)
    assert count(shop, GradeChange) == 1
    change(shop_people.owner, 1.0, "1")  # knowing what stood


def test_a_standard_changed_meanwhile_is_not_overwritten(store: Any, shop_people: Any, now: Any) -> None:
    with store.read() as session:
        opened = shops.the_shop(session)
    with store.write() as session:
        shops.change_standard(session, shop_people.owner, now, {"overhang": 2.5}, opened.standard_mark)
    for stale in (opened.standard_mark, "", "none", "9" * 30):
        with pytest.raises(ChangedMeanwhile) as told, store.write() as session:
            shops.change_standard(session, shop_people.owner, now, {"cover": 2.0}, stale)
        if stale == opened.standard_mark:
            assert "2 in → 2 1/2 in" in str(told.value) and "2 in → 2 1/2 in" in told.value.in_language("es")
    with store.read() as session:
        stands = shops.the_shop(session)
    assert (stands.standard["overhang"], stands.standard["cover"]) == (2.5, opened.standard["cover"])


def test_a_shop_changed_meanwhile_is_not_overwritten(store: Any, shop_people: Any, now: Any) -> None:
    with store.read() as session:
        opened = shops.the_shop(session)
    with store.write() as session:
        shops.change_shop(session, shop_people.owner, now, name="Hill Chimney", made_from=opened.mark)
    with (
        pytest.raises(ChangedMeanwhile, match="Hill Chimney, America/New_York, en"),
        store.write() as session,
    ):
        shops.change_shop(session, shop_people.owner, now, name="Dale Chimney", made_from=opened.mark)


def test_the_same_person_added_twice_is_known(store: Any, shop_people: Any, now: Any) -> None:
    def add(**other: Any) -> people.NewPerson:
        usual = {"name": "Cam Cole", "sign_in": "cam", "roles": ["apprentice"], "language": "es"}
        with store.write() as session:
            return people.add_person(session, shop_people.owner, now, **{**usual, **other})

    first = add()
    with pytest.raises(people.AlreadyAdded, match="Cam Cole is in the list already") as again:
        add(sign_in=" CAM ")
    assert again.value.person_id == first.person_id
    for other in ({"name": "Cal Cole"}, {"roles": ["trainer"]}, {"language": "en"}):
        with pytest.raises(shops.Refusal, match="'cam' is taken"):  # someone else of that sign-in
            add(**other)
