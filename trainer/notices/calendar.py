"""Expiries and due dates as an iCalendar feed (RFC 5545), each as a whole day on the shop's calendar.

The same days give the same bytes, so that a program that asks again can be told that nothing changed.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Final
from uuid import NAMESPACE_URL, UUID, uuid5
from zoneinfo import ZoneInfo

import icalendar

from trainer.languages import Text
from trainer.records.queries import Days, Due, Opening, RunsOut

PRODUCT: Final = "-//Topping Out//Expiries and due dates//EN"
REFRESH: Final = timedelta(hours=12)
EARLIEST: Final = datetime(2000, 1, 1, tzinfo=UTC)  # for what does not say when it was made

LAST_DAY: Final = Text(en="{name}: last good day", es="{name}: último día de vigencia")
DUE: Final = Text(en="Quiz due: {title}", es="Vence el examen: {title}")
OPENS: Final = Text(en="Quiz opens: {title}", es="Abre el examen: {title}")
OPENS_AT: Final = Text(en="It can be started from {time}.", es="Se puede empezar desde las {time}.")
DUE_AT: Final = Text(en="To be handed in by {time}.", es="Se entrega a más tardar a las {time}.")
CAUTION: Final = Text(
    en="As far as was known when this was fetched. The board in the shop is what counts, and the competent person on "
    "site decides on the day.",
    es="Según lo que se sabía al consultarlo. Lo que cuenta es el tablero del taller, y la persona competente en la "
    "obra decide ese día.",
)
OWN: Final = Text(en="{shop}: my days", es="{shop}: mis fechas")
WHOLE: Final = Text(en="{shop}: everyone's days", es="{shop}: fechas de todos")


def feed(days: Days, *, shop: str, zone: str, shop_mark: str, language: str, whole: bool) -> bytes:
    """The calendar of `days`.

    zone: the shop's, an IANA name; shop_mark: tells the events of this shop from another's; whole: names are put
    before what is everyone's
    """
    calendar = icalendar.Calendar()
    name = (WHOLE if whole else OWN).in_language(language).format(shop=shop)
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)  # RFC 7986
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    calendar.add("x-wr-calname", name)  # what programs read that do not know RFC 7986
    calendar.add("x-wr-timezone", zone)
    shop_id = uuid5(NAMESPACE_URL, f"urn:shop:{shop_mark}")
    for one in days.run_out:
        calendar.add_component(_runs_out(one, shop_id, language, whole))
    for quiz in days.opening:
        calendar.add_component(_opens(quiz, shop_id, zone, language, whole))
    for each in days.due:
        calendar.add_component(_due(each, shop_id, zone, language, whole))
    made: bytes = calendar.to_ical()
    return made


def _runs_out(one: RunsOut, shop_id: UUID, language: str, whole: bool) -> icalendar.Event:
    said = LAST_DAY.in_language(language).format(name=one.name.in_language(language))
    return _event(
        uid=uuid5(shop_id, f"{one.what} {one.person_id} {one.key} {one.number}"),
        on=one.on,
        said=_whose(one.person, said, whole),
        about=CAUTION.in_language(language),
        at=one.at,
    )


def _opens(one: Opening, shop_id: UUID, zone: str, language: str, whole: bool) -> icalendar.Event:
    said = OPENS.in_language(language).format(title=one.title)
    return _event(
        uid=uuid5(shop_id, f"opening of paper {one.paper_id}"),
        on=one.on,
        said=_whose(one.person, said, whole),
        about=OPENS_AT.in_language(language).format(time=_time(one.opens, zone, language)),
        at=one.at,
    )


def _time(moment: datetime, zone: str, language: str) -> str:
    there = moment.astimezone(ZoneInfo(zone))
    return f"{there:%H:%M}" if language == "es" else f"{there.hour % 12 or 12}:{there:%M} {there:%p}"


def _due(one: Due, shop_id: UUID, zone: str, language: str, whole: bool) -> icalendar.Event:
    said = DUE.in_language(language).format(title=one.title)
    return _event(
        uid=uuid5(shop_id, f"paper {one.paper_id}"),
        on=one.on,
        said=_whose(one.person, said, whole),
        about=DUE_AT.in_language(language).format(time=_time(one.due, zone, language)),
        at=one.at,
    )


def _event(*, uid: UUID, on: date, said: str, about: str, at: datetime | None) -> icalendar.Event:
    """A whole day. DTEND is the day after: the end of a VEVENT is not part of it (RFC 5545, 3.6.1)."""
    event = icalendar.Event()
    event.add("uid", f"{uid}")
    event.add("dtstamp", at or EARLIEST)
    event.add("dtstart", on)
    event.add("dtend", on + timedelta(days=1))
    event.add("summary", said)
    event.add("description", about)
    event.add("transp", "TRANSPARENT")
    return event


def _whose(person: str, said: str, whole: bool) -> str:
    return f"{person} – {said}" if whole else said
