"""The calendar feed, read back by the icalendar library: whole days, the right ones, the same bytes for the same days.

RFC 5545: 3.6.1 a VEVENT of whole days has DTSTART and DTEND as dates, the end not included; 3.3.11 text is escaped;
3.1 lines are folded at 75 octets and end with CR LF.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.languages import LANGUAGES, Text
from trainer.notices.calendar import feed
from trainer.records.queries import Days, Due, Opening, RunsOut

AT = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
ON = date(2026, 11, 25)
LADDER = Text(en="Ladder and staging", es="Escalera y andamio")


def runs_out(on=ON, person="Ana Abel", name=LADDER, id=3):
    return RunsOut(id, person, "clearance", "ladder", name, on, 7, AT)


def due(moment, on, title="Crown numbers"):
    return Due(3, "Ana Abel", 5, title, moment, on, AT)


def made(run_out=(), dues=(), language="en", whole=False, zone="America/Denver", mark="m"):
    days = Days(ON, tuple(run_out), tuple(dues), ())
    return feed(days, shop="Ridge, Row & Co; ½", zone=zone, shop_mark=mark, language=language, whole=whole)


def events(ics):
    calendar = icalendar.Calendar.from_ical(ics)
    assert calendar["version"] == "2.0" and str(calendar["prodid"])
    return calendar.walk("VEVENT")


def test_an_expiry_is_the_whole_of_its_last_good_day():
    (event,) = events(made([runs_out(date(2027, 10, 23))]))
    assert event["dtstart"].dt == date(2027, 10, 23) and event["dtend"].dt == date(2027, 10, 24)
    assert event["dtstart"].to_ical() == b"20271023" and event["dtstart"].params["VALUE"] == "DATE"
    assert event["summary"] == "Ladder and staging: last good day" and event["dtstamp"].dt == AT
    assert event["transp"] == "TRANSPARENT" and "competent person" in event["description"]


@pytest.mark.parametrize(
    ("zone", "moment", "on", "en", "es"),
    [
        # 30 minutes before and after midnight in Denver, 7 hours behind UTC in winter and 6 in summer.
        ("America/Denver", datetime(2026, 12, 1, 6, 30, tzinfo=UTC), date(2026, 11, 30), "11:30 PM", "23:30"),
        ("America/Denver", datetime(2026, 12, 1, 7, 30, tzinfo=UTC), date(2026, 12, 1), "12:30 AM", "00:30"),
        ("America/Denver", datetime(2026, 7, 1, 5, 30, tzinfo=UTC), date(2026, 6, 30), "11:30 PM", "23:30"),
        (
            "Pacific/Auckland",
            datetime(2026, 11, 25, 12, 0, tzinfo=UTC),
            date(2026, 11, 26),
            "1:00 AM",
            "01:00",
        ),
    ],
)
def test_a_quiz_is_due_on_its_day_in_the_shops_zone(zone, moment, on, en, es):
    for language, time in (("en", en), ("es", es)):
        ics = made(dues=[due(moment, on)], language=language, zone=zone)
        (event,) = events(ics)
        assert event["dtstart"].dt == on and event["dtend"].dt == on + timedelta(days=1)
        assert time in event["description"]
        assert str(icalendar.Calendar.from_ical(ics)["x-wr-timezone"]) == zone


@pytest.mark.parametrize(
    ("language", "said", "time"),
    [("en", "Quiz opens: Crown numbers", "7:00 AM"), ("es", "Abre el examen: Crown numbers", "07:00")],
)
def test_a_quiz_that_opens_later_has_its_day(language, said, time):
    # 14:00 in UTC is 7 in the morning in Denver in winter (IANA time zone database).
    opening = Opening(
        3, "Ana Abel", 5, "Crown numbers", datetime(2026, 11, 30, 14, tzinfo=UTC), date(2026, 11, 30), AT
    )
    days = Days(ON, (), (due(AT, ON),), (), (opening,))
    ics = feed(days, shop="Ridge", zone="America/Denver", shop_mark="m", language=language, whole=False)
    opens, dues = events(ics)
    assert (opens["summary"], opens["dtstart"].dt) == (said, date(2026, 11, 30)) and time in opens[
        "description"
    ]
    assert opens["uid"] != dues["uid"]


def test_names_stand_before_what_is_everyones_only():
    assert events(made([runs_out()], whole=True))[0]["summary"].startswith("Ana Abel – Ladder")
    assert "Ana" not in made([runs_out()]).decode()


@pytest.mark.parametrize("language", LANGUAGES)
def test_both_languages(language):
    first, second = events(made([runs_out()], [due(AT, ON)], language=language))
    assert first["summary"] == {
        "en": "Ladder and staging: last good day", "es": "Escalera y andamio: último día de vigencia",
    }[language]  # fmt: skip
    assert (
        second["summary"]
        == {"en": "Quiz due: Crown numbers", "es": "Vence el examen: Crown numbers"}[language]
    )


def test_the_same_days_give_the_same_bytes_and_names_of_events_hold():
    first, again = made([runs_out()], [due(AT, ON)]), made([runs_out()], [due(AT, ON)])
    assert first == again
    moved = made([runs_out(ON + timedelta(days=9))], [due(AT, ON)])
    assert [e["uid"] for e in events(moved)] == [e["uid"] for e in events(first)], (
        "the event moves, no second one"
    )
    assert len({e["uid"] for e in events(first)}) == 2
    assert {e["uid"] for e in events(made([runs_out()], mark="other"))}.isdisjoint(
        {e["uid"] for e in events(first)}
    )
    assert events(made([runs_out(id=4)]))[0]["uid"] != events(first)[0]["uid"]


@given(
    st.text(max_size=200).filter(lambda text: text.isprintable()),
    st.dates(min_value=date(2000, 1, 1), max_value=date(2199, 12, 30)),
)
def test_any_title_and_any_day_come_back_whole(title, on):
    moment = datetime(on.year, on.month, on.day, 20, tzinfo=UTC)
    ics = made(dues=[due(moment, on, title)])
    (event,) = events(ics)
    assert str(event["summary"]) == f"Quiz due: {title}" and event["dtstart"].dt == on
    assert all(len(line) <= 75 for line in ics.split(b"\r\n")) and b"\n" not in ics.replace(b"\r\n", b"")


def test_a_title_with_lines_makes_no_property_of_its_own():
    (event,) = events(made(dues=[due(AT, ON, "A\r\nBEGIN:VEVENT\r\nX-EVIL:1")]))
    assert "x-evil" not in event and len(events(made(dues=[due(AT, ON, "A\nEND:VCALENDAR")]))) == 1


def test_nothing_to_come_is_a_calendar_all_the_same():
    assert events(made()) == []
