"""Kept take-offs: who may do what, once-only saving, and what the history holds."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import history, jobs, queries, shop
from trainer.records.models import Event, Job

TEXTS = {"chimney_length": "40 1/2 in", "chimney_width": "24 in", "flue_1": "13 x 13 in"}


@pytest.fixture
def save(store, shop_people, now):
    def saving(actor=None, token="one", **more):
        given = {"title": "Maple Street", "texts": TEXTS, "parts": ["steel"], **more}
        with store.write() as session:
            return jobs.save(session, actor or shop_people.other, now, token=token, **given)

    return saving


def listed(store, actor):
    with store.read() as session:
        return queries.jobs(session, actor).items


def events(store, kind=None):
    with store.read() as session:
        assert history.verify(session).ok
        query = select(Event).where(Event.kind.startswith("job")).order_by(Event.number)
        return [event for event in session.scalars(query) if kind in (None, event.kind)]


def test_a_job_is_kept_with_the_shops_figures_and_everyone_may_open_it(store, shop_people, save):
    number = save()
    for actor in (shop_people.owner, shop_people.trainer, shop_people.apprentice, shop_people.other):
        with store.read() as session:
            row = queries.job(session, actor, number)
        assert (row.title, row.by, row.parts) == ("Maple Street", "Ben Bauer", ("steel",))
        assert row.texts["chimney_length"] == "40 1/2 in" and row.texts["overhang"] == "2 in"
        assert "poured_on" not in row.texts, "only the shop's figures are filled in"
        assert row.may_change is (actor is not shop_people.apprentice)
    (event,) = events(store)
    assert (event.kind, event.actor_id) == ("job saved", shop_people.other.id)
    assert event.facts["texts"] == dict(row.texts) and event.facts["parts"] == ["steel"]


def test_a_kept_job_does_not_follow_a_later_change_of_the_standard(store, shop_people, save, now):
    number = save(texts=TEXTS | {"cover": "2 in"})
    with store.write() as session:
        shop.change_standard(session, shop_people.owner, now, {"overhang": 3.0})
    with store.read() as session:
        texts = queries.job(session, shop_people.other, number).texts
    assert (texts["overhang"], texts["cover"]) == ("2 in", "2 in")


def test_the_same_form_sent_twice_is_kept_once(store, shop_people, save):
    assert save() == save() and save(token="two") != save()
    assert len(listed(store, shop_people.owner)) == len(events(store)) == 2


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"title": "  "}, "missing"),
        ({"title": "x" * 121}, "at most 120"),
        ({"texts": TEXTS | {"overhang": "1/2 in"}}, "^overhang: .*looser than every source"),
        ({"texts": TEXTS | {"chimney_width": "two feet"}}, "^chimney_width: "),
        ({"texts": {"roof": "red"}}, "has no 'roof'"),
        ({"parts": ["roof"]}, "has no 'roof'"),
    ],
)
def test_what_cannot_be_taken_is_refused_and_nothing_is_written(store, shop_people, save, more, said):
    with pytest.raises(Refusal, match=said):
        save(**more)
    assert not listed(store, shop_people.owner) and not events(store)


def test_whoever_saved_it_trainers_and_owners_may_change_it(store, shop_people, save, now):
    number = save()
    for place, actor in enumerate((shop_people.other, shop_people.trainer, shop_people.owner), 1):
        with store.write() as session:
            jobs.change(session, actor, now, number, title=f"Maple {place}", texts=TEXTS, parts=[])
    with pytest.raises(NotAllowed), store.write() as session:
        jobs.change(session, shop_people.apprentice, now, number, title="Mine", texts=TEXTS, parts=[])
    (row,) = listed(store, shop_people.owner)
    assert (row.title, row.parts, row.changed_at) == ("Maple 3", (), now)
    assert [event.facts["title"] for event in events(store, "job changed")] == [
        "Maple 1",
        "Maple 2",
        "Maple 3",
    ]


def test_a_change_that_changes_nothing_is_no_event(store, shop_people, save, now):
    number = save()
    with store.write() as session:
        jobs.change(
            session, shop_people.other, now, number, title="Maple Street", texts=TEXTS, parts=["steel"]
        )
    assert not events(store, "job changed") and listed(store, shop_people.owner)[0].changed_at is None


def test_a_refused_change_leaves_the_job_as_it_was(store, shop_people, save, now):
    number = save()
    with pytest.raises(Refusal), store.write() as session:
        jobs.change(
            session, shop_people.other, now, number, title="New", texts=TEXTS | {"chimney_width": "nan"}, parts=[]
        )  # fmt: skip
    assert listed(store, shop_people.owner)[0].title == "Maple Street"


def test_a_removed_job_is_off_the_list_and_the_history_keeps_it(store, shop_people, save, now):
    number = save()
    with pytest.raises(NotAllowed), store.write() as session:
        jobs.remove(session, shop_people.apprentice, now, number)
    for _ in range(2):
        with store.write() as session:
            jobs.remove(session, shop_people.other, now, number)
    assert listed(store, shop_people.owner) == ()
    assert [event.kind for event in events(store)] == ["job saved", "job removed"]
    with store.read() as session, pytest.raises(UnknownName):
        queries.job(session, shop_people.owner, number)
    with pytest.raises(UnknownName), store.write() as session:
        jobs.change(session, shop_people.owner, now, number, title="Back", texts=TEXTS, parts=[])
    assert save() == number, "the form of a removed job sent again brings nothing back"
    assert listed(store, shop_people.owner) == ()
    with store.read() as session:
        assert session.get_one(Job, number).texts["chimney_length"] == "40 1/2 in"


def test_an_unknown_job(store, shop_people, now):
    for act in (jobs.remove,):
        with pytest.raises(UnknownName, match="no such job"), store.write() as session:
            act(session, shop_people.owner, now, 99)


def test_the_list_costs_the_same_for_many(store, shop_people, save, count_statements):
    def cost():
        with count_statements(store) as seen:
            listed(store, shop_people.other)
        return len(seen)

    save()
    few = cost()
    for number in range(30):
        save(token=f"more {number}")
    assert cost() == few and 0 < few <= 3
