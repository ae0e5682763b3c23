"""E-mail addresses on one's own page and on the owner's."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from trainer.records import emails

INJECTION = "luis@shop.example\r\nBcc: thief@elsewhere.example"


@pytest.fixture
def kept(store, people):
    def address():
        with store.read() as session:
            return emails.email_of(session, people.apprentice.id)

    return address


def test_ones_own_is_set_changed_and_taken_off(sign_in, people, kept):
    browser = sign_in(people.apprentice)
    link = browser.get("/account").soup.find("a", string="E-mail address")["href"]
    page = browser.submit(link, {"email": "luis@shop.example"})
    assert page.path == "/account" and "Saved." in page.text and kept() == "luis@shop.example"
    assert browser.get(link).soup.select_one("#email")["value"] == "luis@shop.example"
    browser.submit(link, {"email": ""})
    assert kept() is None


@pytest.mark.parametrize("typed", ["luis", "a b@c.example", INJECTION, "<luis@shop.example>", "x" * 300])
def test_what_is_no_address_is_said_at_its_field_and_stays_in_the_form(sign_in, people, kept, typed):
    for who, path in (
        (people.apprentice, "/account/email"),
        (people.owner, f"/people/{people.apprentice.id}"),
    ):
        page = sign_in(who).submit(path, {"email": typed})
        assert page.status == 200 and page.soup.select_one("#email-error"), path
        assert page.soup.select_one("#email")["aria-invalid"] == "true"
        as_sent = BeautifulSoup(page.html, "html.parser")  # lxml makes one sign of the two of a line end
        assert as_sent.select_one("#email")["value"] == typed
        assert kept() is None


def test_the_owner_sets_anyones(sign_in, people, kept):
    owner = sign_in(people.owner)
    owner.submit(f"/people/{people.apprentice.id}", {"email": "luis@shop.example"})
    assert kept() == "luis@shop.example"
    assert "E-mail address changed hash of the address: " in owner.get("/history").text
    assert "luis@shop" not in owner.get("/history").html
    owner.submit(f"/people/{people.apprentice.id}", {"name": "Luis B. Barrera"})
    assert kept() == "luis@shop.example", "a change of the name leaves it"


def test_a_wrong_address_leaves_the_name_and_the_roles_as_they_were(sign_in, people, kept):
    owner = sign_in(people.owner)
    page = owner.submit(f"/people/{people.apprentice.id}", {"name": "Someone", "email": "no"})
    assert page.status == 200 and "Someone" not in owner.get("/people").text
