"""Wallet cards and calendars by private link: what is printed, what the code opens, and that a withdrawn one is gone."""

from __future__ import annotations

import io
import re
import subprocess
from datetime import date, timedelta
from urllib.parse import urlsplit

import icalendar
import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader

from trainer.languages import LANGUAGES
from trainer.records import grants, links
from trainer.records import people as records_people
from trainer.web.content import CONTENT

GROUND = "on-the-ground"


@pytest.fixture
def granted(app, acts, people, store, clock):
    """The apprentice is cleared for work on the ground, and has a quiz to sit."""
    acts.make_ready(people.apprentice)
    with store.write() as session:
        grants.grant(
            session, people.owner, clock.now, person_id=people.apprentice.id, clearance=GROUND,
            rules=app.extensions[CONTENT].rules,
        )  # fmt: skip


def token(browser, path="/cards"):
    page = browser.get(path)
    return {
        name: page.soup.select_one(f"main input[name={name}]")["value"]
        for name in ("csrf_token", "form_token")
    }


def print_cards(browser, who, **more):
    """(the answer, its form) of printing cards for these people."""
    form = {**token(browser), "people": [str(id) for id in who], "language": "en", "paper": "letter", **more}
    return browser.client.post("/cards", data={k: v for k, v in form.items() if v is not None}), form


def addresses(pdf, folder):
    """What the codes of a PDF say, read by a library that is not ours from the page as it is printed."""
    (folder / "cards.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", "150", "-png", "cards.pdf", "card"], cwd=folder, check=True)
    found = [zxingcpp.read_barcodes(Image.open(page)) for page in sorted(folder.glob("card*.png"))]
    return [code.text for page in found for code in page]


def text(pdf):
    return "".join("".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


@pytest.fixture
def card(sign_in, people, granted, tmp_path):
    """The path that the apprentice's printed card leads to."""
    answer, _form = print_cards(sign_in(people.owner), [people.apprentice.id])
    (address,) = addresses(answer.data, tmp_path)
    parts = urlsplit(address)
    assert (parts.scheme, parts.netloc) == ("http", "localhost")
    return parts.path


def test_the_code_on_the_card_opens_name_clearances_and_dates_only(card, visitor):
    page = visitor.get(card)
    assert page.status == 200 and page.soup.h1.text == "Luis Barrera"
    shown = " ".join(page.soup.main.get_text(" ").split())
    assert shown == (
        "Luis Barrera Clearances in force on 25 November 2026 On the ground ✓ cleared From 25 November 2026 until "
        "25 November 2027 This program records the employer's decision and the evidence for it; it does not make "
        "anyone safe. The competent person on site decides on the day."
    )
    for other in ("luis", "Ridgeline", "Nora", "Tom", "evidence_hash", "Crowns and roofs"):
        assert other not in page.html.replace("Luis", ""), other
    assert not page.soup.select("form, nav, script")


def test_the_page_is_not_listed_kept_or_told_of(card, visitor):
    for path in (card, "/card/unknown"):
        headers = visitor.client.get(path).headers
        assert headers["Cache-Control"] == "no-store" and "noindex" in headers["X-Robots-Tag"]
        assert headers["Referrer-Policy"] == "no-referrer"
        assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert visitor.get(card).soup.select_one("meta[name=robots]")["content"].startswith("noindex")
    assert "Set-Cookie" not in visitor.client.get(card).headers


@pytest.mark.parametrize("wish", LANGUAGES)
def test_the_page_speaks_the_browsers_language(card, visitor, wish):
    html = visitor.client.get(card, headers={"Accept-Language": wish}).text
    assert f'lang="{wish}"' in html and {"en": "cleared", "es": "vigente"}[wish] in html


def without_tokens(answer):
    """A page without what is different each time: the form token, the address to come back to, the request's number."""
    html = re.sub(r'(name="(?:csrf_token|after)" value=")[^"]*', r"\1", answer.text)
    assert "give this number: " in html
    return re.sub(r"(give this number: )[0-9a-f]+", r"\1", html)


def test_a_withdrawn_an_unknown_and_a_foreign_link_answer_the_same(card, sign_in, people, app, store, clock):
    with store.write() as session:
        calendar = links.make(
            session,
            people.apprentice,
            clock.now,
            use=links.OWN_DAYS,
            person_id=people.apprentice.id,
            token="c",
        )
    page = sign_in(people.owner).submit("/cards", {}, form="/links/1/withdraw")
    assert "Withdrawn." in page.text and page.path == "/cards"
    answers = [
        app.test_client().get(path)
        for path in (card, "/card/" + "A" * 27, f"/card/{calendar}", "/card/x", "/card/" + "é" * 400)
    ]
    assert {answer.status_code for answer in answers} == {404}
    assert len({without_tokens(answer) for answer in answers}) == 1
    assert "Luis" not in answers[0].text
    assert len({frozenset(answer.headers.keys()) for answer in answers}) == 1
    feed = app.test_client().get(card.replace("/card/", "/calendar/") + ".ics")
    assert feed.status_code == 404, "a card opens no calendar"


def test_what_lapses_or_is_suspended_leaves_the_card_at_once(card, visitor, sign_in, people, clock):
    where = f"/board/{people.apprentice.id}/{GROUND}"
    sign_in(people.trainer).submit(where, {"prompt": "other", "reason": "Unclipped."}, form="/suspend")
    page = visitor.get(card)
    assert "On the ground" not in page.text and "None." in page.text and "Unclipped" not in page.text
    sign_in(people.owner).submit(where, {"reason": "Trained."}, form="/lift")
    assert "On the ground" in visitor.get(card).text
    clock.now += timedelta(days=365)
    assert "On the ground" in visitor.get(card).text, "good on its last day"
    clock.now += timedelta(days=1)
    assert "On the ground" not in visitor.get(card).text


def test_the_card_of_someone_who_left_is_gone(card, visitor, sign_in, people, store, clock):
    with store.write() as session:
        records_people.deactivate(session, people.owner, clock.now, people.apprentice.id)
    assert visitor.get(card).status == 404


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("paper", "height"), [("letter", 792), ("A4", 841.89)])
def test_a_crews_cards_stand_several_to_a_sheet(
    sign_in, people, granted, crowd, tmp_path, language, paper, height
):
    crowd(9)
    who = [people.apprentice.id, *range(5, 14)]
    answer, _ = print_cards(sign_in(people.owner, "en"), who, language=language, paper=paper)
    assert answer.status_code == 200 and answer.mimetype == "application/pdf"
    assert answer.headers["Cache-Control"] == "no-store"
    reader = PdfReader(io.BytesIO(answer.data))
    assert len(reader.pages) == 2, "eight cards on the first sheet, two on the second"
    assert float(reader.pages[0].mediabox.height) == pytest.approx(height, abs=0.5)
    assert reader.trailer["/Root"]["/Lang"] == language
    said = text(answer.data)
    assert {"en": "Ontheground:until25Nov2027", "es": "Enelsuelo:hastael25nov2027"}[language] in said
    for number in range(9):
        assert f"Hand0{number}" in said
    assert "Noclearanceinforce" in said or "Ningunaautorizaciónvigente" in said
    assert len(set(addresses(answer.data, tmp_path))) == 10


