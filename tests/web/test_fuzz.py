"""Random form posts over all routes: whatever is sent, the answer is a page of ours and never a fault of ours.

2,000 posts in the normal run; `pytest -m fuzz` makes 50,000 more. Hostile values are of the kinds that the OWASP Web
Security Testing Guide lists for input validation (from memory).
"""

from __future__ import annotations

import random
import shutil
from collections import Counter
from collections.abc import Iterator, Mapping
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from lxml import html as lxml_html
from PIL import Image
from werkzeug.exceptions import HTTPException

from tests.pages import forms
from trainer.records import crews, grants, history, jobs, links, papers, sessions, signoffs
from trainer.records import people as records_people
from trainer.records.actors import person_of
from trainer.records.people import as_actor
from trainer.records.store import TEST_COST, open_store
from trainer.records.weekly import Weekly
from trainer.web import current
from trainer.web.content import CONTENT

BATCH = 250  # posts before the shop is put back as it was: a random owner soon locks everyone out
PICTURE_FILE = BytesIO()
Image.new("RGB", (64, 48), "brown").save(PICTURE_FILE, "JPEG")
PICTURE = PICTURE_FILE.getvalue()
NASTY = (
    "", " ", "0", "1", "-1", "3", "999999999", "9" * 40, "1e400", "nan", "Infinity", "½", "1/0", "3' 6 1/2\"", "1,5",
    "true", "null", "[]", "{}", "\x00", "a\x00b", "\r\nSet-Cookie: x=1", "\u202e", "\u0660", "😀" * 30, "é" * 3000, "x" * 9000,
    "<script>alert(1)</script>", "\"'><svg onload=x>", "' OR 1=1 --", "; DROP TABLE person", "%s%n%(name)s", "{{7*7}}",
    "${7*7}", "../../etc/passwd", "//elsewhere.example", "\\\\elsewhere.example", "javascript:x", "=1+1", "2026-11-25",
    "0000-00-00", "2026-02-30", "99999-01-01", "-001-01-01", "17:00", "25:99", "24:00:00+99:99", "en", "owner", "apprentice",
    "on-the-ground", "first-aid-cpr", "crown-slab-length", "America/Denver", "passed", "y",
)  # fmt: skip
FILES = (
    b"", b"\x00" * 50, b"\xff\xd8\xff" + b"\x00" * 90, b"\x89PNG\r\n\x1a\n" + b"\xff" * 90, b"RIFF0000WEBPVP8 ", b"%PDF-1.7",
    b"<svg onload=x>", b"<script>alert(1)</script>", PICTURE, PICTURE + b"<script>alert(1)</script>", PICTURE[:200],
)  # fmt: skip
FILE_NAMES = (
    "", "a.jpg", "../../etc/passwd", "..\\..\\a.html", "a.svg", "a" * 5000 + ".jpg", "<script>alert(1)</script>", "\u202egpj.exe",
)  # fmt: skip
ROLES = ("owner", "trainer", "apprentice", None)
Forms = dict[
    str, list[tuple[str, dict[str, list[str]]]]
]  # by endpoint: an address, and its fields with what they may hold


@pytest.fixture
def busy(app, acts, people, store, clock):
    """A shop in which there is something of every kind to act on."""
    rules = app.extensions[CONTENT].rules
    acts.make_ready(people.apprentice)
    started = acts.assign(
        people.apprentice, ["ladder-foot", "why-the-gap", "crown-slab-length"], hint_cost=20
    )
    acts.assign(people.second, ["why-the-gap"])
    weekly = Weekly((), (people.apprentice.id,), None)
    failed = acts.assign(people.apprentice, ["why-the-gap"], goes=3, weekly=weekly)
    photo = acts.photo(people.apprentice)
    acts.certificate(people.apprentice, paper=photo)
    task = rules.tasks["don-harness"]
    acts.read(people.second, "bond-breaks", version=1)
    acts.accept(people.trainer, "bond-breaks", 1)
    with store.write() as session:
        papers.open_paper(session, people.apprentice, clock.now, started)
        papers.hand_in(session, people.apprentice, clock.now, failed)
        jobs.save(
            session, people.trainer, clock.now, title="Quarry Lane", parts=[], token="job",
            texts={"chimney_length": "40 in", "chimney_width": "24 in"},
        )  # fmt: skip
        gone = records_people.add_person(
            session, people.owner, clock.now, name="Ed Gone", sign_in="ed", roles=["apprentice"]
        )
        records_people.deactivate(session, people.owner, clock.now, gone.person_id)
        joined = records_people.add_person(
            session, people.owner, clock.now, name="Ida Holm", sign_in="ida", roles=["apprentice"]
        )
        ready = as_actor(person_of(session, joined.person_id))
        signoffs.record(
            session, people.trainer, clock.now, person_id=people.apprentice.id, task=task, passed=False,
            criteria=[False] * len(task.criteria), measures={}, notes="", token="harness", photos=[photo],
        )  # fmt: skip
        links.make(session, people.owner, clock.now, use=links.CARD, person_id=3, token="card")
        crews.make(session, people.owner, clock.now, name="North", people=[people.apprentice.id])
        for person in (people.owner, people.trainer, people.apprentice):
            links.make(
                session, person, clock.now, use=links.OWN_DAYS, person_id=person.id, token="calendar"
            )  # fmt: skip
        grants.suspend(
            session, people.trainer, clock.now, person_id=people.second.id, clearance="on-the-ground",
            reason="A near miss.", rules=rules,
        )  # fmt: skip
        grants.grant(
            session, people.owner, clock.now, person_id=people.apprentice.id, clearance="on-the-ground", rules=rules
        )  # fmt: skip
    acts.regrade("first-thing-up", "left out")
    acts.make_ready(ready)  # somebody to whom a clearance can still be granted


