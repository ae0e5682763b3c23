"""What the server says to the worker: whose page it is, what may be kept, and answers that come late.

Headers of service workers as in W3C Service Workers (a worker serves what lies below its own address).
"""

from __future__ import annotations

import json
import re

from trainer.paths import content_dir
from trainer.records import queries
from trainer.web import offline

JSON = {"Accept": "application/json"}
KEPT_PAGES = ("/lessons", "/lessons/crown-geometry", "/glossary", "/calculations", "/calculations/crown.slab", "/take-off",
              "/take-off/sheet?chimney_length=40+in&chimney_width=24+in&flue_1=13+x+13+in", "/kept")  # fmt: skip


def test_the_worker_stands_at_the_root_and_names_what_pages_ask_for(client, visitor):
    answer = client.get("/worker.js")
    assert answer.mimetype == "text/javascript" and answer.headers["Cache-Control"] == "no-cache"
    told = json.loads(re.match(r"const TOLD = (\{.*?\});\n", answer.text).group(1))
    assert told["files"] == offline.files_mark() and told["root"] == ""
    page = visitor.get("/sign-in").soup
    asked = {one.get("href") or one.get("src") for one in page.select("link[rel=stylesheet], script[src]")}
    assert asked <= set(told["assets"]) and len(told["assets"]) > 8
    for address in (*told["assets"], told["noSignal"]):
        with client.get(address) as one:
            assert one.status_code == 200, address


def test_the_mark_of_the_files_changes_with_any_of_them(tmp_path, monkeypatch):
    for folder in offline.FOLDERS:
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "one").write_text("a")
    monkeypatch.setattr(offline, "content_dir", lambda name: tmp_path / name)
    seen = {offline.files_mark.__wrapped__()}
    for folder in offline.FOLDERS:
        (tmp_path / folder / "one").write_text("b")
        seen.add(offline.files_mark.__wrapped__())
    assert len(seen) == 1 + len(offline.FOLDERS)


def test_each_reader_and_each_language_has_a_mark_of_its_own(sign_in, people, visitor):
    def mark(browser):
        return browser.get("/lessons").headers["X-Reader"]

    luis, jess = sign_in(people.apprentice), sign_in(people.second)
    mine = mark(luis)
    assert mine == mark(luis) != mark(jess)
    assert str(people.apprentice.id) != mine.split(".")[0] and len(mine.split(".")[0]) == 16
    luis.post("/language", {"language": "es"})
    assert mark(luis).split(".")[0] == mine.split(".")[0] and mark(luis) != mine
    assert visitor.get("/sign-in").headers["X-Reader"] == "-"


def test_changed_figures_of_the_shop_make_another_edition(sign_in, people):
    luis = sign_in(people.apprentice)
    before = luis.get("/lessons").headers["X-Reader"]
    sign_in(people.owner).submit("/standard", {"overhang": "3 in"})
    assert luis.get("/lessons").headers["X-Reader"] != before


def test_what_may_be_kept_and_what_may_not(sign_in, people):
    luis = sign_in(people.apprentice)
    for address in KEPT_PAGES:
        assert "X-Keep" in luis.get(address).headers, address
    assert luis.get(KEPT_PAGES[6]).headers["X-Keep"] == "last"
    for address in ("/today", "/record", "/job-check", "/account", "/calculations?search=bag", "/calendar"):
        assert "X-Keep" not in luis.get(address).headers, address
    owner = sign_in(people.owner)
    for address in ("/board", "/people", "/history"):
        assert "X-Keep" not in owner.get(address).headers, address


def test_a_page_fetched_to_be_kept_leaves_the_message_to_the_page_that_is_looked_at(sign_in, people):
    luis = sign_in(people.apprentice)
    token = luis.token()
    luis.client.post("/language", data={"csrf_token": token, "language": "xx"})
    with luis.client.session_transaction() as cookie:
        cookie["_flashes"] = [("message", "Kept: 3 in")]
    quiet = luis.client.get("/lessons", headers={"X-Keep": "ask"})
    assert "Kept: 3 in" not in quiet.text and "X-Keep" in quiet.headers
    shown = luis.client.get("/lessons")
    assert "Kept: 3 in" in shown.text and "X-Keep" not in shown.headers


