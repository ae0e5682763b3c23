"""Who may open what: the whole table of routes, tried in every role.

The rules themselves are the shop's decision; that each route has one, and that it holds, is what is checked.
"""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime

import pytest
from flask import Flask, url_for

from tests.keeping import made_once
from trainer.questions import draw
from trainer.records import crews, grants, jobs, links, quizzes, sessions, signoffs
from trainer.records import people as records_people
from trainer.records.actors import person_of
from trainer.records.weekly import Weekly
from trainer.web import create_app
from trainer.web.access import Access, RouteWithoutAccessRule, access, guard, rule_of
from trainer.web.content import CONTENT
from trainer.web.worksheets import code_of

# A change of access is a visible line here.
RULES = {
    "static": Access.PUBLIC,
    "health.page": Access.PUBLIC,
    "offline.worker": Access.PUBLIC,
    "offline.state": Access.PUBLIC,
    "offline.no_signal": Access.PUBLIC,
    "offline.page": Access.SIGNED_IN,
    "account.home": Access.SIGNED_IN,
    "account.sign_in": Access.PUBLIC,
    "account.first": Access.PUBLIC,
    "account.sign_out": Access.PUBLIC,
    "account.second": Access.PUBLIC,
    "account.second_step_page": Access.STAFF,
    "account.mine": Access.SIGNED_IN,
    "account.email": Access.SIGNED_IN,
    "account.password": Access.SIGNED_IN,
    "account.sign_out_everywhere": Access.SIGNED_IN,
    "account.language": Access.PUBLIC,
    "today.page": Access.APPRENTICE,
    "lessons.index": Access.SIGNED_IN,
    "lessons.read": Access.SIGNED_IN,
    "lessons.section": Access.SIGNED_IN,
    "lessons.check": Access.SIGNED_IN,
    "versions.index": Access.STAFF,
    "versions.lesson": Access.STAFF,
    "versions.accept": Access.STAFF,
    "versions.ask_again": Access.STAFF,
    "figures.page": Access.SIGNED_IN,
    "glossary.page": Access.SIGNED_IN,
    "search.page": Access.SIGNED_IN,
    "calculations.index": Access.SIGNED_IN,
    "calculations.page": Access.SIGNED_IN,
    "calculations.as_json": Access.SIGNED_IN,
    "calculations.as_text": Access.SIGNED_IN,
    "practice.index": Access.SIGNED_IN,
    "practice.start": Access.SIGNED_IN,
    "practice.ask": Access.SIGNED_IN,
    "papers.page": Access.SIGNED_IN,
    "papers.start": Access.SIGNED_IN,
    "papers.question": Access.SIGNED_IN,
    "papers.hint": Access.SIGNED_IN,
    "papers.hand_in": Access.SIGNED_IN,
    "papers.again": Access.SIGNED_IN,
    "record.mine": Access.SIGNED_IN,
    "record.of": Access.STAFF,
    "questions.index": Access.STAFF,
    "questions.show": Access.STAFF,
    "questions.add": Access.STAFF,
    "questions.example": Access.STAFF,
    "questions.attempt": Access.STAFF,
    "assign.index": Access.STAFF,
    "assign.new": Access.STAFF,
    "assign.quiz": Access.STAFF,
    "assign.take_back": Access.STAFF,
    "assign.stop": Access.STAFF,
    "question_figures.index": Access.STAFF,
    "question_figures.question": Access.STAFF,
    "review.index": Access.STAFF,
    "review.paper": Access.STAFF,
    "review.comment": Access.STAFF,
    "review.grade": Access.STAFF,
    "review.finish": Access.STAFF,
    "review.send_back": Access.STAFF,
    "regrades.index": Access.STAFF,
    "regrades.question": Access.STAFF,
    "regrades.doubts": Access.STAFF,
    "regrades.settle": Access.OWNER,
    "talks.index": Access.STAFF,
    "worksheets.find": Access.STAFF,
    "worksheets.sheets": Access.STAFF,
    "worksheets.key": Access.STAFF,
    "worksheets.entry": Access.STAFF,
    "talks.sheet": Access.STAFF,
    "signoffs.index": Access.STAFF,
    "signoffs.new": Access.STAFF,
    "signoffs.show": Access.SIGNED_IN,
    "signoffs.photo": Access.SIGNED_IN,
    "signoffs.waiting": Access.STAFF,
    "skills.crew": Access.STAFF,
    "skills.mine": Access.SIGNED_IN,
    "skills.of": Access.STAFF,
    "certificates.of": Access.SIGNED_IN,
    "certificates.new": Access.STAFF,
    "certificates.show": Access.SIGNED_IN,
    "certificates.paper": Access.SIGNED_IN,
    "certificates.withdraw": Access.STAFF,
    "board.page": Access.STAFF,
    "board.as_table": Access.STAFF,
    "board.standing": Access.STAFF,
    "board.grant": Access.OWNER,
    "board.suspend": Access.STAFF,
    "board.lift": Access.OWNER,
    "job_check.page": Access.SIGNED_IN,
    "rules.index": Access.STAFF,
    "rules.version": Access.STAFF,
    "rules.own": Access.OWNER,
    "rules.new": Access.OWNER,
    "rules.edit": Access.OWNER,
    "rules.withdraw": Access.OWNER,
    "sheets.certification": Access.SIGNED_IN,
    "sheets.grant": Access.SIGNED_IN,
    "sheets.grant_certification": Access.SIGNED_IN,
    "sheets.roster": Access.STAFF,
    "links.cards": Access.OWNER,
    "links.card": Access.PUBLIC,
    "links.calendar": Access.SIGNED_IN,
    "links.feed": Access.PUBLIC,
    "links.withdraw": Access.SIGNED_IN,
    "exports.page": Access.STAFF,
    "exports.table": Access.STAFF,
    "exports.archive": Access.OWNER,
    "history.page": Access.OWNER,
    "history.check": Access.OWNER,
    "crews.index": Access.STAFF,
    "crews.new": Access.STAFF,
    "crews.edit": Access.STAFF,
    "people.index": Access.OWNER,
    "people.add": Access.OWNER,
    "people.edit": Access.OWNER,
    "people.new_code": Access.OWNER,
    "people.deactivate": Access.OWNER,
    "people.reactivate": Access.OWNER,
    "people.hand_over": Access.OWNER,
    "people.file": Access.OWNER,
    "standard.page": Access.OWNER,
    "takeoff.page": Access.SIGNED_IN,
    "takeoff.sheet": Access.SIGNED_IN,
    "takeoff.paper": Access.SIGNED_IN,
    "takeoff.kept": Access.SIGNED_IN,
    "takeoff.job": Access.SIGNED_IN,
    "takeoff.save": Access.SIGNED_IN,
    "takeoff.change": Access.SIGNED_IN,
    "takeoff.remove": Access.SIGNED_IN,
    "shop.page": Access.OWNER,
}
# Pages of single records: the route lets everyone in, the use case only these of the three.
BY_RECORD = {
    "papers.page": {"apprentice"},
    "papers.start": {"apprentice"},
    "papers.question": {"apprentice"},
    "papers.hint": {"apprentice"},
    "papers.hand_in": {"apprentice"},
    "papers.again": {"apprentice"},
    "signoffs.show": {"owner", "trainer", "apprentice"},
    "signoffs.photo": {"owner", "trainer", "apprentice"},
    "signoffs.waiting": {"trainer"},  # who sent it
    "certificates.paper": {"owner", "trainer", "apprentice"},
    "sheets.certification": {"owner", "trainer", "apprentice"},
    "sheets.grant": {"owner", "trainer", "apprentice"},
    "sheets.grant_certification": {"owner", "trainer", "apprentice"},
    "links.withdraw": {"owner", "apprentice"},
    "certificates.of": {"owner", "trainer", "apprentice"},
    "certificates.show": {"owner", "trainer", "apprentice"},
    "takeoff.change": {"owner", "trainer", "apprentice"},
    "takeoff.remove": {"owner", "trainer", "apprentice"},
}

