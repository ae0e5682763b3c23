"""A quiz that decides early: frozen, answered in order, ended by the evidence, told, and read conservatively."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from tests.records.conftest import Ask, Shop
from trainer.clearance import QuizRequirement, standing
from trainer.errors import Refusal
from trainer.learning import Deciding, Terms
from trainer.records import history, papers, queries, quizzes, review
from trainer.records.evidence import evidence_of
from trainer.records.models import Event, Paper
from trainer.records.people import Actor

DECIDE = Deciding(margin=10, wrongly_above=0.05, wrongly_below=0.10)
TERMS = Terms(0.7, 0.9, 0.05, 0.10)


@pytest.fixture
def bank() -> dict[str, Ask]:
    questions = [Ask(f"slope-{n}", ("roof-slope",), must_pass=n == 17) for n in range(20)]
    questions += [Ask(f"ladder-{n}", ("ladder-setup",)) for n in range(20)]
    return {question.id: question for question in questions}


@pytest.fixture
def given(shop: Shop, shop_people: Any) -> int:
    """The paper of a quiz of twenty questions on each of two skills, mark 80 %."""
    return shop.assign(
        shop_people.trainer, shop_people.apprentice, questions=(),
        skills={"roof-slope": 20, "ladder-setup": 20}, decide=DECIDE, seed=5,
    ).papers[0]  # fmt: skip


def sit(shop: Shop, who: Actor, paper: int, marks: str) -> list[papers.Given]:
    """Answer from the front, "1" right and "0" wrong, until the paper is over."""
    given = []
    for position, (expected, mark) in enumerate(zip(shop.expected(who, paper), marks, strict=False), start=1):
        given.append(shop.answer(who, paper, position, str(expected + (0 if mark == "1" else 5))))
        if given[-1].closed:
            break
    return given


def view(shop: Shop, reader: Actor, paper: int) -> queries.PaperView:
    with shop.store.read() as session:
        return queries.paper(session, reader, paper)


def stands(shop: Shop, who: Actor, score: int = 80, *skills: str) -> Any:
    """The one line of a clearance that asks for this score on these skills."""
    need = QuizRequirement(skills or ("roof-slope", "ladder-setup"), score)
    ladder = replace(shop.rules.clearances["ladder"], requires=(need,))
    rules = replace(shop.rules, clearances={"ladder": ladder})
    with shop.store.read() as session:
        evidence = evidence_of(session, who.id)
    return standing(who.id, "ladder", evidence, shop.now.date(), rules).lines[0]


def test_a_question_of_each_skill_comes_first_and_must_pass_where_there_is_one(
    shop: Shop, shop_people: Any, given: int
) -> None:
    questions = view(shop, shop_people.trainer, given).questions
    assert len(questions) == 40
    first = questions[:2]
    assert {one.skills[0] for one in first} == {"roof-slope", "ladder-setup"}
    assert [one.question for one in questions if one.must_pass] == ["slope-17"]
    assert any(one.must_pass for one in first)


def test_it_ends_above_at_walds_line(shop: Shop, shop_people: Any, given: int) -> None:
    """All right: twelve questions, as ln 18 / ln (0.9 / 0.7) = 11.5."""
    ana = shop_people.apprentice
    answers = sit(shop, ana, given, "1" * 40)
    assert len(answers) == TERMS.shortest == 12 and answers[-1].left == 28
    found = view(shop, ana, given)
    assert len(found.questions) == 12
    row = found.row
    assert (row.percent, row.passed, row.verdict, row.questions, row.answered) == (100, True, "above", 12, 12)
    with shop.store.read() as session:
        closing = session.scalars(select(Event).where(Event.kind == "paper handed in")).one()
        assert (closing.facts["how"], closing.facts["score"]) == ("decided", 100.0)
        assigned = session.scalars(select(Event).where(Event.kind == "quiz assigned")).one()
        assert assigned.facts["deciding"]["first"] == 2
        assert history.verify(session).ok
    assert stands(shop, ana).met
    with pytest.raises(Refusal, match="closed"):
        shop.answer(ana, given, 13, "1")


@pytest.mark.parametrize(
    ("marks", "asked", "verdict", "passed"),
    [
        ("0" * 40, 3, "below", False),
        # Wald's lower line: 0.814 n - 1.67; three wrong of the first four are below it.
        ("1000" + "1" * 36, 4, "below", False),
        ("1" * 5 + "0" + "1" * 34, 17, "above", True),
        # Right and wrong in the ratio of the line itself: never clear.
        ("11110" * 8, 40, "undecided", False),
    ],
)  # fmt: skip
def test_how_it_ends(
    shop: Shop, shop_people: Any, given: int, marks: str, asked: int, verdict: str, passed: bool
) -> None:
    ana = shop_people.apprentice
    answers = sit(shop, ana, given, marks)
    # The same by the formula, question by question.
    expected = next((n for n in range(2, 41) if TERMS.verdict(marks[:n].count("1"), n) is not None), 40)
    assert len(answers) == expected == asked
    row = view(shop, ana, given).row
    assert (row.verdict, row.passed) == (verdict, passed)
    assert stands(shop, ana).met == passed
    with shop.store.read() as session:
        assert history.verify(session).ok


def test_handing_in_early_or_being_taken_back_never_passes(shop: Shop, shop_people: Any, given: int) -> None:
    ana = shop_people.apprentice
    sit(shop, ana, given, "1" * 11)
    with shop.store.write() as session:
        papers.hand_in(session, ana, shop.now, given)
    row = view(shop, ana, given).row
    assert (row.percent, row.passed, row.verdict) == (27, False, "below")
    assert not stands(shop, ana).met
    again = shop.assign(
        shop_people.trainer, ana, questions=(), skills={"roof-slope": 20}, decide=DECIDE, seed=6
    )
    sit(shop, ana, again.papers[0], "1" * 11)
    with shop.store.write() as session:
        quizzes.close(session, shop_people.trainer, shop.now, again.quiz_id)
    assert (
        view(shop, ana, again.papers[0]).row.passed is False and not stands(shop, ana, 80, "roof-slope").met
    )


def test_answered_in_order_only(shop: Shop, shop_people: Any, given: int) -> None:
    with pytest.raises(Refusal, match="question 1 comes next"):
        shop.answer(shop_people.apprentice, given, 5, "1")
    shop.answer(shop_people.apprentice, given, 1, "1", "one form")
    assert shop.answer(shop_people.apprentice, given, 1, "1", "one form").repeated


def test_a_wrong_must_pass_question_fails_it_whatever_the_evidence(
    shop: Shop, shop_people: Any, given: int
) -> None:
    ana = shop_people.apprentice
    place = next(one.position for one in view(shop, ana, given).questions if one.must_pass)
    sit(shop, ana, given, "1" * (place - 1) + "0" + "1" * 39)
    row = view(shop, ana, given).row
    assert (row.verdict, row.passed) == ("above", False)
    line = stands(shop, ana)
    assert not line.met and "must-pass" in line.reason.en


def test_a_grade_taken_back_takes_the_evidence_too(shop: Shop, shop_people: Any, given: int) -> None:
    ana = shop_people.apprentice
    sit(shop, ana, given, "1" * 40)
    plain = next(one.position for one in view(shop, ana, given).questions if not one.must_pass)
    with shop.store.write() as session:
        review.change_grade(
            session, shop_people.trainer, shop.now, paper_id=given, position=plain, credit=0.9, reason="units"
        )
    row = view(shop, ana, given).row
    # 11.9 of 12 is 99 %, but 11 of 12 fully right no longer outweigh someone below the mark.
    assert (row.percent, row.verdict, row.passed) == (99, "undecided", False)
    assert not stands(shop, ana).met


def test_clearance_asks_no_less_than_the_mark_it_decided_for(
    shop: Shop, shop_people: Any, given: int
) -> None:
    ana = shop_people.apprentice
    sit(shop, ana, given, "1" * 40)
    assert stands(shop, ana, 80).met and stands(shop, ana, 60).met
    line = stands(shop, ana, 90)
    assert not line.met and "decide for 80 %" in line.reason.en


def test_terms_that_cannot_be_read_count_against(shop: Shop, shop_people: Any, given: int) -> None:
    ana = shop_people.apprentice
    sit(shop, ana, given, "1" * 40)
    for broken in ("{}", '"early"', '{"low": 0.9, "high": 0.7, "wrongly_above": 0.05, "wrongly_below": 0.1}'):
        with shop.store.write() as session:
            session.connection().exec_driver_sql(f"UPDATE quiz SET deciding = '{broken}'")
        assert not stands(shop, ana).met
        with shop.store.read() as session:
            found = history.verify(session)
        assert not found.ok


def test_a_failed_paper_hides_behind_no_older_one(shop: Shop, shop_people: Any) -> None:
    """A short failure covers every skill it could have asked about, so the pass before it no longer counts."""
    ana = shop_people.apprentice
    old = shop.assign(shop_people.trainer, ana, questions=tuple(f"ladder-{n}" for n in range(5))).papers[0]
    shop.answer_all(ana, old)
    assert stands(shop, ana, 80, "ladder-setup").met
    shop.now += timedelta(days=1)
    new = shop.assign(
        shop_people.trainer, ana, questions=(), skills={"roof-slope": 10, "ladder-setup": 10}, decide=DECIDE
    ).papers[0]
    sit(shop, ana, new, "0" * 20)
    assert not stands(shop, ana, 80, "ladder-setup").met


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"pass_mark": 99}, "cannot have the pass mark 99"),
        ({"pass_mark": 5}, "cannot have the pass mark 5"),
        ({"skills": {"roof-slope": 11}}, "at least 12 questions"),
        ({"weakest": 3}, "leave out what each is weakest in"),
        ({"hint_cost": 0}, "gives no hints; choose one or the other"),
        ({"hint_cost": 25}, "gives no hints; choose one or the other"),
    ],
)
def test_refused(shop: Shop, shop_people: Any, change: dict[str, Any], sentence: str) -> None:
    terms: dict[str, Any] = {"questions": (), "skills": {"roof-slope": 20}, "decide": DECIDE}
    with pytest.raises(Refusal, match=sentence):
        shop.assign(shop_people.trainer, shop_people.apprentice, **{**terms, **change})
    with shop.store.read() as session:
        assert session.scalars(select(Paper.id)).all() == []


def test_the_same_form_again_and_one_with_another_way_to_decide(shop: Shop, shop_people: Any) -> None:
    terms: dict[str, Any] = {"questions": (), "skills": {"roof-slope": 20}, "token": "once"}
    first = shop.assign(shop_people.trainer, shop_people.apprentice, decide=DECIDE, **terms)
    again = shop.assign(shop_people.trainer, shop_people.apprentice, decide=DECIDE, **terms)
    assert again.repeated and again.papers == first.papers
    with pytest.raises(Refusal, match="sent once before"):
        shop.assign(shop_people.trainer, shop_people.apprentice, **terms)


def test_what_each_is_weakest_in(shop: Shop, shop_people: Any) -> None:
    ana, ben = shop_people.apprentice, shop_people.other
    weak = {ana.id: ("roof-slope", "ladder-setup"), ben.id: ("ladder-setup", "roof-slope")}
    made = shop.assign(shop_people.trainer, ana, ben, questions=("slope-0",), weakest=3, weak_in=weak, seed=1)
    own = [[one.skills[0] for one in view(shop, shop_people.owner, paper).questions] for paper in made.papers]
    assert own == [
        ["roof-slope", "roof-slope", "ladder-setup", "roof-slope"],
        ["roof-slope", "ladder-setup", "roof-slope", "ladder-setup"],
    ]
    with pytest.raises(Refusal, match="cannot be the same for all"):
        shop.assign(shop_people.trainer, ana, weakest=3, weak_in=weak, same_numbers=True)