def test_the_state_names_pages_that_may_be_kept_and_tells_nobody_else(sign_in, people, client):
    assert client.get("/kept/state").get_json() == {"reader": "-", "token": "", "pages": []}
    luis = sign_in(people.apprentice)
    told = luis.client.get("/kept/state").get_json()
    assert told["reader"] == luis.get("/lessons").headers["X-Reader"].split(".")[0]
    assert told["pages"][-1] == "/kept" and len(told["pages"]) > 40
    lessons = {one.stem for one in (content_dir("lessons") / "en").glob("*.md")}
    assert {f"/lessons/{one}" for one in lessons} <= set(told["pages"])
    for address in told["pages"]:
        answer = luis.client.get(address, headers={"X-Keep": "ask"})
        assert answer.status_code == 200 and answer.headers["X-Keep"] == "page", address


def paper_of(acts, people, **terms):
    return acts.assign(people.apprentice, ["ladder-foot", "why-the-gap", "crown-slab-length"], **terms)


def test_a_paper_being_sat_may_be_kept_with_its_open_questions(sign_in, people, acts):
    luis, paper = sign_in(people.apprentice), paper_of(acts, people)
    assert "X-Keep" not in luis.get(f"/papers/{paper}").headers  # not begun
    luis.post(f"/papers/{paper}/start")
    answer = luis.client.get(f"/papers/{paper}/2", headers={"X-Keep": "ask"})
    assert answer.headers["X-Keep"] == "page"
    assert answer.headers["X-Keep-Also"].split() == [f"/papers/{paper}/{n}" for n in (1, 2, 3)]
    luis.post(f"/papers/{paper}/hand-in")
    luis.get("/today")
    assert "X-Keep" not in luis.get(f"/papers/{paper}").headers  # its answers are shown now


def send(luis, paper, position, typed, token="a token", name="answer"):
    data = {"csrf_token": luis.token(), "form_token": token, name: typed}
    return luis.client.post(f"/papers/{paper}/{position}", data=data, headers=JSON)


def answers(store, people, paper):
    with store.read() as session:
        return [one.answer for one in queries.paper(session, people.apprentice, paper).questions]


def test_a_late_answer_is_stored_once_and_a_refused_one_says_why(sign_in, people, acts, store):
    luis, paper = sign_in(people.apprentice), paper_of(acts, people)
    luis.post(f"/papers/{paper}/start")
    place = next(  # the question that takes a length
        n for n in (1, 2, 3) if luis.get(f"/papers/{paper}/{n}").soup.select_one("input[data-unit=in]")
    )
    unreadable = send(luis, paper, place, "4,5 in")
    assert unreadable.status_code in (409, 422) and "point" in unreadable.get_json()["said"]
    first = send(luis, paper, place, "44 1/2 in")
    again = send(luis, paper, place, "44 1/2 in")
    other_form = send(luis, paper, place, "44 1/2 in", token="another")
    assert first.get_json() == again.get_json() == other_form.get_json()
    assert first.get_json() == {"kept": answers(store, people, paper)[place - 1].shown}
    changed = send(luis, paper, place, "45 in", token="a third")
    assert changed.status_code == 409 and "44 1/2 in" in changed.get_json()["said"]
    assert sum(one is not None for one in answers(store, people, paper)) == 1
    luis.post(f"/papers/{paper}/hand-in")
    closed = send(luis, paper, 1 + place % 3, "40 in", token="late")
    assert closed.status_code in (409, 422) and closed.get_json()["said"]
    assert send(sign_in(people.second), paper, place, "1 in").status_code == 403


def test_the_page_without_signal_speaks_both_languages_and_of_nobody(client, sign_in, people):
    bare = client.get("/no-signal")
    assert "No signal" in bare.text and "Sin señal" in bare.text and "X-Reader" not in bare.headers
    assert sign_in(people.apprentice).get("/no-signal").text.count("Luis") == 0