@pytest.fixture
def fuzz(app, store, people, clock, busy, sign_in, tmp_path):
    return Fuzz(app, store, people, clock, sign_in, tmp_path)


class Fuzz:
    """Sends random posts; `seen` counts the answers by status, `reached` the posts by endpoint."""

    def __init__(self, app: Any, store: Any, people: Any, clock: Any, sign_in: Any, folder: Path) -> None:
        self.app, self.people, self.clock, self.folder = app, people, clock, folder
        self.seen: Counter[int] = Counter()
        self.reached: Counter[str] = Counter()
        self.tokens: dict[str, str] = {}
        self.forms = self._every_form(sign_in)
        store.close()
        self.kept = Path(str(store.engine.url.database))
        self.shop = self._fresh(0)

    def run(self, seed: int, posts: int) -> None:
        chance = random.Random(seed)
        for number in range(posts):
            if number % BATCH == 0:
                self.shop.close()
                self.shop = self._fresh(number)
                clients = {role: self._client(role) for role in ROLES}
            role = chance.choice(ROLES)
            if role is not None and not self._inside(clients[role]):
                clients[role] = self._client(role)
            self._post(chance, clients[role], f"seed {seed}, post {number}, {role}")
        with self.shop.read() as session:
            assert history.verify(session).ok

    def _post(self, chance: random.Random, client: Any, where: str) -> None:
        endpoint = chance.choice(sorted(self.forms))
        path, usual = chance.choice(self.forms[endpoint])
        data = self._data(chance, usual)
        if chance.random() < 0.1:
            path = self._elsewhere(chance, path)
        if chance.random() > 0.03:
            data["csrf_token"] = [self._token(client)]
        data |= self._files(chance, usual)
        answer = client.post(path, data=data, headers={"Origin": "http://localhost"})
        self.seen[answer.status_code] += 1
        self.reached[endpoint] += 1
        assert answer.status_code < 500, f"{where}: {path} {data!r} gives {answer.status_code}"
        target = urlsplit(answer.headers.get("Location", ""))
        assert target.netloc in ("", "localhost"), (
            f"{where}: {path} {data!r} leads to {answer.headers['Location']}"
        )
        html = answer.text if answer.mimetype == "text/html" else ""
        assert "<script>alert" not in html and "<svg onload" not in html, f"{where}: {path} {data!r}"

    @staticmethod
    def _data(chance: random.Random, usual: Mapping[str, list[str]]) -> dict[str, list[str]]:
        """The form as a person might send it, with some fields left out, doubled, or filled with something nasty."""
        data = {}
        spoil = chance.random() * 0.6
        for name, values in usual.items():
            if chance.random() < 0.05:
                continue
            pool = NASTY if chance.random() < spoil or not values else values
            data[name] = [chance.choice(pool) for _ in range(1 if chance.random() < 0.9 else 3)]
        if chance.random() < 0.1:
            data[chance.choice(("after", "id", "person_id", "form_token", "language", "x" * 300))] = [
                chance.choice(NASTY)
            ]
        return data

    @staticmethod
    def _files(chance: random.Random, usual: Mapping[str, list[str]]) -> dict[str, list[tuple[BytesIO, str]]]:
        """For each field that takes files: none, or some of what is no file of ours, under a name that is none."""
        return {
            name: [
                (BytesIO(chance.choice(FILES)), chance.choice(FILE_NAMES))
                for _ in range(chance.randrange(1, 4))
            ]
            for name in usual
            if name in ("photos", "papers") and chance.random() < 0.5
        }

    @staticmethod
    def _elsewhere(chance: random.Random, path: str) -> str:
        """The same kind of address with one part replaced."""
        parts = path.split("/")
        place = chance.randrange(1, len(parts))
        parts[place] = chance.choice(
            ("0", "2", "99", "999999999", "9" * 30, "-1", "nothing", "%00", "a%2Fb", "é", "")
        )
        return "/".join(parts)

    def _every_form(self, sign_in: Any) -> Forms:
        """Every form of every page that each role finds by following links, and of the pages for nobody."""
        adapter = self.app.url_map.bind("localhost")
        found: Forms = {}
        pages: set[tuple[str | None, str, bool]] = set()
        for role in ROLES:
            client = sign_in(getattr(self.people, role)).client if role else self._visitor(self.people.owner)
            waiting = [
                *("/", "/sign-in", "/first-sign-in", "/papers/2/1", "/papers/2/3", "/sign-in/second"),
                *("/board/4/on-the-ground", "/sign-offs/3/build-form", "/sign-offs/4/don-harness"),
                *("/take-off/sheet?chimney_length=40+in&chimney_width=24+in" + job for job in ("", "&job=1")),
                "/regrade/first-thing-up?version=1&how=full+credit",  # visited first: without its choices it has no form
            ]
            while waiting:
                address = waiting.pop()
                path = urlsplit(address).path
                try:
                    endpoint, given = adapter.match(path, "GET")
                except HTTPException:
                    continue
                kind = (
                    role,
                    endpoint
                    + ("" if endpoint.split(".")[0] in ("lessons", "practice", "questions") else str(given)),
                    "job=" in address,
                )
                if kind in pages or endpoint == "static" or path.endswith(".pdf"):
                    continue
                pages.add(kind)
                answer = client.get(address, follow_redirects=True)
                if answer.mimetype != "text/html":
                    continue
                path, page = answer.request.path, lxml_html.fromstring(answer.text)
                waiting += page.xpath("//a[starts-with(@href, '/')]/@href")
                for form in page.xpath("//form[@method='post']"):
                    buttons = form.xpath(".//button/@formaction")
                    for whole in (form.get("action") or path, *buttons):
                        target = str(whole).partition("#")[0]
                        name = adapter.match(urlsplit(target).path, "POST")[0]
                        found.setdefault(name, []).append((target, dict(_fields(form))))
        return found

    def _fresh(self, number: int) -> Any:
        path = self.folder / f"fuzz{number}.sqlite3"
        for suffix in ("", "-wal"):
            if (source := self.kept.with_name(self.kept.name + suffix)).exists():
                shutil.copyfile(source, path.with_name(path.name + suffix))
        store = open_store(path, password_cost=TEST_COST)
        self.app.extensions[current.STORE] = store
        return store

    def _client(self, role: str | None) -> Any:
        with self.shop.write() as session:
            person = person_of(session, getattr(self.people, role or "owner").id)
            if not person.active:  # an earlier post deactivated them
                owner = as_actor(person_of(session, self.people.owner.id))
                records_people.reactivate(session, owner, self.clock.now, person.id)
            actor = as_actor(person)
            key = sessions.start(session, actor, self.clock.now)
        if role is None:
            return self._visitor(actor)
        client = self.app.test_client()
        with client.session_transaction() as cookie:
            cookie.permanent = True
            cookie["key"] = key
        return client

    def _visitor(self, actor: Any) -> Any:
        """Nobody yet, on the way to becoming `actor`: the password was right, the second step is awaited."""
        client = self.app.test_client()
        with client.session_transaction() as cookie:
            cookie["half"] = [actor.id, actor.stamp, int(self.clock.now.timestamp())]
        return client

    def _inside(self, client: Any) -> bool:
        with client.session_transaction() as cookie, self.shop.read() as session:
            return sessions.current(session, self.clock.now, cookie.get("key", "")) is not None

    def _token(self, client: Any) -> str:
        """The form token of the client's session, fetched anew when the session has changed."""
        with client.session_transaction() as cookie:
            base = cookie.get("csrf_token")
        if base is None or base not in self.tokens:
            (form,) = forms(client.get("/first-sign-in").text)
            with client.session_transaction() as cookie:
                base = cookie["csrf_token"]
            self.tokens[base] = form.fields["csrf_token"]
        return self.tokens[base]


