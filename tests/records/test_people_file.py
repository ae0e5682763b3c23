"""A file of people: what each line would do, what is refused in which line, and all or nothing."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import func, select

from trainer.errors import NotAllowed, Refusal
from trainer.records import history, people_file, queries
from trainer.records.models import Event, Person
from trainer.records.people_lines import MOST_BYTES, MOST_PEOPLE

HEADING = "name,sign-in,role,language,e-mail,crew\n"


def check(shop: Any, who: Any, text: str) -> people_file.Checked:
    with shop.store.read() as session:
        return people_file.check(session, who, text, "en")


def enter(shop: Any, who: Any, now: datetime, text: str) -> tuple[people_file.Entered, ...]:
    with shop.store.write() as session:
        return people_file.enter(session, who, now, text, "en")


def people_and_events(shop: Any) -> tuple[int, int]:
    with shop.store.read() as session:
        return (
            session.scalar(select(func.count()).select_from(Person)) or 0,
            session.scalar(select(func.count()).select_from(Event)) or 0,
        )


def wrong_of(shop: Any, who: Any, text: str) -> list[tuple[int, str]]:
    return [(line.number, str(line.wrong)) for line in check(shop, who, text).wrong]


GOOD = HEADING + (
    "Dana Reyes,Dana,new hire,es,dana@shop.example,North\r\n"
    "\r\n"
    '"Cole, Pat",pat,trainer+new hire,,,North\r\n'
    "Ivo Marsh,ivo,,,,\r\n"
)


def test_a_good_file_is_checked_and_then_stored(shop: Any, shop_people: Any, now: datetime) -> None:
    owner = shop_people.owner
    before = people_and_events(shop)
    found = check(shop, owner, GOOD)
    assert [(one.number, one.name, one.roles, one.language) for one in found.new] == [
        (2, "Dana Reyes", ("apprentice",), "es"),
        (4, "Cole, Pat", ("trainer", "apprentice"), "en"),
        (5, "Ivo Marsh", ("apprentice",), "en"),
    ]
    assert not found.wrong and people_and_events(shop) == before
    entered = enter(shop, owner, now, GOOD)
    assert [one.sign_in for one in entered] == ["dana", "pat", "ivo"]
    assert len({one.code for one in entered}) == 3
    with shop.store.read() as session:
        assert history.verify(session).ok
        rows = {row.sign_in: row for row in queries.people(session, owner)}
        (crew,) = queries.crews(session, owner)
    assert rows["dana"].email == "dana@shop.example" and rows["pat"].roles == {"trainer", "apprentice"}
    assert crew.name == "North" and crew.people == {rows["dana"].id, rows["pat"].id}


def test_the_same_file_again_adds_nobody(shop: Any, shop_people: Any, now: datetime) -> None:
    enter(shop, shop_people.owner, now, GOOD)
    before = people_and_events(shop)
    found = check(shop, shop_people.owner, GOOD)
    assert [line.there for line in found.lines] == [True] * 3 and not found.wrong
    assert enter(shop, shop_people.owner, now, GOOD) == () and people_and_events(shop) == before


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Dana,dana,boss", "'boss' is no role"),
        ("Dana,dana,,fr", "'fr' is no language"),
        ("Dana,dana,,,not-an-address", "is no e-mail address"),
        ("Dana,d", "The sign-in 'd' cannot be used"),
        ("Dana,dana reyes", "cannot be used"),
        (",dana", "The name or the sign-in is missing."),
        ("Dana,", "The name or the sign-in is missing."),
        ("x" * 81 + ",dana", "more than 80 letters"),
        ("Dana,dana,,,," + "c" * 61, "The crew's name has more than 60 letters."),
        ("Dana,dana,,,,,extra", "more cells than columns"),
        ("=1+1,dana", "take for a formula"),
        ('"=HYPERLINK(""http://x.example"",""y"")",dana', "take for a formula"),
        ("+Dana,dana", "take for a formula"),
        ("@Dana,dana", "take for a formula"),
        ("-Dana,dana", "take for a formula"),
        ("＝1,dana", "take for a formula"),
        ("Dana,dana,,,,=North", "take for a formula"),
        ("Ana B,ana", "The sign-in ana is taken: Ana Abel."),
    ],
)
def test_a_line_that_cannot_be_taken_is_named(
    shop: Any, shop_people: Any, now: datetime, line: str, said: str
) -> None:
    text = HEADING + "Ivo Marsh,ivo\n" + line + "\n"
    before = people_and_events(shop)
    ((number, sentence),) = wrong_of(shop, shop_people.owner, text)
    assert number == 3
    assert said in sentence
    with pytest.raises(Refusal, match=r"Nobody was added\. Line 3: "):
        enter(shop, shop_people.owner, now, text)
    assert people_and_events(shop) == before  # not even the good line


def test_a_sign_in_that_stands_twice_names_both_lines(shop: Any, shop_people: Any) -> None:
    text = HEADING + 'Dana,dana\n"two\nlines",second\nDan,DANA\n'
    found = wrong_of(shop, shop_people.owner, text)
    assert found == [(5, "The sign-in dana stands in line 2 already.")]


@pytest.mark.parametrize(
    "text",
    [
        "", "\n\n", HEADING, "name\nDana\n", "sign-in\ndana\n", "Dana,dana\nPat,pat\n", "name,name,sign-in\nA,B,c\n",
        "name,sign-in,salary\nDana,dana,1\n", 'name,sign-in\n"Dana,dana\n', 'name,sign-in\n"Dana"x,dana\n',
        HEADING + "".join(f"P {n},p{n:03}\n" for n in range(MOST_PEOPLE + 1)), HEADING + "x" * MOST_BYTES,
        "name,sign-in\nDa\x00na,dana\n", "name,sign-in\nDa\x1bna,dana\n", "\x89PNG\n",
    ],
)  # fmt: skip
def test_a_whole_that_cannot_be_read_is_refused_in_one_sentence(
    shop: Any, shop_people: Any, now: datetime, text: str
) -> None:
    before = people_and_events(shop)
    with pytest.raises(Refusal) as caught:
        check(shop, shop_people.owner, text)
    for language in ("en", "es"):
        assert 10 < len(caught.value.in_language(language)) < 300
    with pytest.raises(Refusal):
        enter(shop, shop_people.owner, now, text)
    assert people_and_events(shop) == before


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"x" * (MOST_BYTES + 1), "larger than 64 KB"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "Line 1 is no text in UTF-8"),
        ("name,sign-in\nJosé,jose\n".encode("latin-1"), "Line 2 is no text in UTF-8"),
        ("name,sign-in\nDana,dana\n".encode("utf-16"), "Line 1 is no text in UTF-8"),
        (b"PK\x03\x04" + b"\x00" * 40, "Line 1 is no text in UTF-8"),
        (b"name,sign-in\nDa\x00na,dana\n", "Line 2 is no text in UTF-8"),
    ],
)
def test_a_file_that_is_no_text_is_refused(data: bytes, said: str) -> None:
    with pytest.raises(Refusal, match=said):
        people_file.decoded(data)


@pytest.mark.parametrize("parted", [",", ";", "\t"])
def test_what_spreadsheets_write_is_read(shop: Any, shop_people: Any, parted: str) -> None:
    rows = (("Nombre", "Usuario", "Función", "Idioma"), ("José Núñez", "jose", "aprendiz", "español"))
    data = b"\xef\xbb\xbf" + "\r\n".join(parted.join(row) for row in rows).encode()
    (line,) = check(shop, shop_people.owner, people_file.decoded(data)).new
    assert (line.name, line.roles, line.language) == ("José Núñez", ("apprentice",), "es")


def test_only_an_owner_may(shop: Any, shop_people: Any, now: datetime) -> None:
    for who in (shop_people.trainer, shop_people.apprentice):
        with pytest.raises(NotAllowed):
            check(shop, who, GOOD)
        with pytest.raises(NotAllowed):
            enter(shop, who, now, GOOD)
