"""Our own page for everything that can go wrong, each with a way back."""

from __future__ import annotations

import pytest

from trainer.errors import NotAllowed, Refusal, StoreError, UnknownName
from trainer.languages import Text
from trainer.web.access import Access, access
from trainer.web.errors import is_secret

SAME_SITE = {"Origin": "http://localhost", "Referer": "http://localhost/people/add"}


def way_back(soup):
    return [link["href"] for link in soup.select("main a.button")]


def test_unknown_page(visitor, sign_in, people):
    for browser in (visitor, sign_in(people.apprentice)):
        page = browser.get("/no-such-page")
        assert page.status == 404 and "There is no such page" in page.text and way_back(page.soup) == ["/"]


def test_forbidden_page(sign_in, people):
    page = sign_in(people.apprentice).get("/people")
    assert page.status == 403 and "not for you" in page.text and way_back(page.soup) == ["/"]


def test_wrong_method(sign_in, people):
    page = sign_in(people.owner).get(f"/people/{people.second.id}/deactivate")
    assert page.status == 405 and way_back(page.soup) == ["/"]


def test_too_large(sign_in, people):
    browser = sign_in(people.owner)
    page = browser.post("/people/add", {"name": "x" * 2_000_000})
    assert page.status == 413 and "too much" in page.text


def test_a_fault_of_ours_gives_a_number_and_no_detail(app, sign_in, people, broken_route):
    page = sign_in(people.owner).get(broken_route)
    assert page.status == 500 and "Something broke on our side" in page.text
    assert "ZeroDivisionError" not in page.html and "give this number" in page.text
    assert way_back(page.soup) == ["/"]


def test_the_fault_page_needs_no_store(app, sign_in, people, monkeypatch):
    browser = sign_in(people.owner)

    def fail():
        raise StoreError("the disk is full")

    monkeypatch.setattr("trainer.records.store.Store.read", lambda self: fail())
    page = browser.get("/people")
    assert page.status == 503 and "cannot be written now" in page.text and "disk" not in page.text


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (Refusal(Text(en="Too long by %(by)s.", es="Sobran %(by)s."), by="2 in"), 400),
        (NotAllowed(Text(en="Not your paper.", es="No es su examen.")), 403),
        (UnknownName(Text(en="No such task.", es="No existe esa tarea.")), 404),
        (StoreError("locked"), 503),
    ],
)
def test_what_the_core_refuses_is_said_in_the_readers_language(
    app, sign_in, people, broken_route, error, status
):
    def fail():
        raise error

    app.view_functions["glossary.page"] = access(Access.PUBLIC)(fail)
    for language in ("en", "es"):
        page = sign_in(people.owner, language).get(broken_route)
        assert page.status == status
        if isinstance(error, Refusal):
            assert error.in_language(language) in page.text


def test_an_expired_form_keeps_what_was_typed_and_sends_it_again(sign_in, people):
    owner = sign_in(people.owner)
    fields = {"name": "Ana Ruiz", "sign_in": "ana", "roles": ["apprentice", "trainer"], "language": "es"}
    stale = {**fields, "csrf_token": "stale"}
    page = owner._page(owner.client.post("/people/add", data=stale, headers=SAME_SITE))
    assert page.status == 400 and "This form has expired" in page.text and "Ana Ruiz" in page.text
    again = [(item["name"], item["value"]) for item in page.soup.select("main form input")]
    assert [value for name, value in again if name == "roles"] == ["apprentice", "trainer"]
    data = {}
    for name, value in again:
        data.setdefault(name, []).append(value)
    sent = owner._page(owner.client.post("/people/add", data=data, headers=SAME_SITE))
    assert sent.status == 200 and "One-time code for Ana Ruiz" in sent.text


def test_a_form_of_another_site_is_not_offered_again(sign_in, people):
    owner = sign_in(people.owner)
    for headers in ({"Origin": "https://elsewhere.example"}, {"Origin": "null"}, {}):
        answer = owner._page(owner.client.post("/people/add", data={"name": "Eve"}, headers=headers))
        assert answer.status == 400 and not answer.soup.select("main form") and "Eve" not in answer.html


def test_an_expired_form_never_repeats_a_password(visitor):
    typed = {"sign_in": "luis", "password": "brick and mortar"}
    answer = visitor._page(visitor.client.post("/sign-in", data=typed, headers=SAME_SITE))
    assert (
        answer.status == 400 and "brick and mortar" not in answer.html and not answer.soup.select("main form")
    )


def test_every_password_field_is_known_as_a_secret(app):
    from wtforms import PasswordField

    from trainer.web.forms import account

    with app.test_request_context():
        forms = [account.SignInForm(), account.FirstForm(), account.PasswordForm()]
        names = [f.name for form in forms for f in form if isinstance(f, PasswordField)]
    assert len(names) == 6 and all(is_secret(name) for name in names)
    assert is_secret("code") and not is_secret("name")


def test_an_unknown_host_is_refused(visitor):
    page = visitor._page(visitor.client.get("/sign-in", headers={"Host": "elsewhere.example"}))
    assert page.status == 400 and "elsewhere" not in page.html