# Arguments that exist, for routes that need some: a 404 would hide a missing 403.
PERSON = {"person_id": 4}  # the second apprentice
PAPER = {"paper_id": 1}  # the first apprentice's
STANDING = {**PERSON, "clearance": "on-the-ground"}
SAMPLE: dict[str, dict[str, object]] = {
    "static": {"filename": "site.css"},
    "lessons.read": {"lesson": "crown-geometry"},
    "lessons.section": {"lesson": "crown-geometry"},
    "figures.page": {"lesson": "crown-geometry", "number": 1},
    "lessons.check": {"lesson": "crown-geometry", "question": "crown-slab-length"},
    "versions.lesson": {"lesson": "bond-breaks"},
    "versions.accept": {"lesson": "bond-breaks"},
    "versions.ask_again": {"lesson": "bond-breaks", "acceptance_id": 1},
    "calculations.page": {"name": "crown.slab"},
    "calculations.as_json": {"name": "crown.slab"},
    "calculations.as_text": {"name": "crown.slab"},
    "practice.start": {"question": "why-the-gap"},
    "practice.ask": {"question": "why-the-gap", "seed": 1},
    "questions.show": {"question": "why-the-gap"},
    "papers.page": PAPER,
    "papers.start": PAPER,
    "papers.question": {**PAPER, "position": 1},
    "papers.hint": {**PAPER, "position": 1},
    "papers.hand_in": PAPER,
    "papers.again": PAPER,
    "record.of": PERSON,
    "rules.version": {"version_id": 1},
    "rules.edit": {"clearance": "on-the-ground"},
    "rules.withdraw": {"clearance": "lead-hand"},
    "assign.quiz": {"quiz_id": 1},
    "assign.take_back": {"quiz_id": 1},
    "assign.stop": {"quiz_id": 1},
    "question_figures.question": {"question": "why-the-gap"},
    "review.paper": PAPER,
    "review.comment": {**PAPER, "position": 1},
    "review.grade": {**PAPER, "position": 1},
    "review.finish": PAPER,
    "talks.sheet": {"skill": "slab-size"},
    "worksheets.sheets": {"quiz_id": 1},
    "worksheets.key": {"quiz_id": 1},
    "worksheets.entry": {"code": "1-AAAAAA"},
    "review.send_back": PAPER,
    "regrades.question": {"question": "first-thing-up"},
    "regrades.settle": {"doubt_id": 1},
    "signoffs.new": {**PERSON, "task": "build-form"},
    "signoffs.show": {"sign_off_id": 1},  # the first apprentice's
    "signoffs.photo": {"sign_off_id": 1, "position": 1},
    "signoffs.waiting": {"file_id": 1},  # the trainer's
    "skills.of": PERSON,
    "certificates.of": {"person_id": 3},  # the first apprentice's
    "certificates.new": PERSON,
    "certificates.show": {"certificate_id": 1},  # the first apprentice's
    "certificates.paper": {"certificate_id": 1},
    "certificates.withdraw": {"certificate_id": 1},
    "board.standing": STANDING,
    "board.grant": STANDING,
    "board.suspend": STANDING,
    "board.lift": {**STANDING, "suspension_id": 1},
    "sheets.certification": {"person_id": 3},  # the first apprentice
    "sheets.grant": {"grant_id": 1},  # the first apprentice's
    "sheets.grant_certification": {"grant_id": 1},
    "links.card": {"key": "put in below"},
    "links.feed": {"key": "put in below"},
    "links.withdraw": {"link_id": 1},  # the first apprentice's
    "takeoff.job": {"job_id": 1},  # the first apprentice's
    "takeoff.change": {"job_id": 1},
    "takeoff.remove": {"job_id": 1},
    "crews.edit": {"crew_id": 1},
    "exports.table": {"name": "papers"},
    "people.edit": PERSON,
    "people.new_code": PERSON,
    "people.deactivate": PERSON,
    "people.reactivate": PERSON,
    "people.hand_over": PERSON,
}
ROLES = ("owner", "trainer", "apprentice")


