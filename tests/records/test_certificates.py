"""Certificates from outside: who may put one on record, which dates can be, and what a clearance makes of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from trainer.clearance import CertificateRequirement, standing
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import certificates, history, people, queries
from trainer.records.evidence import evidence_of
from trainer.records.submissions import SentBefore

TODAY = date(2026, 11, 25)
DAY = timedelta(days=1)


@pytest.fixture
def roof(shop: Any) -> Any:
    """The shop's clearance "ladder" asks for first aid too, and Ana has everything else."""
    ladder = shop.rules.clearances["ladder"]
    asks = replace(ladder, requires=(*ladder.requires, CertificateRequirement("first-aid")))
    shop.rules = replace(shop.rules, clearances={**shop.rules.clearances, "ladder": asks})
    return shop


def stands(shop: Any, who: Any, on: date = TODAY) -> Any:
    with shop.store.read() as session:
        return standing(who.id, "ladder", evidence_of(session, who.id), on, shop.rules)


def test_a_clearance_that_asks_for_one_ends_with_it(roof: Any, shop_people: Any) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    roof.make_ready(trainer, ana)
    assert stands(roof, ana).reasons[0].en == "Certificate: First aid: None on record."
    roof.certificate(trainer, ana, expires=TODAY + 20 * DAY)
    roof.grant(owner, ana)
    found = stands(roof, ana)
    assert found.cleared and found.until == TODAY + 20 * DAY
    assert stands(roof, ana, TODAY + 20 * DAY).cleared and not stands(roof, ana, TODAY + 21 * DAY).cleared
    assert not stands(roof, ana, TODAY - DAY).requirements_met, "it counts from the day it was put on record"


def test_a_withdrawal_ends_it_at_once_and_no_earlier_day_changes(roof: Any, shop_people: Any) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    roof.make_ready(trainer, ana)
    number = roof.certificate(trainer, ana)
    roof.now += 3 * DAY
    assert stands(roof, ana, TODAY + 3 * DAY).requirements_met
    with roof.store.write() as session:
        certificates.withdraw(session, trainer, roof.now, certificate_id=number, reason=" Not genuine. ")
    assert [stands(roof, ana, TODAY + n * DAY).requirements_met for n in range(5)] == [True] * 3 + [False] * 2
    with roof.store.read() as session:
        row = queries.certificate(session, trainer, number)
        assert history.verify(session).ok
    assert (row.withdrawn_on, row.withdrawn_by, row.withdrawn_reason) == (
        TODAY + 3 * DAY,
        "Theo Tran",
        "Not genuine.",
    )
    assert [row.state(TODAY + n * DAY) for n in (2, 3)] == ["good", "withdrawn"]


def test_it_is_withdrawn_once_and_with_a_reason(shop: Any, shop_people: Any) -> None:
    trainer, ana = shop_people.trainer, shop_people.apprentice
    number = shop.certificate(trainer, ana)

    def withdraw(by: Any, reason: str, which: int = number) -> None:
        with shop.store.write() as session:
            certificates.withdraw(session, by, shop.now, certificate_id=which, reason=reason)

    with pytest.raises(Refusal, match="The reason is missing"):
        withdraw(trainer, "  ")
    with pytest.raises(NotAllowed):
        withdraw(ana, "I want to")
    with pytest.raises(UnknownName):
        withdraw(trainer, "gone", 99)
    withdraw(trainer, "a slip")
    with pytest.raises(Refusal, match="withdrawn already"):
        withdraw(trainer, "again")


def test_nobody_puts_their_own_on_record_and_no_new_hire_anyones(shop: Any, shop_people: Any) -> None:
    for by, who in (
        (shop_people.trainer, shop_people.trainer),
        (shop_people.owner, shop_people.owner),
        (shop_people.apprentice, shop_people.other),
    ):
        with pytest.raises(NotAllowed):
            shop.certificate(by, who)
    with shop.store.write() as session:
        people.deactivate(session, shop_people.owner, shop.now, shop_people.other.id)
    with pytest.raises(Refusal, match="deactivated"):
        shop.certificate(shop_people.trainer, shop_people.other)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"issued": TODAY + DAY}, "cannot have been issued after today, 25 Nov 2026"),
        ({"expires": TODAY - 2 * DAY}, "lies before the day it was issued"),
        ({"expires": None}, "needs the last day"),
        ({"expires": date(2206, 11, 25)}, "more than 50 years after"),
        ({"issued": date(1026, 11, 24)}, "too long ago"),
        ({"kind": "gone"}, "Choose the kind"),
        ({"issuer": "  "}, "Who issued it is missing"),
        ({"issuer": "x" * 201}, "at most 200"),
    ],
)
def test_what_cannot_be_is_refused(shop: Any, shop_people: Any, given: dict[str, Any], said: str) -> None:
    with pytest.raises(Refusal, match=said):
        shop.certificate(shop_people.trainer, shop_people.apprentice, **given)
    with shop.store.read() as session:
        assert not queries.certificates(session, shop_people.owner, shop_people.apprentice.id).certificates


@pytest.mark.parametrize(
    "given",
    [
        {"issued": TODAY, "expires": TODAY},
        {"kind": "rigging", "expires": None},
        {"issued": date(2020, 1, 1), "expires": date(2021, 1, 1)},  # run out already: on record all the same
    ],
)
def test_what_a_paper_may_say_is_taken(shop: Any, shop_people: Any, given: dict[str, Any]) -> None:
    number = shop.certificate(shop_people.trainer, shop_people.apprentice, **given)
    with shop.store.read() as session:
        row = queries.certificate(session, shop_people.apprentice, number)
    assert (row.issuer, row.by, row.entered_on) == ("Valley Adult School", "Theo Tran", TODAY)


def test_the_day_is_the_shops(shop: Any, shop_people: Any) -> None:
    """At 04:30 UTC on the 26th it is still 11:30 PM on the 25th in New York."""
    shop.now = datetime(2026, 11, 26, 4, 30, tzinfo=UTC)
    with pytest.raises(Refusal, match="after today, 25 Nov 2026"):
        shop.certificate(shop_people.trainer, shop_people.apprentice, issued=date(2026, 11, 26))
    number = shop.certificate(shop_people.trainer, shop_people.apprentice, issued=date(2026, 11, 25))
    with shop.store.read() as session:
        assert queries.certificate(session, shop_people.owner, number).entered_on == date(2026, 11, 25)


def test_the_same_form_counts_once_and_a_changed_one_is_said(shop: Any, shop_people: Any) -> None:
    first, again = (
        shop.certificate(shop_people.trainer, shop_people.apprentice, token="one") for _ in range(2)
    )
    assert first == again
    with pytest.raises(SentBefore):
        shop.certificate(shop_people.trainer, shop_people.apprentice, token="one", issuer="Another school")


def test_only_the_person_and_those_who_review_see_it(shop: Any, shop_people: Any) -> None:
    number = shop.certificate(shop_people.trainer, shop_people.apprentice)
    with shop.store.read() as session:
        for who in (shop_people.owner, shop_people.trainer, shop_people.apprentice):
            assert queries.certificate(session, who, number).id == number
        with pytest.raises(NotAllowed):
            queries.certificate(session, shop_people.other, number)
        with pytest.raises(NotAllowed):
            queries.certificates(session, shop_people.other, shop_people.apprentice.id)
        with pytest.raises(UnknownName):
            queries.certificate(session, shop_people.owner, 99)