def test_the_same_form_sent_twice_prints_the_same_cards(sign_in, people, granted, store, tmp_path):
    owner = sign_in(people.owner)
    first, form = print_cards(owner, [people.apprentice.id, people.second.id])
    again = owner.client.post("/cards", data=form)
    (tmp_path / "a").mkdir(), (tmp_path / "b").mkdir()
    found = addresses(first.data, tmp_path / "a")
    assert len(found) == 2 and sorted(found) == sorted(addresses(again.data, tmp_path / "b"))
    assert len(owner.get("/cards").soup.select("main ul.list > li")) == 2


def test_a_new_card_ends_the_old_one_unless_told_not_to(sign_in, people, granted, visitor, tmp_path):
    owner, paths = sign_in(people.owner), []
    for turn, withdraw in enumerate(("y", None, "y")):
        (tmp_path / str(turn)).mkdir()
        answer, _ = print_cards(owner, [people.apprentice.id], withdraw=withdraw)
        paths.append(urlsplit(addresses(answer.data, tmp_path / str(turn))[0]).path)
        if turn == 1:
            assert [visitor.get(path).status for path in paths] == [200, 200]
    assert [visitor.get(path).status for path in paths] == [404, 404, 200]


def test_a_form_that_is_not_filled_in_makes_nothing(sign_in, people, granted):
    owner = sign_in(people.owner)
    page = owner.submit("/cards", {"people": []})
    assert page.status == 200 and "For whom: Fill this in." in page.errors
    assert owner.submit("/cards", {"people": ["99"]}).errors and not owner.get("/cards").soup.select(
        "main ul.list li"
    )


def test_the_way_from_a_persons_record_marks_them(sign_in, people, granted):
    owner = sign_in(people.owner)
    link = owner.get(f"/record/{people.apprentice.id}").soup.find("a", string="Wallet card with a code")[
        "href"
    ]
    boxes = owner.get(link).soup.select("input[name=people]")
    assert [box["value"] for box in boxes if box.has_attr("checked")] == [str(people.apprentice.id)]
    assert len(boxes) == 4
    for who in (people.trainer, people.apprentice):
        assert not sign_in(who).get("/record").soup.select("a[href^='/cards']")


def test_making_and_withdrawing_stand_in_the_history_without_the_key(card, sign_in, people):
    owner = sign_in(people.owner)
    owner.submit("/cards", {}, form="/links/1/withdraw")
    page = owner.get("/history")
    assert "Private link withdrawn link: 1 · shows: wallet card" in page.text
    assert "Private link made link: 1 · shows: wallet card · hash of the key: " in page.text
    assert card.split("/")[-1] not in page.html
    assert "agree" in owner.get("/history/check").text.lower() or owner.get("/history/check").status == 200