def _fields(form: Any) -> Iterator[tuple[str, list[str]]]:
    """Each field with the values that the page offers for it."""
    several: dict[str, list[str]] = {}
    for item in form.xpath(".//*[self::input or self::textarea or self::select or self::button][@name]"):
        values = several.setdefault(item.get("name"), [])
        if item.tag == "select":
            values += [option.get("value", "") for option in item.iter("option")]
        elif item.get("value"):
            values.append(item.get("value"))
        else:
            values += (
                ["on"] if item.get("type") == "checkbox" else ["A word.", "2 1/2 in", "brick and mortar"]
            )
    several.pop("csrf_token", None)
    yield from several.items()


@pytest.mark.long
def test_random_posts_never_break_a_page(fuzz: Fuzz) -> None:
    posts = {rule.endpoint for rule in fuzz.app.url_map.iter_rules() if "POST" in (rule.methods or ())}
    assert set(fuzz.forms) == posts, "a route that takes a form was not found on any page"
    fuzz.run(seed=1, posts=2_000)
    assert set(fuzz.reached) == posts
    # The posts get somewhere: some are taken, some refused, in each way there is.
    assert {200, 303, 400, 403, 404} <= set(fuzz.seen), fuzz.seen


@pytest.mark.fuzz
def test_fifty_thousand_random_posts_never_break_a_page(fuzz: Fuzz) -> None:
    fuzz.run(seed=2, posts=50_000)
    assert sum(fuzz.seen.values()) == 50_000
