"""The rules as dated versions: the past is asked by the rules of its day, and an owner decides on every change."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from trainer.clearance import ClearanceRequirement, LessonRef, LessonRequirement, SignOffRequirement
from trainer.errors import NotAllowed, Refusal, StoreError, UnknownName
from trainer.records import history, queries, rules
from trainer.records.models import RulesVersion
from trainer.records.submissions import ChangedMeanwhile, SentBefore

ON = date(2026, 11, 25)


@pytest.fixture
def own(shop: Any, shop_people: Any) -> Any:
    """A shop with its first version, in which Ana is cleared for ladders."""
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    shop.grant(shop_people.owner, shop_people.apprentice)
    with shop.store.write() as session:
        assert rules.begin(session, shop.now, shop.rules)
    return shop


def state(shop: Any, who: Any, on: date, present: Any = None, clearance: str = "ladder") -> str | None:
    """Ana's state on the day as her page tells it; None when there was no such clearance."""
    with shop.store.read() as session:
        view = queries.person_clearances(session, who.owner, who.apprentice.id, on, present or shop.rules)
    return next((one.state for one in view.standings if one.clearance == clearance), None)


def stricter(present: Any) -> Any:
    """The program's rules with one lesson more for ladders, and a must-pass question on them."""
    ladder = present.clearances["ladder"]
    more = replace(ladder, version=2, accepts=1, requires=(*ladder.requires, LessonRequirement("crowns")))
    return replace(
        present,
        clearances={**present.clearances, "ladder": more},
        must_pass=present.must_pass | {"ladder-setup"},
    )


def mark(shop: Any) -> str:
    with shop.store.read() as session:
        return rules.mark(session)


def adopt(shop: Any, who: Any, present: Any, actor: Any = None, **other: Any) -> int:
    with shop.store.write() as session:
        return rules.adopt(
            session, actor or who.owner, shop.now, present=present,
            **{"earlier_grants": True, "reason": "agreed", "made_from": mark(shop), "token": "a", **other},
        )  # fmt: skip


def test_the_first_version_is_taken_once_and_holds_since_the_beginning(own: Any, shop_people: Any) -> None:
    with own.store.write() as session:
        assert not rules.begin(session, own.now, stricter(own.rules))
    with own.store.read() as session:
        (first,) = rules.versions(session, shop_people.trainer, own.rules)
        assert rules.in_force(session, date(1, 1, 1), stricter(own.rules)).clearances == own.rules.clearances
        assert (first.since, first.how, first.by) == (None, "first", "")
        assert history.verify(session).ok


def test_rules_changed_in_the_files_change_nothing_until_an_owner_decides(own: Any, shop_people: Any) -> None:
    later = stricter(own.rules)
    assert state(own, shop_people, ON, later) == "cleared"
    with own.store.read() as session:
        assert rules.waiting(session, later) and not rules.waiting(session, own.rules)
        assert queries.board(session, shop_people.owner, ON, later).waiting
        home = queries.home(session, shop_people.apprentice, own.now, later)
        record = queries.person_record(session, shop_people.owner, shop_people.apprentice.id, own.now, later)
    for standings in (home.standings, record.standings):
        assert {one.clearance: one.state for one in standings}["ladder"] == "cleared"


def test_what_is_taken_over_holds_from_that_day_and_the_past_stays(own: Any, shop_people: Any) -> None:
    later = stricter(own.rules)
    own.now += timedelta(days=3)
    with own.store.read() as session:
        after = rules.adopted(session, later, earlier_grants=True)
        lost, other = rules.seen_first(session, shop_people.owner, own.now, after, later)
    assert (lost.kind, lost.person_id, lost.name.en) == ("loses", shop_people.apprentice.id, "Ladder")
    assert (other.kind, other.name.en) == ("else", "Low roof"), "ready to grant no more, for it needs ladders"
    adopt(own, shop_people, later)
    day = own.now.date()
    states = [state(own, shop_people, day + timedelta(days=n), later) for n in (-3, -2, -1, 0, 1)]
    assert states == ["cleared", "cleared", "cleared", "lapsed", "lapsed"]
    with own.store.read() as session:
        newest = rules.versions(session, shop_people.owner, later)[0]
        assert not rules.waiting(session, later)
        assert history.verify(session).ok
    assert (newest.since, newest.how, newest.by, newest.reason) == (day, "adopted", "Olive Ortega", "agreed")
    assert newest.before is not None and newest.before.clearances == own.rules.clearances


