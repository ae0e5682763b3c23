"""A question that was wrong: what would change, what is stored, who is told, and which grants are in doubt."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from trainer.clearance import standing
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import history, queries, regrade, review
from trainer.records.evidence import evidence_of
from trainer.records.regrade_plan import CORRECTED, FULL, LEFT_OUT, Mended, Plan, plan
from trainer.records.submissions import ChangedMeanwhile, SentBefore


def one_more(frozen: Any, typed: str | None, language: str, standard: Any) -> Mended:
    """The mended question: the answer is one more than the file said."""
    right = frozen["expected"] + 1
    return Mended(1.0 if typed == str(right) else 0.0, str(right))


def looked(
    shop: Any, who: Any, how: str = CORRECTED, question: str = "ladder-0", mend: Any = one_more
) -> Plan:
    with shop.store.read() as session:
        return plan(
            session, who, shop.now, question=question, version=1, how=how, mend=mend,
            then=lambda frozen, language: str(frozen["expected"]),
        )  # fmt: skip


def done(shop: Any, who: Any, how: str = CORRECTED, mend: Any = one_more, **other: Any) -> int:
    made_from = other.pop("made_from", None) or looked(shop, who, how, mend=mend).mark
    terms: dict[str, Any] = {
        "question": "ladder-0",
        "version": 1,
        "reason": "the file was wrong",
        "token": shop.token(),
    }
    with shop.store.write() as session:
        return regrade.regrade(
            session, who, shop.now, how=how, by=None, made_from=made_from, mend=mend, **{**terms, **other}
        )


def row_of(shop: Any, who: Any, paper: int) -> Any:
    with shop.store.read() as session:
        return queries.paper(session, who, paper).row


@pytest.fixture
def papers(shop: Any, shop_people: Any) -> tuple[int, int]:
    """Two papers of two questions: one all right by the wrong file, one right by the mended one."""
    trainer, ana, other = shop_people.trainer, shop_people.apprentice, shop_people.other
    quiz = shop.assign(trainer, ana, other)
    first, second = quiz.papers
    shop.answer_all(ana, first)
    expected = shop.expected(other, second)
    shop.answer(other, second, 1, str(expected[0] + 1))
    shop.answer(other, second, 2, str(expected[1]))
    return int(first), int(second)


def test_the_plan_shows_each_paper_and_stores_nothing(shop: Any, shop_people: Any, papers: Any) -> None:
    first, second = papers
    found = looked(shop, shop_people.trainer)
    assert {row.paper_id for row in found.rows} == {first, second}
    by_paper = {row.paper_id: row for row in found.changing}
    assert [(by_paper[one].score_before, by_paper[one].score_after) for one in papers] == [
        (100, 50),
        (50, 100),
    ]
    assert [(by_paper[one].passed_before, by_paper[one].passed_after) for one in papers] == [
        (True, False),
        (False, True),
    ]
    assert found.counted["pass"] == found.counted["fail"] == 1
    assert int(by_paper[first].right_now or 0) == int(by_paper[first].right_then) + 1
    assert row_of(shop, shop_people.trainer, first).percent == 100


def test_a_regrade_changes_the_grades_and_keeps_the_first(shop: Any, shop_people: Any, papers: Any) -> None:
    done(shop, shop_people.trainer)
    first, _ = papers
    assert [row_of(shop, shop_people.trainer, one).percent for one in papers] == [50, 100]
    with shop.store.read() as session:
        one = queries.paper(session, shop_people.apprentice, first).questions[0]
        assert one.answer is not None and one.answer.credit == 1.0 and one.credit == 0.0
        assert [(c.before, c.after, c.reason, c.by) for c in one.changes] == [
            (1.0, 0.0, "the file was wrong", "Theo Tran")
        ]
        verified = history.verify(session)
    assert verified.ok and not verified.unchecked, verified
    assert looked(shop, shop_people.trainer).changing == ()  # done once, there is nothing more to do
    with pytest.raises(Refusal, match="Nothing would change"):
        done(shop, shop_people.trainer)


def test_full_credit_reaches_everyone_even_without_an_answer(
    shop: Any, shop_people: Any, papers: Any
) -> None:
    from trainer.records import papers as sitting

    third = shop.assign(shop_people.owner, shop_people.apprentice).papers[0]
    with shop.store.write() as session:
        sitting.open_paper(session, shop_people.apprentice, shop.now, third)
        sitting.hand_in(session, shop_people.apprentice, shop.now, third)
    done(shop, shop_people.trainer, FULL)
    assert [row_of(shop, shop_people.trainer, one).percent for one in (*papers, third)] == [100, 100, 50]


def test_left_out_is_in_no_figure_of_the_score(shop: Any, shop_people: Any, papers: Any) -> None:
    first, second = papers
    done(shop, shop_people.trainer, LEFT_OUT)
    row = row_of(shop, shop_people.trainer, second)
    assert (row.questions, row.answered, row.left_out, row.percent, row.passed) == (1, 1, 1, 100, True)
    assert row_of(shop, shop_people.trainer, first).percent == 100
    # A later change by hand takes the question in again.
    with shop.store.write() as session:
        review.change_grade(
            session,
            shop_people.trainer,
            shop.now,
            paper_id=second,
            position=1,
            credit=0.0,
            reason="it was fine",
        )
    row = row_of(shop, shop_people.trainer, second)
    assert (row.questions, row.left_out, row.percent) == (2, 0, 50)
    with shop.store.read() as session:
        assert history.verify(session).ok


def test_a_grade_set_by_hand_stays_when_the_answers_are_worked_out_anew(
    shop: Any, shop_people: Any, papers: Any
) -> None:
    first, _ = papers
    with shop.store.write() as session:
        review.change_grade(
            session,
            shop_people.trainer,
            shop.now,
            paper_id=first,
            position=1,
            credit=0.5,
            reason="half of it",
        )
    found = looked(shop, shop_people.trainer)
    assert found.counted["by hand"] == 1 and first not in {row.paper_id for row in found.changing}
    done(shop, shop_people.trainer)
    assert row_of(shop, shop_people.trainer, first).percent == 75


def test_what_cannot_be_worked_out_anew_is_said_and_left(shop: Any, shop_people: Any, papers: Any) -> None:
    found = looked(shop, shop_people.trainer, mend=lambda *_: None)
    assert found.counted["cannot"] == 2 and found.changing == ()
    with pytest.raises(Refusal, match="Nothing would change"):
        done(shop, shop_people.trainer, mend=lambda *_: None)


def test_nobody_grades_their_own_paper_anew_nor_one_of_a_quiz_they_have_to_sit(
    shop: Any, shop_people: Any
) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    own, _ = shop.assign(shop_people.owner, trainer, ana).papers
    found = looked(shop, trainer, FULL)
    assert (found.rows, found.still_out, found.own) == ((), 2, 0)
    shop.answer_all(trainer, own, right=False)
    assert looked(shop, trainer, FULL).own == 1
    assert [row.paper_id for row in looked(shop, shop_people.owner, FULL).rows] == [own]
    with pytest.raises(NotAllowed):
        looked(shop, ana, FULL)


def test_only_what_was_shown_is_done_and_a_form_acts_once(shop: Any, shop_people: Any, papers: Any) -> None:
    trainer = shop_people.trainer
    mark = looked(shop, trainer).mark
    more = shop.assign(trainer, shop_people.apprentice).papers[0]
    shop.answer_all(shop_people.apprentice, more)
    with pytest.raises(ChangedMeanwhile):
        done(shop, trainer, made_from=mark)
    number = done(shop, trainer, token="once")
    assert done(shop, trainer, token="once", made_from="anything") == number
    with pytest.raises(SentBefore):
        done(shop, trainer, token="once", reason="another")
    with pytest.raises(Refusal, match="reason is missing"):
        done(shop, trainer, FULL, reason=" ")


def test_a_grant_that_rested_on_the_paper_is_in_doubt_and_never_changed(shop: Any, shop_people: Any) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    shop.make_ready(trainer, ana)
    ladder = shop.grant(owner, ana)
    roof = shop.grant(owner, ana, "roof")  # it rests on the ladder clearance, and so on the same paper
    with shop.store.read() as session:
        before = queries.person_clearances(session, owner, ana.id, shop.now.date(), shop.rules).grants
    found = looked(shop, trainer)
    assert {one.grant_id for one in found.resting} == {ladder, roof}
    done(shop, trainer)
    with shop.store.read() as session:
        after = queries.person_clearances(session, owner, ana.id, shop.now.date(), shop.rules)
        doubts = queries.doubts(session, owner)
        now_stands = standing(ana.id, "ladder", evidence_of(session, ana.id), shop.now.date(), shop.rules)
    assert after.grants == before
    assert {(one.grant_id, one.person, one.clearance) for one in doubts} == {
        (ladder, "Ana Abel", "ladder"), (roof, "Ana Abel", "roof")
    }  # fmt: skip
    assert (
        not now_stands.cleared and now_stands.grant is not None
    )  # what no longer meets its requirement fails closed
    yesterday = shop.now.date() - timedelta(days=1)
    assert yesterday < shop.now.date()
    first = doubts[0].id
    with pytest.raises(NotAllowed), shop.store.write() as session:
        regrade.settle(session, trainer, shop.now, doubt_id=first, note="fine")
    with pytest.raises(Refusal, match="missing"), shop.store.write() as session:
        regrade.settle(session, owner, shop.now, doubt_id=first, note=" ")
    with shop.store.write() as session:
        regrade.settle(session, owner, shop.now, doubt_id=first, note="She sits it again on Monday.")
    with pytest.raises(Refusal, match="already"), shop.store.write() as session:
        regrade.settle(session, owner, shop.now, doubt_id=first, note="again")
    with pytest.raises(UnknownName), shop.store.write() as session:
        regrade.settle(session, owner, shop.now, doubt_id=99, note="again")
    with shop.store.read() as session:
        assert [one.id for one in queries.doubts(session, owner)] == [doubts[1].id]
        assert history.verify(session).ok


def test_the_standing_of_a_past_day_keeps_its_answer(shop: Any, shop_people: Any) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    shop.make_ready(trainer, ana)
    shop.grant(owner, ana)
    day = shop.now.date()
    shop.now += timedelta(days=2)
    done(shop, trainer, LEFT_OUT)
    done(shop, trainer, CORRECTED)
    with shop.store.read() as session:
        evidence = evidence_of(session, ana.id)
    assert standing(ana.id, "ladder", evidence, day, shop.rules).cleared
    assert not standing(ana.id, "ladder", evidence, shop.now.date(), shop.rules).cleared


def test_the_people_affected_are_told(shop: Any, shop_people: Any, papers: Any) -> None:
    done(shop, shop_people.trainer)
    with shop.store.read() as session:
        told = queries.home(session, shop_people.apprentice, shop.now, shop.rules).regraded
        later = queries.home(
            session, shop_people.apprentice, shop.now + timedelta(days=30), shop.rules
        ).regraded
        record = queries.person_record(
            session, shop_people.owner, shop_people.other.id, shop.now + timedelta(days=30), shop.rules
        ).regraded
    assert [(one.paper_id, one.before, one.after, one.passed_before, one.passed_after) for one in told] == [
        (papers[0], 100, 50, True, False)
    ]
    assert later == ()
    assert [(one.paper_id, one.reason, one.by) for one in record] == [
        (papers[1], "the file was wrong", "Theo Tran")
    ]
