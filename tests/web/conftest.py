"""A shop in a fresh store for each test, its people, and a browser that works with forms as a person does.

The store is copied from one that the real migrations made; form tokens stay switched on; only the clock is replaced.
"""

from __future__ import annotations

import gc
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from bs4 import BeautifulSoup
from flask import Flask
from flask.testing import FlaskClient
from jinja2 import FileSystemBytecodeCache
from lxml.html import FormElement
from PIL import Image
from sqlalchemy import event, select

from tests.pages import errors, forms, typed, words
from tests.shipped import shipped_bank, shipped_content, shipped_lessons
from trainer.calc import DEFAULT_SHOP
from trainer.clearance import LessonRef
from trainer.cli.serve import settle
from trainer.lessons import shop_rules
from trainer.questions import Bank, Draw, draw
from trainer.records import (
    acceptances,
    certificates,
    files,
    lessons,
    papers,
    queries,
    quizzes,
    regrade,
    sessions,
    signin,
)
from trainer.records import people as records_people
from trainer.records.cleaning import clean_photo
from trainer.records.models import CheckAnswer
from trainer.records.people import Actor
from trainer.records.regrade_plan import mend_with, plan
from trainer.records.store import TEST_COST, Store, open_store, upgrade
from trainer.web import create_app
from trainer.web.access import Access, access
from trainer.web.content import Content
from trainer.web.current import STORE

NOW = datetime(2026, 11, 25, 20, 40, tzinfo=UTC)  # 1:40 PM in the shop's zone
PASSWORD = "brick and mortar"
Fields = Mapping[str, str | Sequence[str]]


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "fuzz: 50,000 random form posts; runs only with -m fuzz")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if "fuzz" not in str(config.option.markexpr):
        for item in items:
            if item.get_closest_marker("fuzz"):
                item.add_marker(pytest.mark.skip(reason="takes many minutes: run it with -m fuzz"))


LIBRARY = shipped_lessons()


@dataclass
class Clock:
    """The server's clock; a test may set it."""

    now: datetime = NOW

    def __call__(self) -> datetime:
        return self.now


@dataclass(frozen=True)
class People:
    """The invented people of the shop, each in one role."""

    owner: Actor
    trainer: Actor
    apprentice: Actor
    second: Actor


@pytest.fixture(scope="session")
def made_shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, People]:
    """A store with the shop and its people, made once and copied for each test."""
    path = tmp_path_factory.mktemp("shop") / "shop.sqlite3"
    upgrade(path)
    store = open_store(path, password_cost=TEST_COST)
    with store.write() as session:
        first = records_people.set_up_shop(
            session,
            NOW,
            name="Ridgeline Chimney Repair",
            zone="America/Denver",
            language="en",
            owner_name="Nora Whitfield",
            owner_sign_in="nora",
        )
    owner = _enter(store, "nora", first.code)
    made = {}
    for name, sign_in, role in (
        ("Tom Okafor", "tom", "trainer"),
        ("Luis Barrera", "luis", "apprentice"),
        ("Jess Lindqvist", "jess", "apprentice"),
    ):
        with store.write() as session:
            new = records_people.add_person(session, owner, NOW, name=name, sign_in=sign_in, roles=[role])
        made[sign_in] = _enter(store, sign_in, new.code)
    store.close()
    return path, People(owner=owner, trainer=made["tom"], apprentice=made["luis"], second=made["jess"])


@pytest.fixture
def people(made_shop: tuple[Path, People]) -> People:
    return made_shop[1]


@pytest.fixture
def store(made_shop: tuple[Path, People], tmp_path: Path) -> Iterator[Store]:
    path = tmp_path / "shop.sqlite3"
    shutil.copy(made_shop[0], path)
    opened = open_store(path, password_cost=TEST_COST)
    yield opened
    opened.close()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def content() -> Content:
    return shipped_content()


@pytest.fixture(scope="session")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """The templates compiled once a run: compiling them costs far more than showing a page."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("templates")))


@pytest.fixture(scope="session")
def built(made_shop: tuple[Path, People], content: Content, compiled: FileSystemBytecodeCache) -> Flask:
    """The application, made once a run: its addresses take longer to compile than a page to show."""
    template = open_store(made_shop[0], password_cost=TEST_COST)
    made = create_app(template, settings={"CLOCK": Clock()}, content=content)
    template.close()
    made.jinja_env.bytecode_cache = compiled
    made.testing = False  # faults get the page a person would see
    return made


@pytest.fixture
def app(built: Flask, store: Store, clock: Clock) -> Iterator[Flask]:
    """The application on the test's own store; what a test changes of it is put back."""
    held = [(part, dict(part)) for part in (built.config, built.extensions, built.view_functions)]
    built.config["CLOCK"], built.extensions[STORE] = clock, store
    yield built
    for part, before in held:
        part.clear()
        part.update(before)


