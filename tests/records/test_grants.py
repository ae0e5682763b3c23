"""Granting, suspending and lifting, on the store."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import grants, papers, people, queries, quizzes
from trainer.records.grants import RequirementsUnmet, evidence_hash
from trainer.records.models import Event, Grant

ON = date(2026, 11, 25)


@pytest.fixture
def ready(shop: Any, shop_people: Any) -> Any:
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    return shop


def standing_of(shop: Any, who: Any, on: date = ON, clearance: str = "ladder") -> Any:
    with shop.store.read() as session:
        found = queries.person_clearances(session, who, who.id, on, shop.rules)
    return next(one for one in found.standings if one.clearance == clearance)


def suspend(shop: Any, by: Any, who: Any, reason: str = "near miss", clearance: str = "ladder") -> int:
    with shop.store.write() as session:
        return grants.suspend(
            session, by, shop.now, person_id=who.id, clearance=clearance, reason=reason, rules=shop.rules
        )


def lift(
    shop: Any, by: Any, who: Any, number: int, reason: str = "trained again", clearance: str = "ladder"
) -> None:
    with shop.store.write() as session:
        grants.lift(
            session, by, shop.now, person_id=who.id, clearance=clearance, suspension_id=number, reason=reason
        )


def test_ready_is_not_cleared_and_granted_is(ready: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    assert standing_of(ready, ana).state == "ready to grant"
    ready.grant(shop_people.owner, ana)
    found = standing_of(ready, ana)
    assert (found.cleared, found.until) == (True, ON + timedelta(days=365))
    assert standing_of(ready, ana, found.until).cleared
    assert standing_of(ready, ana, found.ends).state == "lapsed"
    assert not standing_of(ready, ana, ON - timedelta(days=1)).cleared


def test_a_grant_freezes_its_evidence_and_the_history_holds_its_hash(ready: Any, shop_people: Any) -> None:
    number = ready.grant(shop_people.owner, shop_people.apprentice)
    with ready.store.read() as session:
        row = session.get_one(Grant, number)
        event = session.query(Event).order_by(Event.number.desc()).first()
    assert [line["met"] for line in row.evidence["lines"]] == [True] * 3
    (paper,) = row.evidence["evidence"]["papers"]
    asked = row.evidence["questions"][str(paper["paper_id"])]
    assert len(asked) == len(paper["answers"]) > 0 and all(isinstance(one, str) for one in asked)
    assert event is not None and event.facts["evidence_hash"] == evidence_hash(row.evidence)


def test_unmet_requirements_are_refused_with_the_reasons(shop: Any, shop_people: Any) -> None:
    with pytest.raises(RequirementsUnmet) as refused:
        shop.grant(shop_people.owner, shop_people.other)
    assert [line.met for line in refused.value.standing.lines] == [False] * 3
    assert "Ben Bauer cannot be cleared for Ladder yet: Lesson read: Ladders" in str(refused.value)
    assert "aún no puede" in refused.value.in_language("es")
    with pytest.raises(RequirementsUnmet):
        shop.grant(shop_people.owner, shop_people.other, "roof")


def test_only_an_owner_grants_and_never_to_oneself(ready: Any, shop_people: Any) -> None:
    for by, who in (
        (shop_people.trainer, shop_people.apprentice),
        (shop_people.apprentice, shop_people.apprentice),
        (shop_people.owner, shop_people.owner),
    ):
        with pytest.raises(NotAllowed):
            ready.grant(by, who)
    assert not standing_of(ready, shop_people.apprentice).cleared


def test_a_second_grant_that_adds_nothing_is_refused(ready: Any, shop_people: Any) -> None:
    ready.grant(shop_people.owner, shop_people.apprentice)
    with pytest.raises(Refusal, match="cleared for Ladder already through 25 Nov 2027"):
        ready.grant(shop_people.owner, shop_people.apprentice)
    ready.now += timedelta(days=30)
    ready.answer_all(
        shop_people.apprentice, ready.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    )
    ready.sign_off(shop_people.trainer, shop_people.apprentice)
    ready.grant(shop_people.owner, shop_people.apprentice)
    later = ON + timedelta(days=30 + 365)
    assert standing_of(ready, shop_people.apprentice, later).cleared


def test_a_clearance_that_requires_another_needs_it_granted(ready: Any, shop_people: Any) -> None:
    with pytest.raises(RequirementsUnmet):
        ready.grant(shop_people.owner, shop_people.apprentice, "roof")
    ready.grant(shop_people.owner, shop_people.apprentice)
    ready.grant(shop_people.owner, shop_people.apprentice, "roof")
    assert standing_of(ready, shop_people.apprentice, clearance="roof").cleared
    suspend(ready, shop_people.trainer, shop_people.apprentice)
    assert not standing_of(ready, shop_people.apprentice, clearance="roof").cleared


def test_a_suspension_holds_at_once_until_an_owner_lifts_it(ready: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    ready.grant(shop_people.owner, ana)
    number = suspend(ready, shop_people.trainer, ana)
    assert standing_of(ready, ana).state == "suspended"
    with pytest.raises(Refusal, match="suspended from Ladder already"):
        suspend(ready, shop_people.owner, ana)
    with pytest.raises(RequirementsUnmet, match="Suspended by Theo Tran since 25 Nov 2026: near miss"):
        ready.grant(shop_people.owner, ana)
    with pytest.raises(NotAllowed):
        lift(ready, shop_people.trainer, ana, number)
    with pytest.raises(Refusal, match="reason is missing"):
        lift(ready, shop_people.owner, ana, number, " ")
    ready.now += timedelta(days=3)
    lift(ready, shop_people.owner, ana, number)
    with pytest.raises(Refusal, match="lifted already"):
        lift(ready, shop_people.owner, ana, number)
    days = [standing_of(ready, ana, ON + timedelta(days=n)).cleared for n in range(5)]
    assert days == [False, False, False, True, True]


def test_a_suspension_is_lifted_only_for_its_own_person_and_clearance(ready: Any, shop_people: Any) -> None:
    ana, owner = shop_people.apprentice, shop_people.owner
    number = suspend(ready, shop_people.trainer, ana)
    for who, clearance in ((shop_people.other, "ladder"), (ana, "roof"), (ana, "nothing")):
        with pytest.raises(UnknownName, match="no such suspension"):
            lift(ready, owner, who, number, clearance=clearance)
    assert standing_of(ready, ana).state == "suspended"
    lift(ready, owner, ana, number)
    assert standing_of(ready, ana).state == "ready to grant"


def test_nobody_lifts_their_own_suspension(ready: Any, shop_people: Any) -> None:
    number = suspend(ready, shop_people.trainer, shop_people.owner)
    with pytest.raises(NotAllowed):
        lift(ready, shop_people.owner, shop_people.owner, number)


def test_who_may_suspend_and_why(ready: Any, shop_people: Any) -> None:
    with pytest.raises(NotAllowed):
        suspend(ready, shop_people.other, shop_people.apprentice)
    with pytest.raises(Refusal, match="reason is missing"):
        suspend(ready, shop_people.trainer, shop_people.apprentice, " ")
    with pytest.raises(UnknownName, match="no clearance 'moon'"):
        suspend(ready, shop_people.trainer, shop_people.apprentice, clearance="moon")
    with pytest.raises(UnknownName, match="no such suspension"):
        lift(ready, shop_people.owner, shop_people.apprentice, 99)


def test_a_quiz_one_assigned_to_oneself_is_no_evidence(shop: Any, shop_people: Any) -> None:
    shop.answer_all(shop_people.trainer, shop.assign(shop_people.trainer, shop_people.trainer).papers[0])
    assert not standing_of(shop, shop_people.trainer).lines[1].met
    shop.now += timedelta(minutes=5)
    shop.answer_all(shop_people.trainer, shop.assign(shop_people.owner, shop_people.trainer).papers[0])
    assert standing_of(shop, shop_people.trainer).lines[1].met


def test_a_paper_failed_later_the_same_day_takes_the_clearance_with_it(ready: Any, shop_people: Any) -> None:
    ready.grant(shop_people.owner, shop_people.apprentice)
    ready.now += timedelta(minutes=5)
    failed = ready.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    assert standing_of(ready, shop_people.apprentice).cleared
    ready.answer_all(shop_people.apprentice, failed, right=False)
    assert standing_of(ready, shop_people.apprentice).state == "lapsed"


@pytest.mark.parametrize("opened", [True, False])
def test_a_paper_taken_back_counts_against_once_it_was_opened(
    ready: Any, shop_people: Any, opened: bool
) -> None:
    ready.grant(shop_people.owner, shop_people.apprentice)
    ready.now += timedelta(minutes=5)
    assigned = ready.assign(shop_people.trainer, shop_people.apprentice)
    with ready.store.write() as session:
        if opened:
            papers.open_paper(session, shop_people.apprentice, ready.now, assigned.papers[0])
        quizzes.close(session, shop_people.trainer, ready.now, assigned.quiz_id)
    assert standing_of(ready, shop_people.apprentice).cleared is not opened


def test_a_failed_sign_off_ends_what_was_passed_before(ready: Any, shop_people: Any) -> None:
    ready.grant(shop_people.owner, shop_people.apprentice)
    ready.sign_off(shop_people.owner, shop_people.apprentice, passed=False)
    assert standing_of(ready, shop_people.apprentice).state == "lapsed"


def test_a_grade_changed_later_takes_the_clearance_with_it_from_that_day(
    ready: Any, shop_people: Any
) -> None:
    from trainer.records import review

    ready.grant(shop_people.owner, shop_people.apprentice)
    ready.now += timedelta(days=2)
    with ready.store.write() as session:
        review.change_grade(
            session,
            shop_people.trainer,
            ready.now,
            paper_id=1,
            position=1,
            credit=0.0,
            reason="read the key wrong",
        )
    cleared = [standing_of(ready, shop_people.apprentice, ON + timedelta(days=n)).cleared for n in range(4)]
    assert cleared == [True, True, False, False]


def test_a_grant_from_before_leaving_does_not_hold_after_the_return(ready: Any, shop_people: Any) -> None:
    ana, owner = shop_people.apprentice, shop_people.owner
    ready.grant(owner, ana)
    ready.now += timedelta(days=2)
    with ready.store.write() as session:
        people.deactivate(session, owner, ready.now, ana.id)
    ready.now += timedelta(days=2)
    with ready.store.write() as session:
        people.reactivate(session, owner, ready.now, ana.id)
    cleared = [standing_of(ready, ana, ON + timedelta(days=n)).cleared for n in range(6)]
    assert cleared == [True, True, False, False, False, False]
    assert standing_of(ready, ana, ON + timedelta(days=4)).state == "ready to grant"
    ready.now += timedelta(minutes=5)
    ready.grant(owner, ana)
    cleared = [standing_of(ready, ana, ON + timedelta(days=n)).cleared for n in range(6)]
    assert cleared == [True, True, False, False, True, True]


def test_a_board_of_a_past_day_lists_who_was_active_then(ready: Any, shop_people: Any) -> None:
    ana, owner = shop_people.apprentice, shop_people.owner
    with ready.store.write() as session:
        people.add_person(session, owner, ready.now, name="New Hand", sign_in="new", roles=["apprentice"])
        people.deactivate(session, owner, ready.now + timedelta(days=2), ana.id)
        people.reactivate(session, owner, ready.now + timedelta(days=4), ana.id)
        people.deactivate(session, owner, ready.now + timedelta(days=6), ana.id)
    listed = []
    with ready.store.read() as session:
        for days in range(-1, 8):
            board = queries.board(session, owner, ON + timedelta(days=days), ready.rules)
            listed.append({row.person.name for row in board.rows} & {"Ana Abel", "New Hand"})
    both_of, hand = {"Ana Abel", "New Hand"}, {"New Hand"}
    assert listed == [{"Ana Abel"}, both_of, both_of, hand, hand, both_of, both_of, hand, hand]


def test_a_deactivated_person_leaves_the_board_and_is_granted_nothing(ready: Any, shop_people: Any) -> None:
    with ready.store.write() as session:
        people.deactivate(session, shop_people.owner, ready.now, shop_people.apprentice.id)
    with pytest.raises(Refusal, match="deactivated"):
        ready.grant(shop_people.owner, shop_people.apprentice)
    with ready.store.read() as session:
        board = queries.board(session, shop_people.owner, ON, ready.rules)
    assert shop_people.apprentice.id not in {row.person.id for row in board.rows}


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        # America/New_York: 04:59 UTC is 23:59 of the day before in winter (UTC-5), 00:59 in summer (UTC-4).
        (datetime(2026, 12, 1, 4, 59, tzinfo=UTC), date(2026, 11, 30)),
        (datetime(2026, 12, 1, 5, 0, tzinfo=UTC), date(2026, 12, 1)),
        (datetime(2027, 7, 1, 3, 59, tzinfo=UTC), date(2027, 6, 30)),
        (datetime(2027, 7, 1, 4, 0, tzinfo=UTC), date(2027, 7, 1)),
        # The night the clocks go forward, 14 March 2027.
        (datetime(2027, 3, 14, 6, 59, tzinfo=UTC), date(2027, 3, 14)),
    ],
)
def test_days_are_days_in_the_shops_zone(shop: Any, shop_people: Any, moment: datetime, day: date) -> None:
    shop.now = moment
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    number = shop.grant(shop_people.owner, shop_people.apprentice)
    with shop.store.read() as session:
        row = session.get_one(Grant, number)
    assert (row.since, row.until) == (day, day + timedelta(days=365))
