"""The log: one line a request and a fault, by the number that the error page shows, and nothing of what was sent."""

from __future__ import annotations

import json
import os
import re
import stat
import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from flask import url_for

from trainer.errors import StoreError
from trainer.records import links
from trainer.records.store import Store
from trainer.web import create_app, logs, security
from trainer.web.access import Access, access

from .conftest import PASSWORD, Browser, signed_in

SECRET = "open-sesame-4711"


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "requests.log"


@pytest.fixture
def app(store, clock, content, compiled, log):
    made = create_app(store, settings={"CLOCK": clock, "LOG": str(log)}, content=content)
    made.jinja_env.bytecode_cache = compiled
    return made


def lines(log: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in log.read_text("utf-8").splitlines()]


def broken(app: Any, fail: Any) -> None:
    app.view_functions["account.sign_in"] = access(Access.PUBLIC)(fail)


def test_one_line_a_request_with_the_route_and_not_the_address(app, sign_in, people, log):
    sign_in(people.owner).client.get(f"/people/{people.second.id}?after=%2Fsomewhere")
    (line,) = lines(log)
    assert line.keys() == {"time", "id", "method", "route", "status", "ms"}
    assert datetime.fromisoformat(line["time"]).utcoffset() is not None
    assert (line["method"], line["route"], line["status"]) == ("GET", "/people/<int:person_id>", 200)
    assert re.fullmatch("[0-9a-f]{8}", line["id"]) and 0 < line["ms"] < 60_000


def test_each_request_has_its_own_number_and_only_this_account_reads_it(client, log):
    for _ in range(3):
        client.get("/sign-in")
    assert len({line["id"] for line in lines(log)}) == 3
    if os.name != "nt":
        assert stat.S_IMODE(log.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    ("sent", "route", "status"),
    [
        ({"path": f"/{SECRET}"}, None, 404),
        ({"path": "/sign-in", "headers": {"Host": f"{SECRET}.example"}}, "/sign-in", 400),
        ({"path": "/people"}, "/people", 303),
        ({"path": f"/c/{SECRET}"}, None, 404),
    ],
)
def test_what_is_refused_is_logged_without_what_was_asked_for(client, log, sent, route, status):
    client.get(**sent)
    (line,) = lines(log)
    assert (line["route"], line["status"]) == (route, status) and SECRET not in log.read_text()


def test_a_made_up_method_is_not_repeated(client, log):
    client.open("/sign-in", method=SECRET.upper())
    assert lines(log)[0]["method"] == "other" and SECRET.upper() not in log.read_text()


def test_a_header_does_not_choose_the_number_or_the_route(client, log):
    client.get(
        "/sign-in", headers={"trainer.request": SECRET, "trainer.route": SECRET, "X-Request-Id": SECRET}
    )
    assert lines(log)[0]["route"] == "/sign-in" and SECRET not in log.read_text()


def test_a_fault_has_the_number_of_its_page_the_places_and_no_value(app, visitor, log):
    def fail() -> str:
        try:
            int(SECRET)
        except ValueError as error:
            raise KeyError(SECRET) from error
        raise AssertionError

    broken(app, fail)
    page = visitor.get(f"/sign-in?name={SECRET}")
    fault, line = lines(log)
    assert page.status == line["status"] == 500
    assert fault["id"] == line["id"] and line["id"] in page.text
    assert [one["kind"] for one in fault["faults"]] == ["KeyError", "ValueError"]
    assert re.fullmatch(r".*test_logs:\d+ fail", fault["faults"][0]["at"][-1])
    assert SECRET not in log.read_text()


def test_a_fault_of_the_store_says_what_the_store_said(app, visitor, log):
    def fail() -> str:
        raise StoreError("the disk is full")

    broken(app, fail)
    assert visitor.get("/sign-in").status == 503
    assert lines(log)[0]["faults"][0]["says"] == "the disk is full"


def test_a_refusal_of_the_database_gives_its_code_and_no_value(app, visitor, log, store: Store, people):
    def fail() -> str:
        with store.write() as session:
            session.connection().exec_driver_sql(
                "INSERT INTO person (id, name) VALUES (?, ?)", (people.owner.id, SECRET)
            )
        raise AssertionError

    broken(app, fail)
    assert visitor.get("/sign-in").status == 503
    kinds = lines(log)[0]["faults"]
    assert kinds[0]["kind"] == "IntegrityError" and kinds[1]["code"].startswith("SQLITE_CONSTRAINT")
    assert SECRET not in log.read_text()