@pytest.fixture
def as_served(app: Flask) -> Iterator[None]:
    """What was loaded stays out of the garbage collector's sight, as `trainer serve` has it."""
    app.test_client().get("/sign-in")
    before = gc.get_threshold()
    settle()
    yield
    gc.unfreeze()
    gc.set_threshold(*before)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def visitor(app: Flask) -> Browser:
    return Browser(app.test_client())


@pytest.fixture
def sign_in(app: Flask, store: Store, clock: Clock) -> Callable[..., Browser]:
    """sign_in(person) -> a browser in which that person is signed in."""

    def enter(person: Actor, language: str | None = None) -> Browser:
        return signed_in(app, clock, person, language)

    return enter


@pytest.fixture
def trainer(sign_in: Callable[..., Browser], people: People) -> Browser:
    """A browser in which the trainer is signed in."""
    return sign_in(people.trainer)


@pytest.fixture
def stored(store: Store, people: People) -> Callable[[], Sequence[queries.SignOffRow]]:
    """stored() -> the sign-offs in the store, newest first."""

    def rows() -> Sequence[queries.SignOffRow]:
        with store.read() as session:
            return queries.sign_offs(session, people.owner).items

    return rows


@pytest.fixture(scope="module")
def reader(
    made_shop: tuple[Path, People], content: Content, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[[str], Browser]]:
    """reader(language) -> a new hire's browser on a shop kept for the whole module: for tests that only read."""
    path = tmp_path_factory.mktemp("reader") / "shop.sqlite3"
    shutil.copy(made_shop[0], path)
    opened, clock = open_store(path, password_cost=TEST_COST), Clock()
    app = create_app(opened, settings={"CLOCK": clock}, content=content)
    people = made_shop[1]  # a language chosen belongs to the person
    browsers = {
        "en": signed_in(app, clock, people.apprentice, "en"),
        "es": signed_in(app, clock, people.second, "es"),
    }
    yield browsers.__getitem__
    opened.close()


def signed_in(app: Flask, clock: Clock, person: Actor, language: str | None) -> Browser:
    """A browser in which that person is signed in; `language` is chosen when it is not their own."""
    client = app.test_client()
    with app.extensions[STORE].write() as writing:
        key = sessions.start(writing, person, clock.now)
    with client.session_transaction() as session:
        session.permanent = True
        session["key"] = key
    browser = Browser(client)
    if language is not None and language != person.language:
        browser.post("/language", {"language": language})
    return browser