@pytest.fixture(scope="module")
def kept():
    """An empty database that `with_records` keeps its first one in."""
    return sqlite3.connect(":memory:")


@pytest.fixture
def with_records(request, store, kept):
    """The store holds what SAMPLE names."""
    made_once(kept, store, lambda: request.getfixturevalue("records_made"))


@pytest.fixture
def records_made(app, store, people, clock, acts, content):
    photo = acts.photo(people.apprentice)
    assert (acts.certificate(people.apprentice, paper=photo), people.apprentice.id) == (1, 3)
    task = content.rules.tasks["build-form"]
    with store.write() as session:
        made = quizzes.assign(
            session,
            people.trainer,
            clock.now,
            title="The gap",
            people=[people.apprentice.id],
            questions=["why-the-gap"],
            pass_mark=80,
            due=None,
            same_numbers=True,
            bank=content.bank.questions,
            draw=draw,
            token="assigned once",
            weekly=Weekly((), (people.apprentice.id,), None),
        )
        signed = signoffs.record(
            session,
            people.trainer,
            clock.now,
            person_id=people.apprentice.id,
            task=task,
            passed=False,
            criteria=[False] * len(task.criteria),
            measures={},
            notes="",
            token="signed off once",
            photos=[photo],
        )
        stopped = grants.suspend(
            session,
            people.trainer,
            clock.now,
            reason="A near miss.",
            rules=app.extensions[CONTENT].rules,
            **STANDING,
        )
        kept = jobs.save(
            session,
            people.apprentice,
            clock.now,
            title="A chimney",
            texts={"chimney_length": "40", "chimney_width": "24"},
            parts=(),
            token="kept once",
        )
        crew = crews.make(session, people.trainer, clock.now, name="North", people=[people.apprentice.id])
    acts.make_ready(people.apprentice)
    with store.write() as session:
        grants.grant(
            session, people.owner, clock.now, person_id=people.apprentice.id, clearance="on-the-ground",
            rules=app.extensions[CONTENT].rules,
        )  # fmt: skip
    acts.regrade("first-thing-up", "left out")
    with store.write() as session:
        SAMPLE["links.feed"]["key"] = links.make(
            session, people.apprentice, clock.now, use=links.OWN_DAYS, person_id=3, token="made once"
        )
        SAMPLE["links.card"]["key"] = links.make(
            session, people.owner, clock.now, use=links.CARD, person_id=4, token="made once"
        )
    SAMPLE["worksheets.entry"]["code"] = _sheet_code(app)
    assert made.papers == (PAPER["paper_id"],) and people.second.id == PERSON["person_id"]
    assert made.quiz_id == signed == stopped == kept == crew == 1


