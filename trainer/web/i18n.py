"""The reader's language: messages, dates and quantities.

    _, _l, _n           gettext, lazy gettext (for forms), ngettext; English is the message id
    day, moment         a date or a moment on the shop's clock, month in letters; short_day where room is short
    quantity            a value as the trade writes it
    local               a Text in the reader's language
    said                a refusal as a sentence in the reader's language
    speak(app)          installs all of it: Babel, template filters, the choice of language

A signed-in person's own language counts first, then the one chosen in this browser, then the browser's wish.
"""

from __future__ import annotations

from datetime import date, datetime
from fractions import Fraction
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo

from babel.dates import format_date
from flask import Flask, g, has_request_context, request, session
from flask_babel import Babel, gettext, lazy_gettext, ngettext

from trainer.calc import notation
from trainer.clearance import words
from trainer.errors import Refusal
from trainer.languages import LANGUAGES, Text

_ = gettext
_l = lazy_gettext
_n = ngettext

# es_US writes numbers with a decimal point, as North American sites do; plain es would write a comma.
LOCALES: Final = {"en": "en_US", "es": "es_US"}
NAMES: Final = {"en": "English", "es": "Español"}
DAY: Final = {"en": "d MMMM y", "es": "d 'de' MMMM 'de' y"}
NOTHING: Final = "–"


def wished_language() -> str:
    """The language this browser chose, else the one it prefers among ours."""
    chosen = session.get("language")
    if chosen in LANGUAGES:
        return str(chosen)
    return request.accept_languages.best_match(LANGUAGES, default="en") or "en"


def day(value: date | datetime | None) -> str:
    """A date, or the shop's date at a moment: "25 November 2026", "25 de noviembre de 2026"."""
    if value is None:
        return NOTHING
    if isinstance(value, datetime):
        value = value.astimezone(_zone()).date()
    return _written(value, _language())


@lru_cache(maxsize=4096)  # a board writes the same few days thousands of times
def _written(on: date, language: str) -> str:
    return format_date(on, DAY[language], locale=LOCALES[language])


def short_day(value: date) -> str:
    """A date where room is short: "25 Nov 2026", "25 nov 2026"."""
    return local(words.day(value))


def moment(value: datetime | None) -> str:
    """A moment on the shop's clock: "25 November 2026, 3:40 PM"."""
    if value is None:
        return NOTHING
    there = value.astimezone(_zone())
    return (
        f"{day(value)}, {there.hour % 12 or 12}:{there:%M}\u00a0{words.HALVES[_language()][there.hour // 12]}"
    )


def coming(value: datetime) -> str:
    """A moment soon to come on the shop's clock: "Mon 30 Nov, 7:00 AM"."""
    return local(words.clock(value.astimezone(_zone())))


def quantity(value: float | Fraction | None, unit: str) -> str:
    """A value in one of the core's units, as the trade writes it: "3 ft 6 1/2 in"."""
    return NOTHING if value is None else notation.write(value, unit, _language())


def local(value: Text | str) -> str:
    """A Text in the reader's language; a str as it is."""
    return value.in_language(_language()) if isinstance(value, Text) else str(value)


def said(refusal: Refusal) -> str:
    """What a refusal says, with a capital letter first."""
    sentence = refusal.in_language(_language())
    return sentence[:1].upper() + sentence[1:]


def percent(value: float | None) -> str:
    """A number of hundredths: 80 -> "80 %"."""
    return NOTHING if value is None else f"{value:.0f}\u00a0%"


def score(value: float | None) -> str:
    """A part of one: 0.8 -> "80 %"."""
    return NOTHING if value is None else percent(100 * value)


def speak(app: Flask) -> None:
    """Install the languages in the application."""
    Babel(app, default_locale="en_US", locale_selector=lambda: LOCALES[_language()])
    app.jinja_env.filters.update(
        day=day,
        short_day=short_day,
        moment=moment,
        coming=coming,
        quantity=quantity,
        local=local,
        percent=percent,
        score=score,
    )
    app.jinja_env.globals["LANGUAGE_NAMES"] = NAMES


def _language() -> str:
    return str(g.get("language", "en")) if has_request_context() else "en"


def _zone() -> ZoneInfo:
    return ZoneInfo(g.shop.zone)