def test_what_is_kept_is_said_once_and_changes_nothing(own: Any, shop_people: Any) -> None:
    later = stricter(own.rules)
    with own.store.write() as session:
        rules.keep(
            session, shop_people.owner, own.now, reason="not for us", present=later, made_from="1", token="k"
        )
    assert state(own, shop_people, ON, later) == "cleared"
    with own.store.read() as session:
        assert not rules.waiting(session, later) and rules.waiting(session, own.rules)


def change(shop: Any, who: Any, clearance: Any, token: str = "c", **other: Any) -> int:
    with shop.store.write() as session:
        return rules.change(
            session, other.pop("actor", who.owner), shop.now, clearance=clearance, present=shop.rules, token=token,
            **{"earlier_grants": True, "reason": "a near miss", "made_from": mark(shop), **other},
        )  # fmt: skip


def test_a_clearance_changed_in_the_application_holds_from_that_day(own: Any, shop_people: Any) -> None:
    ladder = own.rules.clearances["ladder"]
    own.now += timedelta(days=1)
    change(own, shop_people, replace(ladder, requires=(*ladder.requires, LessonRequirement("crowns"))))
    assert [state(own, shop_people, own.now.date() + timedelta(days=n)) for n in (-1, 0)] == [
        "cleared",
        "lapsed",
    ]
    own.now += timedelta(days=1)
    change(own, shop_people, ladder, token="back")
    assert [state(own, shop_people, own.now.date() + timedelta(days=n)) for n in (-2, -1, 0)] == [
        "cleared",
        "lapsed",
        "cleared",
    ]
    with own.store.read() as session:
        versions = rules.versions(session, shop_people.owner, own.rules)
        assert [one.rules.clearances["ladder"].version for one in versions] == [3, 2, 1]
        assert history.verify(session).ok and not rules.waiting(session, own.rules)


def test_a_grant_and_a_suspension_are_held_to_the_shops_own_rules(own: Any, shop_people: Any) -> None:
    new = replace(own.rules.clearances["ladder"], id="flat-roof", requires=(ClearanceRequirement("ladder"),))
    change(own, shop_people, new)
    number = own.grant(shop_people.owner, shop_people.apprentice, "flat-roof")
    assert state(own, shop_people, ON, clearance="flat-roof") == "cleared" and number == 2
    with own.store.write() as session:
        rules.withdraw(
            session, shop_people.owner, own.now, clearance="roof", reason="never used", present=own.rules,
            made_from=mark(own), token="w",
        )  # fmt: skip
    assert state(own, shop_people, ON, clearance="roof") is None
    assert state(own, shop_people, ON - timedelta(days=1), clearance="roof") is not None
    with pytest.raises(UnknownName):
        own.grant(shop_people.owner, shop_people.apprentice, "roof")


def test_only_an_owner_decides_with_a_reason_and_on_what_stands(own: Any, shop_people: Any) -> None:
    ladder = replace(own.rules.clearances["ladder"], requires=(LessonRequirement("crowns"),))
    for wrong, error in (
        ({"actor": shop_people.trainer}, NotAllowed),
        ({"actor": shop_people.apprentice}, NotAllowed),
        ({"reason": "  "}, Refusal),
        ({"made_from": "77"}, ChangedMeanwhile),
    ):
        with pytest.raises(error):
            change(own, shop_people, ladder, **wrong)
    with pytest.raises(NotAllowed):
        adopt(own, shop_people, own.rules, actor=shop_people.trainer)
    with own.store.read() as session, pytest.raises(NotAllowed):
        rules.versions(session, shop_people.apprentice, own.rules)
    assert mark(own) == "1"