def address(app: Flask, endpoint: str) -> str:
    with app.test_request_context():
        return url_for(endpoint, **SAMPLE.get(endpoint, {}))


def methods(app: Flask, endpoint: str) -> list[str]:
    rules = app.url_map.iter_rules(endpoint)
    return sorted({method for rule in rules for method in rule.methods or ()} - {"HEAD", "OPTIONS"})


def test_every_route_has_the_rule_written_here(app):
    found = {rule.endpoint: rule_of(app, rule.endpoint) for rule in app.url_map.iter_rules()}
    assert len(found) > 10, "the walk found hardly a route: it is broken"
    assert found == RULES


def _sheet_code(app: Flask) -> str:
    with app.test_request_context("/"):
        app.preprocess_request()
        return code_of(1)


def test_sample_arguments_name_existing_routes_and_cover_those_with_arguments(app):
    with_arguments = {rule.endpoint for rule in app.url_map.iter_rules() if rule.arguments}
    assert with_arguments == set(SAMPLE)


@pytest.mark.parametrize("endpoint", sorted(set(RULES) - {"static"}))
def test_each_role_gets_in_exactly_where_the_table_says(endpoint, app, sign_in, people, with_records):
    rule, path = RULES[endpoint], address(app, endpoint)
    for method in methods(app, endpoint):
        for role in ROLES:
            browser = sign_in(getattr(people, role))
            page = browser.post(path) if method == "POST" else browser.get(path)
            allowed = role in BY_RECORD[endpoint] if endpoint in BY_RECORD else rule.allows([role])
            assert (page.status == 403) == (not allowed), f"{role} {method} {path}: {page.status}"
            assert page.status not in (404, 405) and page.status < 500, (
                f"{role} {method} {path}: {page.status}"
            )


@pytest.mark.parametrize("endpoint", sorted(BY_RECORD))
def test_the_records_of_someone_else_in_the_same_role_stay_closed(
    endpoint, app, sign_in, people, with_records
):
    browser = sign_in(people.second)
    for method in methods(app, endpoint):
        path = address(app, endpoint)
        assert (browser.post(path) if method == "POST" else browser.get(path)).status == 403


@pytest.mark.parametrize("endpoint", sorted(e for e, rule in RULES.items() if rule is not Access.PUBLIC))
def test_nobody_is_sent_to_sign_in(endpoint, app, client):
    path = address(app, endpoint)
    for method in methods(app, endpoint):
        answer = client.open(path, method=method)
        if method == "GET":
            assert answer.status_code == 303 and answer.location.startswith("/sign-in"), path
        else:
            assert answer.status_code == 400  # no form token either: the page about an expired form


