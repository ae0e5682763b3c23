"""The shop's standard and its days."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from trainer.calc.standard import DEFAULT_SHOP
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import shop as shops
from trainer.records.store import Store


def test_a_shop_starts_with_the_programs_own_figures(store: Store) -> None:
    with store.read() as session:
        info = shops.the_shop(session)
    assert dict(info.standard) == DEFAULT_SHOP
    assert info.standard_since is not None


def test_a_change_keeps_the_other_figures_and_the_revisions(
    store: Store, shop_people: Any, now: datetime
) -> None:
    with store.write() as session:
        notices = shops.change_standard(session, shop_people.owner, now, {"overhang": 3.0})
        assert not [notice for notice in notices if notice.field == "overhang"]
    with store.write() as session:
        shops.change_standard(session, shop_people.owner, now, {"overhang": 3.0})  # nothing changes
    with store.read() as session:
        info = shops.the_shop(session)
        revisions = shops.standard_history(session, shop_people.trainer)
    assert info.standard == {**DEFAULT_SHOP, "overhang": 3.0} and info.standard_since == now
    assert [dict(one.changed) for one in revisions] == [{"overhang": (2.0, 3.0)}, {}]
    assert revisions[0].by == "Olive Ortega"


def test_a_figure_that_a_stricter_source_would_not_accept_is_taken_with_its_name(
    store: Store, shop_people: Any, now: datetime
) -> None:
    # ASTM C1283 asks for at least 2 in of overhang; a field guide of 1889 was content with 1 in.
    with store.write() as session:
        notices = shops.change_standard(session, shop_people.owner, now, {"overhang": 1.5})
    assert "astm-c1283" in {notice.source for notice in notices if notice.field == "overhang"}


def test_what_is_looser_than_every_source_is_refused(store: Store, shop_people: Any, now: datetime) -> None:
    with pytest.raises(Refusal, match="looser than every source"), store.write() as session:
        shops.change_standard(session, shop_people.owner, now, {"overhang": 0.5})
    with pytest.raises(UnknownName), store.write() as session:
        shops.change_standard(session, shop_people.owner, now, {"colour": "grey"})
    with store.read() as session:
        assert dict(shops.the_shop(session).standard) == DEFAULT_SHOP


def test_only_an_owner_changes_the_shop(store: Store, shop_people: Any, now: datetime) -> None:
    for who in (shop_people.trainer, shop_people.apprentice):
        with pytest.raises(NotAllowed), store.write() as session:
            shops.change_standard(session, who, now, {"overhang": 3.0})
        with pytest.raises(NotAllowed), store.write() as session:
            shops.change_shop(session, who, now, name="Mine")
    with pytest.raises(NotAllowed), store.read() as session:
        shops.standard_history(session, shop_people.apprentice)


def test_name_zone_and_language_change_and_are_checked(store: Store, shop_people: Any, now: datetime) -> None:
    with store.write() as session:
        shops.change_shop(
            session, shop_people.owner, now, name=" Hill ", zone="America/Denver", language="es"
        )
    with store.read() as session:
        info = shops.the_shop(session)
    assert (info.name, info.zone, info.language) == ("Hill", "America/Denver", "es")
    # 06:30 UTC is 23:30 of the day before in Denver in winter (UTC-7).
    assert shops.today(info, datetime(2026, 11, 25, 6, 30, tzinfo=UTC)) == date(2026, 11, 24)
    for wrong in ({"name": " "}, {"zone": "Nowhere"}, {"language": "de"}):
        with pytest.raises(Refusal), store.write() as session:
            shops.change_shop(session, shop_people.owner, now, **wrong)
