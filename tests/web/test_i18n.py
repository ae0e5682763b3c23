"""Both languages: the switch, dates with the month in letters, and texts that are never left behind.

Dates as North American Spanish writes them: day, month in letters, year (Unicode CLDR, locale es_US).
"""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from flask import g

from trainer.languages import Text
from trainer.records.shop import shop
from trainer.web import i18n

MOMENT = datetime(2026, 11, 26, 2, 30, tzinfo=UTC)  # still the 25th in the shop


@pytest.fixture
def speaking(app, store):
    def speak(language):
        context = app.test_request_context()
        context.push()
        g.language = language
        with store.read() as session:
            g.shop = shop(session)
        return context

    return speak


@pytest.mark.parametrize(
    ("language", "day", "moment"),
    [
        ("en", "25 November 2026", "25 November 2026, 7:30\u00a0PM"),
        ("es", "25 de noviembre de 2026", "25 de noviembre de 2026, 7:30\u00a0p.\u00a0m."),
    ],
)
def test_dates_have_the_month_in_letters_and_the_shops_clock(speaking, language, day, moment):
    context = speaking(language)
    assert i18n.day(date(2026, 11, 25)) == i18n.day(MOMENT) == day
    assert i18n.moment(MOMENT) == moment
    assert i18n.day(None) == i18n.moment(None) == i18n.quantity(None, "in") == "–"
    context.pop()


def test_quantities_and_texts(speaking):
    context = speaking("es")
    assert i18n.quantity(42.5, "in") == "3 ft 6 1/2 in"
    assert i18n.local(Text(en="roof", es="techo")) == "techo" and i18n.local("as is") == "as is"
    assert i18n.score(0.8) == i18n.percent(80) == "80\u00a0%"
    context.pop()


def test_a_visitor_switches_the_language_and_stays_on_the_page(visitor):
    page = visitor.get("/first-sign-in?name=ana")
    assert page.soup.html["lang"] == "en"
    switch = page.soup.select_one("header form")
    button = switch.select_one("button")
    assert button["lang"] == "es" and button.text == "Español"
    after = switch.select_one("[name=after]")["value"]
    assert after == "/first-sign-in?name=ana"
    visitor.post("/language", {"language": "es", "after": after})
    assert visitor.get("/sign-in").soup.html["lang"] == "es"


def test_the_browsers_wish_counts_until_something_is_chosen(client):
    wish = {"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"}
    assert '<html lang="es">' in client.get("/sign-in", headers=wish).text
    assert '<html lang="en">' in client.get("/sign-in", headers={"Accept-Language": "fr"}).text


def test_a_persons_language_follows_them_to_another_browser(sign_in, people):
    sign_in(people.apprentice).post("/language", {"language": "es"})
    assert sign_in(people.apprentice).get("/account").soup.html["lang"] == "es"


def test_an_unknown_language_is_refused(visitor):
    assert visitor.post("/language", {"language": "xx"}).status == 400


def test_every_page_has_a_title_one_heading_landmarks_and_the_switch(sign_in, visitor, people):
    owner = sign_in(people.owner)
    for browser, path in (
        (visitor, "/sign-in"),
        (visitor, "/first-sign-in"),
        (owner, "/account"),
        (owner, "/account/password"),
        (owner, "/people"),
        (owner, "/people/add"),
        (owner, f"/people/{people.second.id}"),
        (owner, "/standard"),
        (owner, "/no-such-page"),
    ):
        for language in ("en", "es"):
            browser.post("/language", {"language": language})
            soup = browser.get(path).soup
            assert soup.html["lang"] == language
            assert soup.title.text.endswith("– Topping Out") and len(soup.title.text) > 15
            assert len(soup.select("h1")) == 1 and len(soup.select("main#main")) == 1
            assert soup.select_one("a.skip")["href"] == "#main"
            assert soup.select_one("header form button[name=language]")["value"] != language
            for control in soup.select("main input:not([type=hidden], [hidden]), main select, main textarea"):
                assert soup.select_one(f"label[for='{control['id']}']"), f"{control} on {path} has no label"
