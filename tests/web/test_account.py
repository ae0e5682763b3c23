"""Getting in and out."""

from __future__ import annotations

from datetime import timedelta

from tests.web.conftest import Browser
from trainer.errors import StoreError
from trainer.records import people as records_people
from trainer.records import signin

PASSWORD = "brick and mortar"  # as the fixture gives to everyone

WRONG = "That sign-in and password do not go together."


def enter(visitor, sign_in="luis", password=PASSWORD, **more):
    return visitor.submit("/sign-in", {"sign_in": sign_in, "password": password, **more})


def test_sign_in_and_out(visitor):
    page = enter(visitor)
    assert page.status == 200 and "Signed in as Luis Barrera." in page.text
    page = visitor.submit("/account", {}, form="/sign-out")
    assert page.path == "/sign-in" and "You are signed out." in page.text
    assert visitor.get("/account").path.startswith("/sign-in")


def test_a_wrong_password_and_an_unknown_name_read_the_same(visitor):
    wrong, unknown = enter(visitor, password="wrong password"), enter(visitor, sign_in="nobody")
    assert wrong.errors == unknown.errors == [WRONG]
    assert wrong.status == 200


def test_what_was_typed_stays_but_never_the_password(visitor):
    soup = enter(visitor, password="wrong password").soup
    assert soup.select_one("#sign_in")["value"] == "luis"
    assert not soup.select_one("#password").get("value")
    assert "wrong password" not in str(soup)


def test_empty_fields_are_named_and_linked(visitor):
    page = enter(visitor, sign_in="  ", password="")
    assert page.errors == ["Sign-in name: Fill this in.", "Password: Fill this in."]
    assert [link["href"] for link in page.soup.select(".summary a")] == ["#sign_in", "#password"]


def test_too_many_tries_get_the_page_that_says_how_long(visitor, clock):
    clock.now += timedelta(minutes=1)  # the first sign-in of the fixture worked; tries before it are forgiven
    for _try in range(signin.MOST_BY_NAME_AND_SOURCE):
        assert enter(visitor, password="wrong password").status == 200
    page = enter(visitor)  # even with the right password
    assert page.status == 429 and "Wait 15 min" in page.text
    clock.now += signin.WINDOW + timedelta(seconds=1)
    assert "Signed in" in enter(visitor).text


def test_after_signing_in_the_page_that_was_asked_for_opens(visitor):
    page = visitor.get("/account/password")
    assert page.path == "/sign-in?after=/account/password" or page.path.startswith("/sign-in?after=")
    page = visitor.submit(page.path, {"sign_in": "luis", "password": PASSWORD})
    assert page.path == "/account/password"


def test_no_way_back_leads_off_the_site(visitor):
    # Forms of open redirect: OWASP Unvalidated Redirects and Forwards Cheat Sheet.
    for target in (
        "https://elsewhere.example/",
        "//elsewhere.example/",
        "/\\elsewhere.example",
        "\\\\elsewhere.example",
        "/\t/elsewhere.example",
        "javascript:alert(1)",
        "http:elsewhere.example",
        "/%0d%0aSet-Cookie:x=1\r\nX: y",
        "//[",
    ):
        answer = visitor.post("/language", {"language": "es", "after": target})
        assert answer.status == 303 and answer.location == "/", target
    assert visitor.post("/language", {"language": "en", "after": "/sign-in?x=1"}).location == "/sign-in?x=1"


def test_first_sign_in_by_code_works_once(visitor, store, people, clock):
    with store.write() as session:
        new = records_people.add_person(
            session,
            people.owner,
            clock.now,
            name="Ana Ruiz",
            sign_in="ana",
            roles=["apprentice"],
            language="es",
        )
    fields = {"code": new.code.lower(), "password": "a long password", "password_again": "a long password"}
    page = visitor.submit("/first-sign-in?name=ana", fields)
    assert page.status == 200 and page.soup.html["lang"] == "es" and "Ana Ruiz" in page.text
    visitor.post("/sign-out")
    again = visitor.submit("/first-sign-in?name=ana", fields)
    assert len(again.errors) == 1 and again.path.startswith("/first-sign-in")


def test_a_new_password_must_be_long_and_typed_twice_the_same(visitor):
    page = visitor.submit(
        "/first-sign-in", {"sign_in": "ana", "code": "x", "password": "short", "password_again": "other"}
    )
    assert page.errors == [
        "New password: Use at least 10 letters or signs; a few words are best.",
        "New password again: The two passwords are not the same. Type both again.",
    ]


def test_changing_the_password_ends_other_sessions_and_keeps_this_one(sign_in, people, visitor):
    here, there = sign_in(people.apprentice), sign_in(people.apprentice)
    new = {"password": "another password", "password_again": "another password"}
    assert len(here.submit("/account/password", {"old_password": "not it at all", **new}).errors) == 1
    page = here.submit("/account/password", {"old_password": PASSWORD, **new})
    assert page.path == "/account" and "Your password is changed" in page.text
    assert there.get("/account").path.startswith("/sign-in")
    assert enter(visitor).errors == [WRONG]


