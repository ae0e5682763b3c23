"""An older version of a lesson accepted by a trainer, and asked again: dated, recorded, never for oneself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from trainer.clearance import standing
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import acceptances, history, people, queries
from trainer.records.evidence import evidence_of
from trainer.records.models import Event, LessonAcceptance
from trainer.records.submissions import ChangedMeanwhile, SentBefore

TODAY = date(2026, 11, 25)


@pytest.fixture
def changed(shop: Any, shop_people: Any) -> Any:
    """Ana has everything the clearance "ladder" takes, and a grant; then its lesson comes out at version 2."""
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    shop.grant(shop_people.owner, shop_people.apprentice)
    shop.rules.lessons["ladders"] = replace(shop.rules.lessons["ladders"], version=2)
    return shop


def state(shop: Any, who: Any, on: date = TODAY) -> str:
    with shop.store.read() as session:
        return standing(who.id, "ladder", evidence_of(session, who.id), on, shop.rules).state


def accept(shop: Any, by: Any, **other: Any) -> int:
    ref = shop.rules.lessons["ladders"]
    terms: dict[str, Any] = {
        "lesson": ref,
        "present": ref.version,
        "version": 1,
        "reason": "typos",
        "token": shop.token(),
    }
    with shop.store.write() as session:
        return acceptances.accept(session, by, shop.now, **{**terms, **other})


def withdraw(
    shop: Any, by: Any, number: int, reason: str = "it matters after all", lesson: str = "ladders"
) -> None:
    with shop.store.write() as session:
        acceptances.withdraw(session, by, shop.now, lesson=lesson, acceptance_id=number, reason=reason)


def test_it_counts_from_its_day_and_never_before(changed: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    assert state(changed, ana) == "lapsed"
    changed.now += timedelta(days=3)
    number = accept(changed, shop_people.trainer)
    days = [TODAY + timedelta(days=n) for n in range(6)]
    assert [state(changed, ana, day) for day in days] == ["lapsed"] * 3 + ["cleared"] * 3
    changed.now += timedelta(days=2)
    withdraw(changed, shop_people.owner, number)
    assert [state(changed, ana, day) for day in days] == ["lapsed"] * 3 + ["cleared"] * 2 + ["lapsed"]
    with changed.store.read() as session:
        assert history.verify(session).ok
        told = session.scalars(select(Event).where(Event.kind.startswith("older lesson"))).all()
    assert [(one.kind, one.facts["reason"]) for one in told] == [
        ("older lesson accepted", "typos"),
        ("older lesson asked again", "it matters after all"),
    ]


def test_it_is_of_one_present_version_only(changed: Any, shop_people: Any) -> None:
    accept(changed, shop_people.trainer)
    assert state(changed, shop_people.apprentice) == "cleared"
    changed.rules.lessons["ladders"] = replace(changed.rules.lessons["ladders"], version=3)
    assert state(changed, shop_people.apprentice) == "lapsed"


def test_who_accepts_it_does_not_do_so_for_themselves(changed: Any, shop_people: Any) -> None:
    owner, trainer = shop_people.owner, shop_people.trainer
    changed.rules.lessons["ladders"] = replace(changed.rules.lessons["ladders"], version=1)
    changed.read(trainer)
    changed.rules.lessons["ladders"] = replace(changed.rules.lessons["ladders"], version=2)
    accept(changed, trainer)
    with changed.store.read() as session:
        own = queries.lessons(session, trainer, changed.rules)[0]
        (lesson,) = queries.changed_lessons(session, trainer, TODAY, changed.rules)
    assert own.state == "changed since"
    assert [(one.person.name, one.accepted) for one in lesson.readers] == [
        ("Ana Abel", True),
        ("Theo Tran", False),
    ]
    accept(changed, owner)
    with changed.store.read() as session:
        own = queries.lessons(session, trainer, changed.rules)[0]
    assert (own.state, own.settled) == ("accepted", True)


def test_what_cannot_be_accepted(changed: Any, shop_people: Any) -> None:
    trainer = shop_people.trainer
    for by, other, refusal, words in (
        (shop_people.apprentice, {}, NotAllowed, "trainer or an owner"),
        (trainer, {"reason": "  "}, Refusal, "The reason is missing"),
        (trainer, {"version": 2}, Refusal, "not older"),
        (trainer, {"version": 0}, Refusal, "not older"),
        (trainer, {"present": 3}, ChangedMeanwhile, "version 2 stands now"),
    ):
        with pytest.raises(refusal, match=words):
            accept(changed, by, **other)
    number = accept(changed, trainer, token="form")
    assert accept(changed, trainer, token="form") == number, "the same form is confirmed"
    with pytest.raises(SentBefore):
        accept(changed, trainer, token="form", reason="other")
    with pytest.raises(Refusal, match="take that back first"):
        accept(changed, trainer)
    with changed.store.read() as session:
        assert len(session.scalars(select(LessonAcceptance)).all()) == 1


def test_what_cannot_be_asked_again(changed: Any, shop_people: Any) -> None:
    number = accept(changed, shop_people.trainer)
    with pytest.raises(NotAllowed):
        withdraw(changed, shop_people.apprentice, number)
    with pytest.raises(Refusal, match="The reason is missing"):
        withdraw(changed, shop_people.owner, number, reason="")
    for unknown in ({"number": 99}, {"number": number, "lesson": "crowns"}):
        with pytest.raises(UnknownName):
            withdraw(changed, shop_people.owner, **unknown)
    withdraw(changed, shop_people.trainer, number)
    with pytest.raises(Refusal, match="already"):
        withdraw(changed, shop_people.owner, number)


def test_the_list_says_who_is_affected_and_what_would_change(changed: Any, shop_people: Any) -> None:
    trainer = shop_people.trainer

    def look() -> Any:
        with changed.store.read() as session:
            return queries.changed_lessons(session, trainer, TODAY, changed.rules)

    (lesson,) = look()
    (reader,) = lesson.readers
    assert (lesson.id, lesson.version, lesson.older, len(lesson.asked)) == ("ladders", 2, (1,), 1)
    assert (reader.person.name, reader.version, reader.read_on, reader.accepted) == (
        "Ana Abel",
        1,
        TODAY,
        False,
    )
    said = [(one.before.clearance, one.before.state, one.after.state) for one in reader.changes]
    assert said == [("ladder", "lapsed", "cleared"), ("roof", "not cleared", "ready to grant")]
    number = accept(changed, trainer)
    (reader,) = look()[0].readers
    said = [(one.before.clearance, one.before.state, one.after.state) for one in reader.changes]
    assert (reader.accepted, look()[0].asked) == (True, ())
    assert said == [("ladder", "cleared", "lapsed"), ("roof", "ready to grant", "not cleared")]
    assert [row.id for row in look()[0].standing()] == [number]
    # Read anew, nothing is asked of her; deactivated, nobody asks.
    changed.read(shop_people.apprentice)
    assert look()[0].readers == ()
    with changed.store.write() as session:
        people.deactivate(session, shop_people.owner, changed.now, shop_people.apprentice.id)
    assert look()[0].readers == ()


def test_a_grant_keeps_what_was_accepted_in_its_evidence(changed: Any, shop_people: Any) -> None:
    accept(changed, shop_people.trainer)
    number = changed.grant(shop_people.owner, shop_people.apprentice, "roof")
    with changed.store.read() as session:
        view = queries.person_clearances(
            session, shop_people.owner, shop_people.apprentice.id, TODAY, changed.rules
        )
    kept = next(row for row in view.grants if row.id == number).evidence
    assert [(one["version"], one["present"]) for one in kept["evidence"]["acceptances"]] == [(1, 2)]
