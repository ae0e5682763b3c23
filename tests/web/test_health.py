"""The page that a watching program asks: 200 while the records can be read, 503 while they cannot."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy.exc import DatabaseError

from trainer.errors import StoreError


def test_ok_to_anyone_and_never_kept(client):
    answer = client.get("/health")
    assert (answer.status_code, answer.text, answer.mimetype) == (200, "ok\n", "text/plain")
    assert answer.headers["Cache-Control"] == "no-store" and "Set-Cookie" not in answer.headers
    assert client.head("/health").status_code == 200


def test_it_costs_one_statement_even_with_a_session(sign_in, people, count_statements):
    browser = sign_in(people.owner)
    with count_statements() as seen:
        assert browser.client.get("/health").status_code == 200
    assert len(seen) == 1


def test_another_host_is_not_answered(client):
    assert client.get("/health", headers={"Host": "elsewhere.example"}).status_code == 400


@pytest.mark.parametrize(
    "error", [StoreError("locked"), DatabaseError("SELECT", {}, Exception("unreadable"))]
)
def test_a_store_that_cannot_be_read_is_told_plainly(client, monkeypatch, error):
    def fail(_self: object) -> None:
        raise error

    monkeypatch.setattr("trainer.records.store.Store.read", fail)
    answer = client.get("/health")
    assert (answer.status_code, answer.text) == (503, "not ready\n")
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_file_that_is_no_store_any_more(client, store):
    store.close()
    with Path(str(store.engine.url.database)).open("r+b") as file:
        file.write(b"\0" * 4096)
    answer = client.get("/health")
    assert (answer.status_code, answer.text) == (503, "not ready\n")


def test_a_store_that_takes_no_writing_can_still_be_read(client, store):
    with closing(sqlite3.connect(str(store.engine.url.database), isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert client.get("/health").status_code == 200
        other.execute("ROLLBACK")
