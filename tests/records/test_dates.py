"""Which day an act belongs to: the day on the shop's calendar, whatever UTC says, and on the days when clocks change.

The clock changes are those of America/New_York in the IANA time zone database: 8 March 2026 at 2:00 and 1 November 2026
at 2:00.
"""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy.dialects.sqlite.pysqlite import dialect

from trainer.records import people, queries
from trainer.records.as_stored import Times
from trainer.records.evidence import evidence_of

NEW_YORK = ZoneInfo("America/New_York")
DAY = timedelta(days=1)


def local(year: int, month: int, day: int, hour: int, minute: int, fold: int = 0) -> datetime:
    return datetime(year, month, day, hour, minute, tzinfo=NEW_YORK, fold=fold).astimezone(UTC)


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        (local(2026, 11, 25, 23, 30), date(2026, 11, 25)),  # 4:30 of the next day by UTC
        (local(2026, 11, 25, 0, 0), date(2026, 11, 25)),
        (local(2026, 11, 25, 23, 59), date(2026, 11, 25)),
        (local(2028, 2, 29, 23, 30), date(2028, 2, 29)),
        (local(2026, 12, 31, 23, 30), date(2026, 12, 31)),
        (local(2026, 3, 8, 23, 30), date(2026, 3, 8)),  # the day of 23 hours
        (local(2026, 3, 8, 1, 59), date(2026, 3, 8)),
        (local(2026, 11, 1, 1, 30), date(2026, 11, 1)),  # the day of 25 hours, first 1:30
        (local(2026, 11, 1, 1, 30, fold=1), date(2026, 11, 1)),
        (local(2026, 11, 1, 23, 30), date(2026, 11, 1)),
    ],
)
def test_every_act_belongs_to_its_day_in_the_shop(
    shop: Any, shop_people: Any, moment: datetime, day: date
) -> None:
    trainer, owner, ana = shop_people.trainer, shop_people.owner, shop_people.apprentice
    shop.now = moment
    shop.make_ready(trainer, ana)
    shop.grant(owner, ana)
    with shop.store.read() as session:
        found = evidence_of(session, ana.id)
        before, on, after, last, gone = (
            next(
                one
                for one in queries.person_clearances(session, owner, ana.id, asked, shop.rules).standings
                if one.clearance == "ladder"
            ).cleared
            for asked in (day - DAY, day, day + DAY, day + 365 * DAY, day + 366 * DAY)
        )
    days = {one.on for one in (*found.readings, *found.sign_offs)} | {one.handed_in for one in found.papers}
    assert days | {one.since for one in found.grants} == {day}
    assert (before, on, after, last, gone) == (False, True, True, True, False)


def test_two_papers_in_the_hour_that_comes_twice_are_told_apart(shop: Any, shop_people: Any) -> None:
    """At 1:40 a paper is passed; forty minutes later, at 1:20 by the clock on the wall, another is not."""
    trainer, ana = shop_people.trainer, shop_people.apprentice
    first, second = local(2026, 11, 1, 1, 40), local(2026, 11, 1, 1, 20, fold=1)
    assert second - first == timedelta(minutes=40)
    shop.now = first - DAY
    papers = [shop.assign(trainer, ana).papers[0] for _ in range(2)]
    for shop.now, paper, right in ((first, papers[0], True), (second, papers[1], False)):
        shop.answer_all(ana, paper, right=right)
    with shop.store.read() as session:
        found = queries.person_clearances(session, trainer, ana.id, date(2026, 11, 1), shop.rules)
    line = next(one for one in found.standings[0].lines if one.requirement.kind == "quiz")
    assert not line.met, "the later one counts"


def test_an_absence_over_midnight_by_utc_begins_on_the_shops_day(shop: Any, shop_people: Any) -> None:
    owner, ana = shop_people.owner, shop_people.apprentice
    left = local(2026, 11, 25, 23, 30)
    with shop.store.write() as session:
        people.deactivate(session, owner, left, ana.id)
    with shop.store.read() as session:
        on_board = {
            day: ana.id in [row.person.id for row in queries.board(session, owner, day, shop.rules).rows]
            for day in (date(2026, 11, 24), date(2026, 11, 25), date(2026, 11, 26))
        }
    assert list(on_board.values()) == [True, False, False]


@pytest.mark.parametrize(
    "zone",
    ["America/New_York", "America/St_Johns", "America/Havana", "Asia/Kolkata", "Asia/Kathmandu", "Australia/Lord_Howe"],
)  # fmt: skip
def test_the_day_of_a_stored_time_is_the_shops_in_every_zone(zone: str) -> None:
    """Zones with whole and part hours, and ones whose clocks change at midnight: the IANA database, through zoneinfo.

    Until 2011 St. John's set its clocks back at 12:01 AM, so that one day came twice.
    """
    chance, there = random.Random(zone), ZoneInfo(zone)
    times = Times(dialect(), there)
    change = datetime(2010, 11, 7, 2, 0, tzinfo=UTC)
    moments = [change + timedelta(minutes=minute, seconds=59) for minute in range(-180, 180)]
    moments += [
        datetime(2025, 1, 1, tzinfo=UTC) + timedelta(seconds=chance.randrange(3 * 366 * 86400)) for _ in range(3000)
    ]  # fmt: skip
    for moment in moments:
        stored = moment.strftime("%Y-%m-%d %H:%M:%S.%f")
        assert times.moment(stored) == moment
        assert times.day(stored) == moment.astimezone(there).date(), (zone, moment)