@pytest.mark.parametrize("endpoint", sorted(e for e, rule in RULES.items() if rule is not Access.PUBLIC))
def test_a_form_token_alone_opens_nothing(endpoint, app, visitor, with_records, store):
    path, before = address(app, endpoint), events(store)
    token = visitor.get("/sign-in").soup.select_one("main input[name=csrf_token]")["value"]
    for method in methods(app, endpoint):
        data = {"csrf_token": token} if method == "POST" else None
        answer = visitor.client.open(path, method=method, data=data)
        assert answer.status_code == 303 and answer.location.startswith("/sign-in"), f"{method} {path}"
    assert events(store) == before


@pytest.mark.parametrize("endpoint", sorted(e for e, rule in RULES.items() if rule is not Access.PUBLIC))
def test_a_deactivated_person_is_nobody(endpoint, app, sign_in, people, store, clock, with_records):
    """With a session and a form token from before: in each role, on each route."""
    with store.write() as session:
        deputy = records_people.add_person(
            session, people.owner, clock.now, name="Ola Berg", sign_in="ola", roles=["owner"]
        )
        second_owner = records_people.as_actor(person_of(session, deputy.person_id))
    inside = {role: sign_in(getattr(people, role)) for role in ROLES}
    tokens = {role: browser.token() for role, browser in inside.items()}
    with store.write() as session:
        for role in ROLES:
            records_people.deactivate(session, second_owner, clock.now, getattr(people, role).id)
    path, before = address(app, endpoint), events(store)
    for method in methods(app, endpoint):
        for role, browser in inside.items():
            data = {"csrf_token": tokens[role]} if method == "POST" else None
            answer = browser.client.open(path, method=method, data=data)
            to_sign_in = answer.status_code == 303 and answer.location.startswith("/sign-in")
            # The form token ended with the session, so a post gets the page about an expired form.
            assert to_sign_in or (method == "POST" and answer.status_code == 400), f"{role} {method} {path}"
    assert events(store) == before


def events(store) -> int:
    """How many acts the history holds: none is added where nobody gets in."""
    with store.engine.connect() as connection:
        return connection.exec_driver_sql("SELECT count(*) FROM event").scalar()


def test_a_person_who_was_deactivated_is_out_at_once(sign_in, people):
    inside = sign_in(people.apprentice)
    assert inside.get("/account").path == "/account"
    sign_in(people.owner).post(f"/people/{people.apprentice.id}/deactivate")
    assert inside.get("/account").path.startswith("/sign-in")


def test_start_up_refuses_a_route_without_a_rule():
    app = Flask("bare")
    app.add_url_rule("/open", "forgotten", lambda: "")
    app.add_url_rule("/kept", "kept", access(Access.PUBLIC)(lambda: ""))
    with pytest.raises(RouteWithoutAccessRule, match=r"add @access\(\.\.\.\) to: forgotten$"):
        guard(app)


def test_a_route_added_after_the_guard_is_closed(store, people, content):
    app = create_app(store, content=content)
    app.view_functions["late"] = lambda: "inside"
    app.url_map.add(app.url_rule_class("/late", endpoint="late", methods=["GET"]))
    client = app.test_client()
    assert client.get("/late").status_code == 303
    with store.write() as writing:
        key = sessions.start(writing, people.owner, datetime.now(UTC))
    with client.session_transaction() as session:
        session["key"] = key
    assert client.get("/late").status_code == 403


@pytest.mark.parametrize(
    ("rule", "roles", "allowed"),
    [
        (Access.OWNER, {"owner"}, True),
        (Access.OWNER, {"trainer", "apprentice"}, False),
        (Access.TRAINER, {"owner"}, False),  # roles do not imply one another
        (Access.APPRENTICE, {"owner", "apprentice"}, True),
        (Access.STAFF, {"owner"}, True),
        (Access.STAFF, {"trainer"}, True),
        (Access.STAFF, {"apprentice"}, False),
        (Access.SIGNED_IN, set(), True),
    ],
)
def test_rules_and_roles(rule, roles, allowed):
    assert rule.allows(roles) is allowed
