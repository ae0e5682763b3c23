"""Certificates from outside on their pages: entered, read, withdrawn, and closed to others."""

from __future__ import annotations

import pytest

from trainer.records import people as records_people
from trainer.records import queries

NEW = "/certificates/of/3/new"
PAPER = {
    "kind": "first-aid-cpr",
    "issuer": "Valley Adult School",
    "issued": "2026-11-02",
    "expires": "2028-11-02",
}


@pytest.fixture
def trainer(sign_in, people):
    return sign_in(people.trainer)


@pytest.fixture
def stored(store, people):
    def rows():
        with store.read() as session:
            return queries.certificates(session, people.owner, people.apprentice.id).certificates

    return rows


def test_a_certificate_is_put_on_record_and_shown(trainer, people, sign_in, stored):
    page = trainer.get(f"/board/{people.apprentice.id}/on-the-ground")
    here = next(a["href"] for a in page.soup.select("main a") if a.get_text(strip=True) == "Certificates")
    page = trainer.get(here)
    assert "No certificate is on record yet." in page.text
    assert page.soup.select_one(f"main a[href='{NEW}']")
    page = trainer.submit(NEW, PAPER)
    assert page.path == "/certificates/1" and "The certificate is on record." in page.text
    for said in ("First aid and CPR", "✓ in date", "2 November 2028", "25 November 2026, by Tom Okafor"):
        assert said in page.text
    assert "29 CFR 1926.50(c)" in page.text
    own = sign_in(people.apprentice).get("/certificates/of/3")
    assert own.soup.h1.get_text() == "My certificates" and "good through 2 November 2028" in own.text
    assert not own.soup.select("main a[href$='/new']")
    assert [row.kind for row in stored()] == ["first-aid-cpr"]


def test_a_clearance_names_it_among_its_reasons(trainer, people, acts):
    where = f"/board/{people.apprentice.id}/lead-hand"
    needed = "Certificate: First aid and CPR"
    row = trainer.get(where).soup.find("span", string=needed).parent
    assert "missing" in row.get_text() and "None on record." in row.get_text()
    acts.certificate(people.apprentice)
    row = trainer.get(where).soup.find("span", string=needed).parent
    assert "met" in row.get_text() and "Issued by Valley Adult School" in row.get_text()
    after = trainer.get(where, on="2028-11-03").soup.find("span", string=needed).parent
    assert "Ran out on 2 Nov 2028." in after.get_text()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"kind": ""}, "What kind of certificate: Fill this in."),
        ({"kind": "gone"}, "What kind of certificate: Choose one."),
        ({"issuer": "  "}, "Issued by: Fill this in."),
        ({"issued": "last spring"}, "last spring is no date"),
        ({"issued": ""}, "Issued on: Fill this in."),
        ({"issued": "2026-11-26"}, "cannot have been issued after today"),
        ({"expires": ""}, "This kind needs the last day"),
        ({"expires": "2026-11-01"}, "lies before the day it was issued"),
        ({"expires": "2026-02-30"}, "2026-02-30 is no date"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_typed_is_lost(trainer, stored, change, said):
    page = trainer.submit(NEW, {**PAPER, **change})
    assert page.status == 200 and any(said in error for error in page.errors), page.errors
    sent = {**PAPER, **change}
    for name in ("issuer", "issued", "expires"):
        assert page.soup.select_one(f"#{name}")["value"] == sent[name].strip()
    if sent["kind"] in ("first-aid-cpr",):
        assert page.soup.select_one("input[name=kind][checked]")["value"] == sent["kind"]
    assert not stored()


def test_a_kind_without_renewal_may_have_no_last_day(trainer, stored):
    page = trainer.submit(NEW, {**PAPER, "kind": "ladder-training", "expires": ""})
    assert "without an end" in page.text and stored()[0].expires is None


def test_sent_twice_it_is_stored_once(trainer, stored):
    page = trainer.get(NEW)
    token = page.soup.select_one("main input[name=form_token]")["value"]
    answers = [trainer.post(NEW, {**PAPER, "form_token": token}).location for _ in range(2)]
    assert answers == ["/certificates/1"] * 2 and len(stored()) == 1


def test_it_is_withdrawn_with_a_reason(trainer, people, sign_in, acts, stored):
    acts.certificate(people.apprentice)
    page = trainer.submit("/certificates/1", {"reason": " "}, form="/withdraw")
    assert page.errors == ["Why it is withdrawn: Fill this in."]
    page = trainer.submit("/certificates/1", {"reason": "Not genuine."}, form="/withdraw")
    assert page.path == "/certificates/1" and "‖ withdrawn" in page.text and "Not genuine." in page.text
    assert not page.soup.select("form[action$='/withdraw']")
    again = trainer.post("/certificates/1/withdraw", {"reason": "Again."})
    assert again.status == 200 and again.errors == ["It was withdrawn already."]
    assert stored()[0].withdrawn_reason == "Not genuine."
    own = sign_in(people.apprentice).get("/certificates/1")
    assert "Not genuine." in own.text and not own.soup.select("main form")


def test_nobody_puts_their_own_on_record(trainer, people):
    own = f"/certificates/of/{people.trainer.id}"
    for page in (trainer.get(own + "/new"), trainer.post(own + "/new", PAPER)):
        assert page.status == 403 and "Nobody puts their own certificate on record." in page.text
    assert "Nobody puts their own certificate on record." in trainer.get(own).text


def test_other_peoples_certificates_stay_closed(people, sign_in, acts):
    acts.certificate(people.apprentice)
    other = sign_in(people.second)
    for path in ("/certificates/1", "/certificates/of/3", NEW, "/certificates/1/withdraw"):
        page = other.get(path)
        assert page.status == 403 and "Valley" not in page.html
    assert other.post("/certificates/1/withdraw", {"reason": "Mine."}).status == 403


def test_what_does_not_exist_is_404(trainer):
    for path in (
        "/certificates/9",
        "/certificates/of/99",
        "/certificates/of/99/new",
        "/certificates/9/withdraw",
    ):
        assert trainer.get(path).status == 404, path


def test_the_deactivated_get_no_new_one(trainer, people, store, clock):
    with store.write() as session:
        records_people.deactivate(session, people.owner, clock.now, people.apprentice.id)
    assert not trainer.get("/certificates/of/3").soup.select(f"a[href='{NEW}']")
    assert "is deactivated" in trainer.submit(NEW, PAPER).errors[0]


def test_the_pages_cost_the_same_for_many(trainer, people, acts, count_statements):
    def cost():
        with count_statements() as seen:
            for path in ("/certificates/of/3", "/certificates/1", NEW):
                assert trainer.get(path).status == 200
        return len(seen)

    acts.certificate(people.apprentice)
    few = cost()
    for _ in range(20):
        acts.certificate(people.apprentice)
    assert few == cost() <= 3 * 20
