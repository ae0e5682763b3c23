"""What a certification record holds: who, when, by whom, on what evidence; and who may have it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date, timedelta

import pytest

from trainer.errors import NotAllowed, UnknownName
from trainer.records import grants, queries, signoffs

ON = date(2026, 11, 25)


@pytest.fixture
def cleared(shop, shop_people):
    """Ana holds a grant of "ladder"."""
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    shop.grant(shop_people.owner, shop_people.apprentice)
    return shop


def record(shop, who, of, on=ON):
    with shop.store.read() as session:
        return queries.certification(session, who, of.id, on, shop.rules)


def one_grant(shop, who, number=1, on=ON):
    with shop.store.read() as session:
        return queries.granted(session, who, number, on, shop.rules)


def test_it_says_who_when_by_whom_and_on_what(cleared, shop_people):
    found = record(cleared, shop_people.owner, shop_people.apprentice)
    assert found.person.name == "Ana Abel"
    (one,) = found.certified
    assert (one.name.en, one.by, one.since, one.until) == ("Ladder", "Olive Ortega", ON, date(2027, 11, 25))
    lines = {each.kind: each for each in one.trainings}
    assert set(lines) == {"lesson", "quiz", "sign-off"} and len(one.trainings) == 3
    assert all(each.days == (ON,) for each in one.trainings)
    assert lines["quiz"].by == lines["sign-off"].by == ("Theo Tran",) and lines["lesson"].by == ()
    assert found.trainers == ("Theo Tran",)
    assert one.intact and one.standing.cleared
    assert {each.clearance: each.state for each in found.standings} == {
        "ladder": "cleared",
        "roof": "ready to grant",
    }


def test_what_comes_later_does_not_change_the_grants_own_record(cleared, shop_people):
    before = one_grant(cleared, shop_people.owner).certified[0]
    cleared.now += timedelta(days=3)
    cleared.sign_off(shop_people.trainer, shop_people.apprentice, passed=False)
    cleared.make_ready(shop_people.trainer, shop_people.apprentice)
    after = one_grant(cleared, shop_people.owner).certified[0]
    assert (after.trainings, after.mark, after.until) == (before.trainings, before.mark, before.until)


def test_a_grant_that_ran_out_keeps_its_record_and_leaves_the_persons(cleared, shop_people):
    late = date(2027, 11, 26)
    assert record(cleared, shop_people.owner, shop_people.apprentice, late).certified == ()
    (one,) = one_grant(cleared, shop_people.owner, on=late).certified
    assert one.trainings and one.standing.state == "lapsed"
    assert record(cleared, shop_people.owner, shop_people.apprentice, ON - timedelta(days=1)).certified == ()


def test_a_suspended_grant_is_there_and_is_called_suspended(cleared, shop_people):
    with cleared.store.write() as session:
        grants.suspend(
            session, shop_people.trainer, cleared.now, person_id=shop_people.apprentice.id, clearance="ladder",
            reason="near miss", rules=cleared.rules,
        )  # fmt: skip
    (one,) = record(cleared, shop_people.owner, shop_people.apprentice).certified
    assert one.standing.state == "suspended" and one.standing.suspension.reason == "near miss"


def test_a_clearance_taken_out_of_the_rules_keeps_its_record(cleared, shop_people):
    with cleared.store.read() as session:
        from dataclasses import replace

        found = queries.granted(session, shop_people.owner, 1, ON, replace(cleared.rules, clearances={}))
    (one,) = found.certified
    assert one.rule is None and one.standing is None and len(one.trainings) == 3 and one.name.en == "ladder"


def test_a_copy_that_was_changed_is_noticed(cleared, shop_people, store_path):
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE clearance_grant SET evidence = '{\"lines\": []}'")
    (one,) = one_grant(cleared, shop_people.owner).certified
    assert not one.intact and one.trainings == () and one.told is not None


def test_who_may_have_it(cleared, shop_people):
    for who in (shop_people.owner, shop_people.trainer, shop_people.apprentice):
        assert record(cleared, who, shop_people.apprentice).certified
        assert one_grant(cleared, who).certified
    with pytest.raises(NotAllowed):
        record(cleared, shop_people.other, shop_people.apprentice)
    with pytest.raises(NotAllowed):
        one_grant(cleared, shop_people.other)
    with pytest.raises(UnknownName):
        one_grant(cleared, shop_people.owner, 9)


def test_statements_do_not_grow_with_grants(cleared, shop_people, count_statements):
    with count_statements(cleared.store) as few:
        record(cleared, shop_people.owner, shop_people.apprentice)
    for _ in range(4):
        cleared.now += timedelta(days=1)
        with cleared.store.write() as session:
            signoffs.record(
                session, shop_people.trainer, cleared.now, person_id=shop_people.apprentice.id,
                task=cleared.rules.tasks["set-ladder"], passed=True, criteria=[True], measures={}, notes="",
                token=cleared.token(),
            )  # fmt: skip
        cleared.answer_all(
            shop_people.apprentice, cleared.assign(shop_people.trainer, shop_people.apprentice).papers[0]
        )
        cleared.grant(shop_people.owner, shop_people.apprentice)
    cleared.grant(shop_people.owner, shop_people.apprentice, "roof")
    with count_statements(cleared.store) as many:
        found = record(cleared, shop_people.owner, shop_people.apprentice, cleared.now.date())
    assert len(found.certified) == 2
    assert len(few) == len(many) <= 14, many