class TestCalendar:
    def make(self, browser, use="own days"):
        page = browser.submit("/calendar", {"use": use})
        return page, urlsplit(page.soup.select_one(".echo strong").text).path

    def days(self, client, path):
        answer = client.get(path)
        assert answer.status_code == 200 and answer.mimetype == "text/calendar", answer.status_code
        return {
            str(event["summary"]): (event["dtstart"].dt, event["dtend"].dt)
            for event in icalendar.Calendar.from_ical(answer.data).walk("VEVENT")
        }

    def test_ones_own_days(self, sign_in, people, granted, store, acts, client, clock):
        assign_with_due(store, people, clock, acts, [people.apprentice, people.second])
        page, path = self.make(sign_in(people.apprentice))
        assert page.headers["Cache-Control"] == "no-store" and page.soup.select("main ul.list li")
        assert self.days(client, path) == {
            "On the ground: last good day": (date(2027, 11, 25), date(2027, 11, 26)),
            # Due 30 November, 11:30 PM in Denver: 1 December in UTC.
            "Quiz due: Steel": (date(2026, 11, 30), date(2026, 12, 1)),
        }

    def test_the_whole_shops_days_are_for_staff(self, sign_in, people, granted, store, acts, client, clock):
        assign_with_due(store, people, clock, acts, [people.apprentice, people.second])
        _page, path = self.make(sign_in(people.trainer), "shop days")
        assert set(self.days(client, path)) == {
            "Luis Barrera – On the ground: last good day",
            "Luis Barrera – Quiz due: Steel",
            "Jess Lindqvist – Quiz due: Steel",
        }
        hire = sign_in(people.apprentice)
        assert [box["value"] for box in hire.get("/calendar").soup.select("input[name=use]")] == ["own days"]
        assert hire.submit("/calendar", {"use": "shop days"}).errors

    def test_it_speaks_the_persons_language(self, sign_in, people, granted, client):
        _page, path = self.make(sign_in(people.apprentice, "es"))
        assert list(self.days(client, path)) == ["En el suelo: último día de vigencia"]

    def test_an_unchanged_calendar_is_not_sent_again(
        self, sign_in, people, granted, store, acts, client, clock
    ):
        _page, path = self.make(sign_in(people.apprentice))
        first = client.get(path)
        etag = first.headers["ETag"]
        assert first.headers["Cache-Control"] == "private, no-cache"
        again = client.get(path, headers={"If-None-Match": etag})
        assert again.status_code == 304 and again.data == b"" and again.headers["ETag"] == etag
        clock.now += timedelta(hours=5)
        assert client.get(path, headers={"If-None-Match": etag}).status_code == 304
        assign_with_due(store, people, clock, acts, [people.apprentice])
        assert client.get(path, headers={"If-None-Match": etag}).status_code == 200

    def test_it_is_withdrawn_and_renewed(self, sign_in, people, granted, client):
        browser = sign_in(people.apprentice)
        _page, old = self.make(browser)
        page = browser.submit("/calendar", {}, form="/links/1/withdraw")
        assert page.path == "/calendar" and client.get(old).status_code == 404
        _page, new = self.make(browser)
        assert new != old and client.get(new).status_code == 200

    def test_the_owner_sees_it_and_withdraws_it(self, sign_in, people, granted, client):
        _page, path = self.make(sign_in(people.apprentice))
        owner = sign_in(people.owner)
        assert "Luis Barrera: own calendar" in owner.get("/cards").text
        owner.submit("/cards", {}, form="/links/1/withdraw")
        assert client.get(path).status_code == 404

    def test_the_form_sent_twice_shows_the_same_address(self, sign_in, people):
        browser = sign_in(people.apprentice)
        form = {**token(browser, "/calendar"), "use": "own days"}
        first, again = (browser.client.post("/calendar", data=form).text for _ in range(2))
        found = [re.search(r"/calendar/([\w-]+)\.ics", html).group(1) for html in (first, again)]
        assert found[0] == found[1] and len(found[0]) == 27
        assert len(browser.get("/calendar").soup.select("main ul.list li")) == 1


def assign_with_due(store, people, clock, acts, who):
    from datetime import UTC, datetime

    from trainer.questions import draw
    from trainer.records import quizzes

    with store.write() as session:
        quizzes.assign(
            session, people.trainer, clock.now, title="Steel", people=[person.id for person in who],
            questions=["bar-count"] if "bar-count" in acts.bank.questions else ["why-the-gap"], pass_mark=80,
            due=datetime(2026, 12, 1, 6, 30, tzinfo=UTC), same_numbers=True, bank=acts.bank.questions, draw=draw,
            token=acts.token(), seed=5,
        )  # fmt: skip