def test_a_copied_cookie_is_worth_nothing_after_signing_out(app, visitor):
    enter(visitor)
    thief = Browser(app.test_client())
    thief.client.set_cookie("trainer", visitor.client.get_cookie("trainer").value)
    assert thief.get("/account").path == "/account"
    visitor.post("/sign-out")
    assert thief.get("/account").path.startswith("/sign-in")


def test_the_cookie_of_before_signing_in_again_is_worth_nothing(app, visitor):
    """Signing in again on the same browser ends its older session and makes another key."""
    enter(visitor)
    older = visitor.client.get_cookie("trainer").value
    enter(visitor)
    thief = Browser(app.test_client())
    thief.client.set_cookie("trainer", older)
    assert thief.get("/account").path.startswith("/sign-in")
    assert visitor.get("/account").path == "/account"


def test_wrong_old_passwords_are_limited(sign_in, people, clock):
    browser = sign_in(people.apprentice)
    clock.now += timedelta(seconds=1)  # after the sign-in that the fixture counts
    new = {"password": "another password", "password_again": "another password"}
    for _try in range(signin.MOST_BY_NAME_AND_SOURCE):
        page = browser.submit("/account/password", {"old_password": "not it at all", **new})
        assert page.errors == ["Present password: The old password is wrong."]
    page = browser.submit("/account/password", {"old_password": PASSWORD, **new})
    assert page.status == 429 and "Too many tries" in page.text
    clock.now += signin.WINDOW + timedelta(seconds=1)
    page = browser.submit("/account/password", {"old_password": PASSWORD, **new})
    assert "Your password is changed." in page.text


def test_a_session_in_use_ends_after_a_week(sign_in, people, clock):
    browser = sign_in(people.apprentice)
    for _hour in range(7 * 24 // 8 - 1):
        clock.now += timedelta(hours=8)
        assert browser.get("/account").path == "/account"
    clock.now += timedelta(hours=8)
    assert browser.get("/account").path.startswith("/sign-in")


def test_a_store_that_cannot_be_written_still_lets_people_read(sign_in, people, clock, store, monkeypatch):
    browser = sign_in(people.apprentice)
    clock.now += timedelta(hours=1)

    def full(self):
        raise StoreError("the disk is full")

    monkeypatch.setattr(type(store), "write", full)
    assert browser.get("/account").path == "/account"


def test_sign_out_everywhere(sign_in, people):
    here, there = sign_in(people.apprentice), sign_in(people.apprentice)
    here.post("/account/sign-out-everywhere")
    assert here.get("/account").path.startswith("/sign-in")
    assert there.get("/account").path.startswith("/sign-in")


def test_a_session_left_alone_ends_after_twelve_hours(sign_in, people, clock):
    browser = sign_in(people.apprentice)
    clock.now += timedelta(hours=11)
    assert browser.get("/account").path == "/account"  # used: the time starts again
    clock.now += timedelta(hours=11)
    assert browser.get("/account").path == "/account"
    clock.now += timedelta(hours=12)
    assert browser.get("/account").path.startswith("/sign-in")


def test_the_session_is_new_after_signing_in(visitor):
    visitor.get("/sign-in")
    with visitor.client.session_transaction() as session:
        before = session["csrf_token"]
        session["planted"] = "by someone else"
    enter(visitor)
    with visitor.client.session_transaction() as session:
        assert "planted" not in session
        assert session.get("csrf_token") != before


def test_the_bar_offers_only_pages_that_open(sign_in, people):
    for person in (people.owner, people.trainer, people.apprentice):
        browser = sign_in(person)
        links = [
            link["href"]
            for link in browser.get("/account").soup.select("nav.bar a")
            if link["href"][0] == "/"
        ]
        assert len(links) >= 2
        for link in links:
            page = browser.get(link)
            assert page.status == 200 and page.soup.select_one(
                f"nav.bar a[href='{link}'][aria-current=page]"
            ), link


def test_the_board_stands_first_in_the_bar_of_trainer_and_owner(sign_in, people):
    for person in (people.owner, people.trainer):
        link = sign_in(person).get("/account").soup.select_one("nav.bar a")
        assert (link.get_text(), link["href"]) == ("Board", "/board")
    assert not sign_in(people.apprentice).get("/account").soup.select("nav.bar a[href='/board']")


def test_home_is_the_first_page_of_the_persons_bar(sign_in, people):
    browser = sign_in(people.owner)
    page = browser.get("/")
    first = page.soup.select_one("nav.bar a")
    assert page.path == first["href"] and first["aria-current"] == "page"