def test_a_form_acts_once(own: Any, shop_people: Any) -> None:
    ladder = replace(own.rules.clearances["ladder"], requires=(LessonRequirement("crowns"),))
    first = change(own, shop_people, ladder)
    assert change(own, shop_people, ladder, made_from="1") == first
    for other in ({"reason": "another"}, {"clearance": own.rules.clearances["roof"]}):
        with pytest.raises(SentBefore):
            change(own, shop_people, **{"clearance": ladder, **other})
    assert mark(own) == str(first) == "2"


def test_no_version_begins_before_the_one_it_replaces(own: Any, shop_people: Any) -> None:
    """As when the shop's zone is set back over midnight."""
    ladder = own.rules.clearances["ladder"]
    own.now += timedelta(days=1)
    change(own, shop_people, replace(ladder, requires=(LessonRequirement("crowns"),)))
    own.now -= timedelta(days=1)
    change(own, shop_people, ladder, token="other")
    with own.store.read() as session:
        newest = rules.versions(session, shop_people.owner, own.rules)[0]
    assert newest.since == ON + timedelta(days=1)
    assert [state(own, shop_people, ON + timedelta(days=n)) for n in (0, 1)] == ["cleared", "cleared"]


def test_rules_that_cannot_be_read_clear_nobody(own: Any, shop_people: Any) -> None:
    with own.store.write() as session:
        session.get_one(RulesVersion, 1).content = {"clearances": [{}]}
    with own.store.read() as session, pytest.raises(StoreError):
        queries.board(session, shop_people.owner, ON, own.rules)


def test_a_lesson_read_in_a_newer_version_counts_and_an_older_one_does_not(
    own: Any, shop_people: Any
) -> None:
    newer = replace(
        own.rules,
        lessons={**own.rules.lessons, "ladders": LessonRef("ladders", 2, own.rules.lesson_name("ladders"))},
    )
    assert state(own, shop_people, ON, newer) == "cleared", "read at version 1, which the shop's rules accept"
    adopt(own, shop_people, newer)
    assert state(own, shop_people, ON, newer) == "lapsed", "the program asks for the present version only"


def test_no_later_change_of_the_rules_alters_any_earlier_day(own: Any, shop_people: Any) -> None:
    """Twenty random decisions over forty days: after each, every earlier day answers as it did."""
    chance = random.Random(7)
    shapes = [
        own.rules.clearances["ladder"].requires,
        (LessonRequirement("crowns"),),
        (LessonRequirement("ladders"),),
        (*own.rules.clearances["ladder"].requires, LessonRequirement("crowns")),
        (SignOffRequirement("set-ladder"),),
    ]
    answers: dict[date, list[tuple[str, str]]] = {}
    shown: set[str] = set()
    for number in range(20):
        for _ in range(chance.randint(0, 4)):
            own.now += timedelta(days=1)
        today = own.now.date()
        clearance = replace(own.rules.clearances["ladder"], requires=chance.choice(shapes))
        present = chance.choice([own.rules, stricter(own.rules)])
        try:
            if chance.random() < 0.3:
                adopt(own, shop_people, present, earlier_grants=chance.random() < 0.7, token=f"t{number}")
            else:
                change(own, shop_people, clearance, token=f"t{number}", earlier_grants=chance.random() < 0.7)
        except Refusal as refused:
            assert "Nothing is changed" in str(refused)
        with own.store.read() as session:
            for day, before in answers.items():
                if day < today:
                    assert (
                        asked(session, shop_people, day, chance.choice([own.rules, stricter(own.rules)]))
                        == before
                    )
            for ahead in range(-2, 1):
                day = today + timedelta(days=ahead)
                answers[day] = asked(session, shop_people, day, own.rules)
                shown |= {state for _, state in answers[day]}
    assert {"cleared", "lapsed"} <= shown, "the decisions did something"
    with own.store.read() as session:
        assert history.verify(session).ok


def asked(session: Any, who: Any, day: date, present: Any) -> list[tuple[str, str]]:
    view = queries.person_clearances(session, who.owner, who.apprentice.id, day, present)
    return [(one.clearance, one.state) for one in view.standings]
