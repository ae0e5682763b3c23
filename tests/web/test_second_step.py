"""The second step at sign-in, as a trainer or owner turns it on and meets it."""

from __future__ import annotations

from datetime import timedelta

import pyotp
import pytest

PASSWORD = "brick and mortar"  # as the fixture gives to everyone


def code_at(clock, secret):
    return pyotp.TOTP(secret).at(clock.now)


@pytest.fixture
def secret(sign_in, people, clock):
    """Tom has turned the second step on; the secret that his app holds."""
    tom = sign_in(people.trainer)
    page = tom.get("/account/second-step")
    found = page.soup.select_one("main input[name=secret]")["value"]
    assert page.soup.select_one("main svg") and page.soup.select_one(".code").get_text() == found
    assert page.headers["Cache-Control"] == "no-store"
    done = tom.post("/account/second-step", {"secret": found, "code": code_at(clock, found)})
    assert done.location == "/account"
    clock.now += timedelta(minutes=5)
    return found


def test_a_wrong_code_does_not_turn_it_on_and_keeps_the_picture(sign_in, people):
    tom = sign_in(people.trainer)
    page = tom.submit("/account/second-step", {"code": "12345"})
    assert len(page.errors) == 1 and "not the code of this moment" in page.errors[0]
    assert (
        page.soup.select_one("main input[name=secret]")["value"] == page.soup.select_one(".code").get_text()
    )
    tom.post("/account/second-step", {"code": "123456", "secret": "short"})
    assert tom.get("/account/second-step").soup.select_one("main button").get_text() == "Turn it on"


def test_after_the_password_comes_the_code(visitor, secret, clock):
    page = visitor.submit("/sign-in?after=/review", {"sign_in": "tom", "password": PASSWORD})
    assert page.path.startswith("/sign-in/second") and "Second step" in page.text
    assert visitor.get("/account").path.startswith("/sign-in")  # not in yet
    wrong = visitor.submit("/sign-in/second?after=/review", {"code": "000000"})
    assert len(wrong.errors) == 1 and wrong.soup.select_one("main input[name=code]")
    page = visitor.submit("/sign-in/second?after=/review", {"code": code_at(clock, secret)})
    assert page.path == "/review" and "Signed in as Tom Okafor." in page.text


def test_the_code_is_awaited_for_ten_minutes(visitor, secret, clock):
    visitor.submit("/sign-in", {"sign_in": "tom", "password": PASSWORD})
    clock.now += timedelta(minutes=10)
    assert visitor.get("/sign-in/second").path == "/sign-in"
    assert visitor.post("/sign-in/second", {"code": code_at(clock, secret)}).location == "/sign-in"


def test_without_the_password_the_code_page_leads_back(visitor, secret, clock):
    answer = visitor.get("/sign-in/second")
    assert answer.path == "/sign-in"


def test_a_reset_meanwhile_ends_the_wait(visitor, sign_in, people, secret, clock):
    visitor.submit("/sign-in", {"sign_in": "tom", "password": PASSWORD})
    form = visitor.get("/sign-in/second").soup.select_one("main form")
    sign_in(people.owner).post(f"/people/{people.trainer.id}/new-code")
    fields = {
        "csrf_token": form.select_one("input[name=csrf_token]")["value"],
        "code": code_at(clock, secret),
    }
    page = visitor._page(visitor.client.post("/sign-in/second", data=fields))
    assert page.status == 200 and len(page.errors) == 1
    assert visitor.get("/account").path.startswith("/sign-in")


def test_it_is_turned_off_with_a_code_only(sign_in, people, secret, clock, visitor):
    tom = sign_in(people.trainer)
    page = tom.submit("/account/second-step", {"code": "000000"})
    assert len(page.errors) == 1 and page.soup.select_one("main button").get_text() == "Turn it off"
    assert secret not in page.html
    page = tom.submit("/account/second-step", {"code": code_at(clock, secret)})
    assert page.path == "/account" and "The second step is off." in page.text
    visitor.submit("/sign-in", {"sign_in": "tom", "password": PASSWORD})
    assert visitor.get("/account").path == "/account"


def test_new_hires_are_not_offered_it(sign_in, people):
    assert "Second step" not in sign_in(people.apprentice).get("/account").text
    assert "Second step" in sign_in(people.owner).get("/account").text
