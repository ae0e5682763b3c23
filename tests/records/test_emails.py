"""E-mail addresses of people: who sets them, which are taken, and what the history keeps of them."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from trainer.errors import NotAllowed, Refusal
from trainer.records import emails, history, queries


def put(shop, who, of, email):
    with shop.store.write() as session:
        emails.set_email(session, who, shop.now, of.id, email)


def kept(shop, of):
    with shop.store.read() as session:
        return emails.email_of(session, of.id)


def test_ones_own_and_by_the_owner(shop, shop_people):
    ana = shop_people.apprentice
    put(shop, ana, ana, "  ana.abel+work@shop.example ")
    assert kept(shop, ana) == "ana.abel+work@shop.example"
    put(shop, shop_people.owner, ana, "ana@other.example")
    assert kept(shop, ana) == "ana@other.example"
    put(shop, ana, ana, " ")
    assert kept(shop, ana) is None
    for who in (shop_people.trainer, shop_people.other):
        with pytest.raises(NotAllowed):
            put(shop, who, ana, "x@y.example")


# The examples of valid and invalid addresses: HTML standard (WHATWG), 4.10.5.1.5; lengths: RFC 5321, 4.5.3.1.
@pytest.mark.parametrize(
    "email", ["a@b", "o'neill@shop.example", "A.b-c_d@sub.shop.example", "x" * 64 + "@b.example"]
)
def test_addresses_that_are_taken(shop, shop_people, email):
    put(shop, shop_people.apprentice, shop_people.apprentice, email)
    assert kept(shop, shop_people.apprentice) == email


@pytest.mark.parametrize(
    "email",
    [
        "ana", "ana@", "@b.example", "a@b@c.example", "a b@c.example", "ana@-b.example", "ana@b..example",
        "ana@b.example\nBcc: x@y.example", "ana@b.example\r\n\r\nHello", "ana@b.example, x@y.example",
        "Ana <ana@b.example>", "ana@b.example\x00", "ñ@b.example", "ana@ñ.example", '"a b"@c.example',
        ".a@b.example", "a.@b.example", "a..b@c.example", "x" * 65 + "@b.example", "a@" + ("b" * 60 + ".") * 5 + "c",
    ],
)  # fmt: skip
def test_addresses_that_are_refused(shop, shop_people, email):
    with pytest.raises(Refusal, match="no e-mail address"):
        put(shop, shop_people.apprentice, shop_people.apprentice, email)
    assert kept(shop, shop_people.apprentice) is None


def test_the_history_tells_that_it_changed_and_holds_only_a_hash(shop, shop_people, store_path):
    ana = shop_people.apprentice
    put(shop, ana, ana, "ana@shop.example")
    put(shop, ana, ana, "ana@shop.example")  # the same again is no change
    with shop.store.read() as session:
        told = [row for row in queries.history(session, shop_people.owner).items if "e-mail" in row.kind]
        assert len(told) == 1 and "ana@shop" not in str(told[0].facts)
        assert history.verify(session).ok
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE person SET email = 'thief@elsewhere.example' WHERE id = 3")
    with shop.store.read() as session:
        said = [one.sentence.en for one in history.verify(session).differences]
    assert said == ["Person 3 is not as the history tells it: the e-mail address."]
