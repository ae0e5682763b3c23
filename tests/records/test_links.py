"""Private links: who makes one, what it shows, and how it ends."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select, text

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import history, links, people, queries
from trainer.records.models import PrivateLink

USES = (links.CARD, *links.CALENDARS)


def make(shop, by, of, use=links.CARD, token="form"):
    with shop.store.write() as session:
        return links.make(session, by, shop.now, use=use, person_id=of.id, token=token)


def opened(shop, key, *uses):
    with shop.store.read() as session:
        return links.opened(session, key, *(uses or USES))


def withdraw(shop, by, number=1):
    with shop.store.write() as session:
        links.withdraw(session, by, shop.now, number)


def test_a_key_is_long_random_and_stored_only_as_a_hash(shop, shop_people):
    key = make(shop, shop_people.owner, shop_people.apprentice)
    # 160 bits in base64url are 27 letters; RFC 4648. OWASP asks of a session key at least 64 bits of entropy.
    assert len(key) == 27 and key.replace("-", "").replace("_", "").isalnum()
    with shop.store.engine.connect() as connection:
        kept = "".join(
            str(row)
            for table in ("private_link", "event")
            for row in connection.execute(text(f"SELECT * FROM {table}"))
        )
    assert key not in kept and links.hash_of(key) in kept
    assert opened(shop, key).person.name == "Ana Abel" and opened(shop, key).use == "card"


def test_keys_differ_by_person_use_and_form_and_the_same_form_makes_one(shop, shop_people):
    owner, ana = shop_people.owner, shop_people.apprentice
    first = make(shop, owner, ana)
    assert make(shop, owner, ana) == first
    others = {
        make(shop, owner, shop_people.other),
        make(shop, owner, ana, token="another"),
        make(shop, owner, owner, use=links.OWN_DAYS),
        make(shop, owner, owner, use=links.SHOP_DAYS),
        make(shop, owner, owner, token=""),
        make(shop, owner, owner, token=""),
    }
    assert len(others | {first}) == 7
    with shop.store.read() as session:
        assert len(session.scalars(select(PrivateLink.id)).all()) == 7


@pytest.mark.parametrize("key", ["", "x", "A" * 27, "\x00", "é", "\udc80", "a" * 5000, "' OR 1=1 --"])
def test_an_unknown_key_opens_nothing(shop, shop_people, key):
    make(shop, shop_people.owner, shop_people.apprentice)
    assert opened(shop, key) is None


def test_a_withdrawn_link_opens_nothing_ever_again(shop, shop_people):
    owner, ana = shop_people.owner, shop_people.apprentice
    key, other = make(shop, owner, ana), make(shop, owner, ana, token="another")
    withdraw(shop, owner)
    withdraw(shop, owner)  # twice acts once
    assert opened(shop, key) is None and opened(shop, other) is not None
    with pytest.raises(Refusal, match="withdrawn"):
        make(shop, owner, ana)
    with shop.store.read() as session:
        assert [row.id for row in queries.links(session, owner)] == [2]
        kinds = [row.kind for row in queries.history(session, owner).items if "link" in row.kind]
        assert kinds == ["private link withdrawn", "private link made", "private link made"]
        assert history.verify(session).ok


def test_new_cards_may_end_the_older_ones(shop, shop_people):
    owner, ana = shop_people.owner, shop_people.apprentice
    old = make(shop, owner, ana, token="old")
    of_ben = make(shop, owner, shop_people.other, token="old")
    calendar = make(shop, ana, ana, use=links.OWN_DAYS)
    new = make(shop, owner, ana, token="new")
    with shop.store.write() as session:
        links.withdraw_others(session, owner, shop.now, use=links.CARD, person_id=ana.id, keep=new)
    assert opened(shop, old) is None
    assert all(opened(shop, key) for key in (of_ben, calendar, new))


def test_a_link_opens_only_what_it_was_made_for(shop, shop_people):
    key = make(shop, shop_people.owner, shop_people.apprentice)
    assert opened(shop, key, *links.CALENDARS) is None and opened(shop, key, links.CARD) is not None


def test_who_makes_what(shop, shop_people):
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    for who in (trainer, ana):
        with pytest.raises(NotAllowed):
            make(shop, who, ana)
    for who in (owner, trainer):
        with pytest.raises(NotAllowed, match="their own"):
            make(shop, who, ana, use=links.OWN_DAYS)
        assert make(shop, who, who, use=links.SHOP_DAYS)
    with pytest.raises(NotAllowed):
        make(shop, ana, ana, use=links.SHOP_DAYS)
    assert make(shop, ana, ana, use=links.OWN_DAYS)


def test_who_withdraws_what(shop, shop_people):
    owner, trainer, ana, ben = (
        shop_people.owner, shop_people.trainer, shop_people.apprentice, shop_people.other,
    )  # fmt: skip
    make(shop, owner, ana)
    make(shop, ana, ana, use=links.OWN_DAYS)
    make(shop, trainer, trainer, use=links.SHOP_DAYS)
    for who, number in ((ana, 1), (trainer, 1), (ben, 2), (trainer, 2), (ana, 3)):
        with pytest.raises(NotAllowed):
            withdraw(shop, who, number)
    withdraw(shop, ana, 2)
    withdraw(shop, owner, 3)
    with pytest.raises(UnknownName):
        withdraw(shop, owner, 9)
    with shop.store.read() as session, pytest.raises(NotAllowed):
        queries.links(session, trainer)


def test_the_shops_calendar_ends_with_the_role(shop, shop_people):
    trainer = shop_people.trainer
    key = make(shop, trainer, trainer, use=links.SHOP_DAYS)
    assert opened(shop, key) is not None
    with shop.store.write() as session:
        people.change_roles(session, shop_people.owner, shop.now, trainer.id, ["apprentice"])
    assert opened(shop, key) is None


def test_links_end_for_good_when_the_person_leaves(shop, shop_people):
    owner, ana = shop_people.owner, shop_people.apprentice
    key = make(shop, owner, ana)
    shop.now += timedelta(days=1)
    with shop.store.write() as session:
        people.deactivate(session, owner, shop.now, ana.id)
    assert opened(shop, key) is None
    with pytest.raises(Refusal, match="deactivated"):
        make(shop, owner, ana, token="another")
    shop.now += timedelta(days=1)
    with shop.store.write() as session:
        people.reactivate(session, owner, shop.now, ana.id)
    assert opened(shop, key) is None, "a card in someone's pocket does not come back to life"
    with shop.store.read() as session:
        assert queries.links(session, owner) == ()
    shop.now += timedelta(days=1)
    assert opened(shop, make(shop, owner, ana, token="new")) is not None


def test_a_card_holds_what_is_in_force_today_only(shop, shop_people):
    owner, ana = shop_people.owner, shop_people.apprentice
    key = make(shop, owner, ana)

    def card():
        with shop.store.read() as session:
            return queries.card(session, shop.now, key, shop.rules)

    assert card().cleared == ()
    shop.make_ready(shop_people.trainer, ana)
    assert card().cleared == (), "ready is not cleared"
    shop.grant(owner, ana)
    assert [one.clearance for one in card().cleared] == ["ladder"]
    shop.now += timedelta(days=366)
    assert card().cleared == ()


def test_statements_do_not_grow(shop, shop_people, count_statements):
    owner, ana = shop_people.owner, shop_people.apprentice
    make(shop, owner, ana)
    counts = []
    for _ in range(2):
        with count_statements(shop.store) as sent, shop.store.read() as session:
            queries.cards(session, owner, shop.now, shop.rules)
        counts.append(len(sent))
        for number in range(5):
            make(shop, owner, ana, token=f"more {number}")
    assert counts[0] == counts[1] <= 14
