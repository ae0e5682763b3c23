"""A file of people on the page: checked first, stored when confirmed, and never half of it."""

from __future__ import annotations

from io import BytesIO

import pytest
from sqlalchemy import func, select
from werkzeug.datastructures import FileStorage
from werkzeug.test import encode_multipart

from trainer.records.models import Person

TEXT = "name,sign-in,role,language,crew\nDana Reyes,dana,new hire,es,North\nIvo Marsh,ivo,new hire,en,North\n"


def count(store):
    with store.read() as session:
        return session.scalar(select(func.count()).select_from(Person))


def send(browser, data, name="people.csv"):
    boundary, body = encode_multipart(
        {
            "csrf_token": browser.token(),
            "lines": "",
            "checked": "",
            "file": FileStorage(BytesIO(data), name),
        }
    )
    media = f"multipart/form-data; boundary={boundary}"
    return browser._page(browser.client.post("/people/file", data=body, content_type=media))


def test_a_file_is_checked_then_stored_and_the_codes_are_shown_once(sign_in, people, store):
    browser, before = sign_in(people.owner), count(store)
    page = send(browser, TEXT.encode())
    assert page.status == 200 and "2 people to add" in page.text and count(store) == before
    lines = page.soup.select_one("textarea[name=lines]").get_text()
    checked = page.soup.select_one("input[name=checked]")["value"]
    as_browsers_send = lines.strip("\r\n").replace("\n", "\r\n") + "\r\n"
    confirm = {"lines": as_browsers_send, "checked": checked, "act": "store"}
    page = browser.post("/people/file", confirm)
    assert page.status == 200 and page.headers["Cache-Control"] == "no-store"
    codes = [cell.get_text() for cell in page.soup.select("td strong")]
    assert len(set(codes)) == 2 and count(store) == before + 2
    page = browser.post("/people/file", confirm)  # sent twice
    assert "Nothing was added twice" in page.text and count(store) == before + 2
    assert browser.get("/crews").text.count("Dana Reyes") == 1


def test_lines_that_were_not_checked_are_checked_and_not_stored(sign_in, people, store):
    browser, before = sign_in(people.owner), count(store)
    page = browser.post("/people/file", {"lines": TEXT, "checked": "", "act": "store"})
    assert "2 people to add" in page.text and count(store) == before
    checked = page.soup.select_one("input[name=checked]")["value"]
    page = browser.post(
        "/people/file", {"lines": TEXT + "Eve,eve,owner,en,\n", "checked": checked, "act": "store"}
    )
    assert "3 people to add" in page.text and count(store) == before  # what was seen is what is stored


def test_a_mistake_offers_no_storing_and_keeps_the_lines(sign_in, people, store):
    browser, before = sign_in(people.owner), count(store)
    page = send(browser, (TEXT + "Luis B,luis,new hire,en,\n").encode())
    assert "1 line to put right" in page.text and "is taken: Luis Barrera" in page.text
    assert not page.soup.select("button[value=store]")
    assert "Luis B,luis" in page.soup.select_one("textarea[name=lines]").get_text()
    checked = page.soup.select_one("input[name=checked]")["value"]
    lines = page.soup.select_one("textarea[name=lines]").get_text()
    page = browser.post("/people/file", {"lines": lines, "checked": checked, "act": "store"})
    assert "Nobody was added. Line 4" in page.text and count(store) == before


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\n" + b"\xff" * 200, "is no text in UTF-8"),
        (b"x" * 70_000, "larger than 64 KB"),
        ("name,sign-in\nJosé,jose".encode("cp1252"), "Line 2 is no text in UTF-8"),
        (b"name,sign-in\n=cmd|' /C calc'!A0,dana", "take for a formula"),
        (b"name,sign-in\n<script>alert(1)</script>,dana", "1 person to add"),
    ],
)
def test_attacks_on_the_upload(sign_in, people, store, data, said):
    browser, before = sign_in(people.owner), count(store)
    page = send(browser, data, name="../../people.csv")
    assert page.status == 200 and said in page.text and count(store) == before
    assert "<script>alert" not in page.html


def test_a_huge_upload_is_refused_before_it_is_read(sign_in, people, store):
    page = send(sign_in(people.owner), b"x" * (3 * 1024 * 1024))
    assert page.status == 413


def test_the_owner_hands_the_shop_over(sign_in, people):
    browser = sign_in(people.owner)
    page = browser.submit(
        f"/people/{people.owner.id}/hand-over",
        {"role": "owner", "taker": str(people.trainer.id), "stays": "trainer"},
    )
    assert page.status == 200 and "Handed over." in page.text
    assert browser.get("/people").status == 403
    assert sign_in(people.trainer).get("/people").status == 200