def test_a_fault_of_the_error_page_itself_still_gets_an_answer_and_a_line(app, client, log, monkeypatch):
    def fail(*_: object, **__: object) -> str:
        raise RuntimeError(SECRET)

    monkeypatch.setattr("trainer.web.errors.render_template", fail)
    answer = client.get("/no-such-page")
    *told, line = lines(log)
    assert answer.status_code == line["status"] == 500
    assert line["id"] in answer.text and "RuntimeError" not in answer.text
    assert {one["id"] for one in told} == {line["id"]}
    assert told[-1]["faults"][0]["kind"] == "RuntimeError" and SECRET not in log.read_text()


def test_no_password_code_answer_key_or_name_is_ever_logged(app, store, people, clock, acts, log):
    """Everything secret or personal that passes through: typed right, typed wrong, in forms, addresses and cookies."""
    visitor, owner = Browser(app.test_client()), signed_in(app, clock, people.owner, None)
    wrong = "not the password"
    assert "luis" in visitor.submit("/sign-in", {"sign_in": "luis", "password": wrong}).html
    assert visitor.submit("/sign-in", {"sign_in": "luis", "password": PASSWORD}).path == "/today"
    added = owner.submit("/people/add", {"name": "Ana Ruiz", "sign_in": "ana-r", "roles": ["apprentice"]})
    code = re.search(r"\S{4}-\S{4}-\S{4}", added.text)
    assert code is not None
    chosen = {"password": "slate and tile", "password_again": "slate and tile"}
    entered = Browser(app.test_client()).submit(
        "/first-sign-in", {"sign_in": "ana-r", "code": code[0], **chosen}
    )
    assert entered.path != "/first-sign-in"
    paper = acts.assign(people.apprentice, ["why-the-gap", "crown-slab-length"])
    visitor.submit(f"/papers/{paper}", {})
    read = visitor.submit(f"/papers/{paper}/2", {"answer": "47 11/16 in"})
    assert "47 11/16" in read.html
    visitor.submit("/account/email", {"email": "luis.b@shop.example"})
    with store.write() as session:
        key = links.make(session, people.apprentice, clock.now, use=links.OWN_DAYS, person_id=3, token="t")
    with app.test_request_context():
        feed, found = url_for("links.feed", key=key), url_for("search.page", q="flue liner question")
    assert "VCALENDAR" in visitor.get(feed).html and "flue liner question" in visitor.get(found).html
    visitor.client.post("/account/password", data={"old_password": PASSWORD, "csrf_token": "stale"})
    told = log.read_text("utf-8")
    assert len(lines(log)) > 15 and {line["status"] for line in lines(log)} >= {200, 303, 400}
    cookie = visitor.client.get_cookie("trainer")
    assert cookie is not None
    secrets = [
        PASSWORD,
        wrong,
        code[0],
        "slate and tile",
        "47 11/16",
        "luis",
        key,
        "liner",
        "Ana",
        "ana-r",
        "nora",
    ]
    assert [one for one in (*secrets, "127.0.0.1", "stale", cookie.value) if one in told] == []


def test_quiet_tells_faults_only(store, clock, content, capfd):
    app = create_app(store, settings={"CLOCK": clock}, content=content)
    assert app.config["LOG"] == logs.QUIET == security.DEFAULTS["LOG"]
    client = app.test_client()
    client.get("/sign-in")
    assert capfd.readouterr() == ("", "")

    def fail() -> str:
        raise RuntimeError(SECRET)

    broken(app, fail)
    number = re.search("[0-9a-f]{8}", client.get("/sign-in").text.partition("give this number")[2])
    said = capfd.readouterr()
    assert said.out == "" and number is not None and json.loads(said.err)["id"] == number[0]


def test_a_dash_is_stderr(store, clock, content, capfd):
    app = create_app(store, settings={"CLOCK": clock, "LOG": logs.STDERR}, content=content)
    app.test_client().get("/sign-in")
    assert json.loads(capfd.readouterr().err)["route"] == "/sign-in"


def test_a_log_moved_away_goes_on_in_a_new_file(client, log):
    client.get("/sign-in")
    log.rename(log.with_suffix(".old"))
    client.get("/sign-in")
    assert len(lines(log)) == len(lines(log.with_suffix(".old"))) == 1


def test_a_log_that_cannot_be_written_stops_nobody(store, clock, content, tmp_path, capfd):
    app = create_app(store, settings={"CLOCK": clock, "LOG": str(tmp_path / "none" / "log")}, content=content)
    assert app.test_client().get("/sign-in").status_code == 200
    assert "the log cannot be written" in capfd.readouterr().err


def test_a_deep_error_is_told_by_its_innermost_places():
    def deep(left: int) -> None:
        if not left:
            raise ValueError
        deep(left - 1)

    try:
        deep(200)
    except ValueError:
        error = sys.exc_info()[1]
    assert error is not None
    (told,) = logs.faults(error)
    assert len(told["at"]) == logs.MOST_PLACES and told["at"][-1].endswith(" deep")