@pytest.fixture
def count_statements(store: Store) -> Callable[[], AbstractContextManager[list[str]]]:
    """with count_statements() as seen: ...   the SQL statements sent meanwhile, without BEGIN and COMMIT."""

    @contextmanager
    def counting() -> Iterator[list[str]]:
        seen: list[str] = []

        def note(_conn: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
            if not statement.upper().startswith(
                ("BEGIN", "COMMIT", "ROLLBACK", "SAVEPOINT", "RELEASE", "PRAGMA")
            ):
                seen.append(statement)

        event.listen(store.engine, "before_cursor_execute", note)
        try:
            yield seen
        finally:
            event.remove(store.engine, "before_cursor_execute", note)

    return counting


@dataclass
class Page:
    """What came back."""

    status: int
    html: str
    path: str
    location: str
    headers: Mapping[str, str]

    @cached_property
    def soup(self) -> BeautifulSoup:
        return BeautifulSoup(self.html, "lxml")

    @cached_property
    def text(self) -> str:
        """The visible text, spaces made single."""
        return " ".join(words(self.html).split())

    @property
    def errors(self) -> list[str]:
        """The sentences of the error summary."""
        return errors(self.html)


class Browser:
    """One browser: keeps its cookie, fills in forms, follows redirects when asked as a person would."""

    def __init__(self, client: FlaskClient) -> None:
        self.client = client

    def get(self, path: str, **query: str) -> Page:
        return self._page(self.client.get(path, query_string=query or None, follow_redirects=True))

    def submit(self, path: str, fields: Fields, *, form: str = "") -> Page:
        """Open the page, fill in its form (the one whose action holds `form`), send it and follow where it leads."""
        page = self.get(path)
        found = self._form(page, form)
        data: dict[str, Any] = typed(found) | dict(fields)
        target = str(found.get("action") or page.path)
        return self._page(self.client.post(target, data=data, follow_redirects=True))

    def post(self, path: str, data: Fields | None = None) -> Page:
        """Post with a valid form token; redirects are not followed."""
        return self._page(self.client.post(path, data={**(data or {}), "csrf_token": self.token()}))

    def token(self) -> str:
        page = self._page(self.client.get("/account/password", follow_redirects=True))
        found = [form for form in forms(page.html) if "csrf_token" in form.fields]
        assert found, "no form with a token on the page"
        return str(found[0].fields["csrf_token"])

    def _form(self, page: Page, action: str) -> FormElement:
        found = [form for form in forms(page.html) if action in str(form.get("action") or page.path)]
        assert found, (
            f"no form for {action or 'itself'} on {page.path} (status {page.status}): {page.text[:200]}"
        )
        return found[0]

    @staticmethod
    def _page(response: Any) -> Page:
        parts = urlsplit(response.request.full_path.rstrip("?"))
        path = parts.path + (f"?{parts.query}" if parts.query else "")
        text = response.get_data().decode("utf-8", "replace")  # a PDF is opened by its own tests
        return Page(response.status_code, text, path, response.headers.get("Location", ""), response.headers)


def picture(colour: str = "brown", kind: str = "JPEG", **more: Any) -> bytes:
    """A drawn picture as a phone might send it."""
    out = BytesIO()
    Image.new("RGB", (320, 240), colour).save(out, kind, **more)
    return out.getvalue()


def _enter(store: Store, sign_in: str, code: str) -> Actor:
    result = signin.redeem(store, NOW, sign_in=sign_in, code=code, password=PASSWORD, source="127.0.0.1")
    assert isinstance(result, Actor), result
    return result


@pytest.fixture
def broken_route(app: Flask) -> str:
    """The address of a page that fails, as a fault of ours would."""

    def fail() -> str:
        raise ZeroDivisionError("a fault made for the test")

    app.view_functions["glossary.page"] = access(Access.PUBLIC)(fail)
    return "/glossary"


@dataclass
class Acts:
    """What people do in the shop, each in one call through the use cases, at the clock's time."""

    store: Store
    people: People
    clock: Clock
    bank: Bank
    forms: int = 0

    def token(self) -> str:
        self.forms += 1
        return f"act {self.forms}"

    def assign(
        self,
        person: Actor,
        questions: Sequence[str],
        pass_mark: int = 80,
        hint_cost: int | None = None,
        **more: Any,
    ) -> int:
        """A paper with these questions, from the trainer. more: as `quizzes.assign` takes it"""
        with self.store.write() as session:
            made = quizzes.assign(
                session,
                self.people.trainer,
                self.clock.now,
                title="Crowns and roofs",
                people=[person.id],
                questions=questions,
                pass_mark=pass_mark,
                due=None,
                same_numbers=True,
                bank=self.bank.questions,
                draw=draw,
                token=self.token(),
                seed=5,
                hint_cost=hint_cost,
                **more,
            )
        return made.papers[0]

    def draws(self, person: Actor, paper: int) -> list[Draw]:
        with self.store.read() as session:
            return [Draw.from_json(each.draw) for each in queries.paper(session, person, paper).questions]

    def sit(self, person: Actor, paper: int) -> None:
        """Answer every question right, which hands the paper in."""
        for position, each in enumerate(self.draws(person, paper), start=1):
            with self.store.write() as session:
                papers.answer(
                    session,
                    person,
                    self.clock.now,
                    paper_id=paper,
                    position=position,
                    typed=self.right(each),
                    token=self.token(),
                )

    def read(self, person: Actor, lesson: str, version: int | None = None) -> None:
        """A lesson read to its end with its check questions right, at its present version when none is given."""
        ref = self.lesson(lesson, version)
        self.read_sections(person, ref, len(ref.sections))
        with self.store.read() as session:
            right = set(
                session.scalars(
                    select(CheckAnswer.question).where(
                        CheckAnswer.person_id == person.id,
                        CheckAnswer.lesson == lesson,
                        CheckAnswer.version == ref.version,
                        CheckAnswer.right,
                    )
                )
            )
        for question in ref.check:
            if question not in right:
                self.check(person, ref, question)

    def lesson(self, lesson: str, version: int | None = None) -> LessonRef:
        """What it takes to have read a lesson, at its present version or as if it stood at another."""
        of = LIBRARY.lesson(lesson)
        at = of.version if version is None else version
        return LessonRef(lesson, at, LIBRARY.title(lesson), of.sections, of.check)

    def read_sections(self, person: Actor, lesson: LessonRef, number: int) -> None:
        """Read the first so many sections."""
        with self.store.write() as session:
            for section in lesson.sections[:number]:
                lessons.read_section(
                    session, person, self.clock.now, lesson=lesson, version=lesson.version, section=section
                )

    def check_draw(self, person: Actor, lesson: LessonRef, question: str) -> tuple[int, Draw]:
        """(the try that comes next, what it asks)."""
        with self.store.read() as session:
            attempt = lessons.next_attempt(session, person, lesson, question)
        seed = lessons.attempt_seed(person.id, lesson, question, attempt)
        return attempt, draw(self.bank.questions[question], seed, DEFAULT_SHOP)

    def check(self, person: Actor, lesson: LessonRef, question: str) -> None:
        """Answer a check question right."""
        attempt, asked = self.check_draw(person, lesson, question)
        with self.store.write() as session:
            lessons.answer_check(
                session,
                person,
                self.clock.now,
                lesson=lesson,
                version=lesson.version,
                question=self.bank.questions[question],
                attempt=attempt,
                mark=lessons.mark_of(asked),
                typed=self.right(asked),
                token=self.token(),
                shop=DEFAULT_SHOP,
                draw=draw,
            )

    def accept(self, by: Actor, lesson: str, version: int, reason: str = "Only a figure was redrawn.") -> int:
        """Accept an older version of a lesson."""
        ref = self.lesson(lesson)
        with self.store.write() as session:
            return acceptances.accept(
                session,
                by,
                self.clock.now,
                lesson=ref,
                present=ref.version,
                version=version,
                reason=reason,
                token=self.token(),
            )

    def certificate(self, person: Actor, **other: Any) -> int:
        """A certificate in first aid, put on record by the trainer."""
        paper: dict[str, Any] = {
            "kind": "first-aid-cpr",
            "issuer": "Valley Adult School",
            "issued": date(2026, 11, 2),
            "expires": date(2028, 11, 2),
            "rules": shop_rules(self.bank, LIBRARY),
            "token": self.token(),
        }
        with self.store.write() as session:
            return certificates.enter(
                session, self.people.trainer, self.clock.now, person_id=person.id, **{**paper, **other}
            )

    def photo(self, person: Actor, colour: str = "brown") -> str:
        """A photograph about a person that the trainer sent, not yet part of a record; the reference to it."""
        with self.store.write() as session:
            return files.keep(
                session,
                self.people.trainer,
                self.clock.now,
                person_id=person.id,
                cleaned=clean_photo(picture(colour)),
                token=self.token(),
            )

    def regrade(self, question: str, how: str, reason: str = "The key was wrong.") -> int:
        """Grade version 1 of a question anew on every paper, by the trainer."""
        mended = self.bank.questions[question]
        with self.store.write() as session:
            found = plan(
                session, self.people.trainer, self.clock.now, question=question, version=1, how=how,
                mend=mend_with(mended),
            )  # fmt: skip
            return regrade.regrade(
                session, self.people.trainer, self.clock.now, question=question, version=1, how=how, reason=reason,
                by=mended, token=self.token(), made_from=found.mark,
            )  # fmt: skip

    def make_ready(self, person: Actor) -> None:
        """Everything that the clearance "on-the-ground" asks for."""
        self.read(person, "roof-protection")
        self.read(person, "concrete-versus-mortar")
        self.sit(person, self.assign(person, ["first-thing-up", "rocking-stack"]))

    @staticmethod
    def right(each: Draw) -> str:
        """The right answer as a person would type it."""
        if each.kind == "choose":
            return next(option.letter for option in each.body.options if option.right)
        return each.answer("en")

    @staticmethod
    def fields(each: Draw, typed: str) -> dict[str, Any]:
        """The form's fields for an answer given as one text."""
        if each.kind == "linked":
            return {f"part_{place}": line for place, line in enumerate(typed.split("\n"))}
        if each.kind in ("several", "faults"):
            return {"answer": typed.split(", ")}
        if each.kind == "order":
            return {f"place_{letter}": str(place) for place, letter in enumerate(typed.split(", "), start=1)}
        return {"answer": typed}


@pytest.fixture(scope="session")
def bank() -> Bank:
    return shipped_bank()


@pytest.fixture
def acts(store: Store, people: People, clock: Clock, bank: Bank) -> Acts:
    return Acts(store, people, clock, bank)


@pytest.fixture
def crowd(store: Store, people: People, clock: Clock) -> Callable[[int], None]:
    """crowd(n): n more new hires."""

    def join(number: int) -> None:
        with store.write() as session:
            for place in range(number):
                records_people.add_person(
                    session,
                    people.owner,
                    clock.now,
                    name=f"Hand {place:02}",
                    sign_in=f"hand{place}",
                    roles=["apprentice"],
                )

    return join
