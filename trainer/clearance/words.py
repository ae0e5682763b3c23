"""The sentences of a standing, in English and Spanish."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import lru_cache
from typing import Final, NamedTuple

from trainer.languages import Text

STATES: Final = {
    "cleared": Text(en="cleared", es="vigente"),
    "ready to grant": Text(en="ready to grant", es="lista para otorgar"),
    "not cleared": Text(en="not cleared", es="sin autorización"),
    "lapsed": Text(en="lapsed", es="vencida"),
    "suspended": Text(en="suspended", es="suspendida"),
}

MONTHS_EN = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTHS_ES = ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic")

WEEKDAYS_EN = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
WEEKDAYS_ES = ("lun", "mar", "mié", "jue", "vie", "sáb", "dom")
HALVES: Final = {"en": ("AM", "PM"), "es": ("a.\u00a0m.", "p.\u00a0m.")}


def day(on: date) -> Text:
    """A day in words that no one reads the wrong way round: "25 Nov 2026"."""
    return Text(
        en=f"{on.day} {MONTHS_EN[on.month - 1]} {on.year}", es=f"{on.day} {MONTHS_ES[on.month - 1]} {on.year}"
    )


def clock(there: datetime) -> Text:
    """A moment to come, as the shop's clock will show it: "Mon 30 Nov, 7:00 AM"."""
    en = f"{WEEKDAYS_EN[there.weekday()]} {there.day} {MONTHS_EN[there.month - 1]}"
    es = f"{WEEKDAYS_ES[there.weekday()]} {there.day} {MONTHS_ES[there.month - 1]}"
    time, half = f"{there.hour % 12 or 12}:{there:%M}", there.hour // 12
    return Text(en=f"{en}, {time}\u00a0{HALVES['en'][half]}", es=f"{es}, {time}\u00a0{HALVES['es'][half]}")


@lru_cache(maxsize=8192)  # a board says the same few sentences thousands of times
def say(en: str, es: str, **facts: object) -> Text:
    """Both sentences with {name} places filled; a `Text` or date is put in each language."""
    shown = {name: day(value) if isinstance(value, date) else value for name, value in facts.items()}
    return Text(
        en=en.format(
            **{name: value.en if isinstance(value, Text) else value for name, value in shown.items()}
        ),
        es=es.format(
            **{name: value.es if isinstance(value, Text) else value for name, value in shown.items()}
        ),
    )


class Saying(NamedTuple):
    """What `say` says, put in words only when it is asked for: a board has thousands that nobody reads."""

    en: str
    es: str
    facts: Mapping[str, object]

    @property
    def text(self) -> Text:
        return say(self.en, self.es, **self.facts)


def saying(en: str, es: str, **facts: object) -> Saying:
    """As `say`, for later."""
    return Saying(en, es, facts)


def joined(texts: Iterable[Text]) -> Text:
    """Several names in a row."""
    all_of = list(texts)
    return Text(en=", ".join(text.en for text in all_of), es=", ".join(text.es for text in all_of))


def within(days: int | None) -> Text:
    """How long something counts, as an ending of a sentence."""
    if days is None:
        return Text(en="", es="")
    return say(" in the last {days} days", " en los últimos {days} días", days=days)


def until(last: date | None) -> Text:
    """To which day something is good, as an ending of a sentence."""
    return (
        Text(en="", es="")
        if last is None
        else say(", good through {last}", ", vale hasta el {last}", last=last)
    )
