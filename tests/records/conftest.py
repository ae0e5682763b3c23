"""Stand-ins for what the content files and the question engine give, small enough to see through."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from tests.keeping import made_once
from tests.records.lived import live
from trainer.calc import DEFAULT_SHOP
from trainer.clearance import (
    CertificateKind,
    Clearance,
    ClearanceRequirement,
    LessonRef,
    LessonRequirement,
    QuizRequirement,
    Rules,
    SignOffRequirement,
    Task,
)
from trainer.errors import Unreadable
from trainer.languages import Text
from trainer.records import acceptances, certificates, grants, lessons, papers, quizzes, signoffs
from trainer.records.models import LessonAcceptance
from trainer.records.people import Actor
from trainer.records.store import Store


def both(text: str) -> Text:
    return Text(en=text, es=text)


@dataclass(frozen=True)
class Ask:
    """A question: what is `seed % 10` plus one?"""

    id: str
    skills: tuple[str, ...]
    must_pass: bool = False
    version: int = 1


@dataclass(frozen=True)
class AskDraw:
    question_id: str
    version: int
    hash: str
    skills: tuple[str, ...]
    must_pass: bool
    expected: int

    def to_json(self) -> dict[str, Any]:
        return {"question": self.question_id, "expected": self.expected}


@dataclass(frozen=True)
class Mark:
    right: bool
    credit: float
    slip: str | None
    shown: str


def draw(question: Ask, seed: int, shop: Mapping[str, Any]) -> AskDraw:
    assert shop["overhang"] > 0
    return AskDraw(
        question.id, question.version, "h" + question.id, question.skills, question.must_pass, seed % 10 + 1
    )


def grade(frozen: Any, typed: str) -> Mark:
    if not typed.strip().isdigit():
        raise Unreadable(both("%(given)s is no whole number."), given=typed)
    value = int(typed)
    right = value == frozen["expected"]
    return Mark(
        right, 1.0 if right else 0.0, "one-short" if value == frozen["expected"] - 1 else None, f"{value} in"
    )


@pytest.fixture
def bank() -> dict[str, Ask]:
    questions = [Ask(f"slope-{n}", ("roof-slope",), must_pass=n == 0) for n in range(5)]
    questions += [Ask(f"ladder-{n}", ("ladder-setup",)) for n in range(3)]
    return {question.id: question for question in questions}


@pytest.fixture
def rules() -> Rules:
    task = Task(
        "set-ladder", 2, 2, both("Set a ladder"), (both("Ties it off."),), (both("Climbs untied."),), None, ()
    )
    ladder = Clearance(
        "ladder",
        1,
        1,
        both("Ladder"),
        both("Ladders."),
        (
            LessonRequirement("ladders"),
            QuizRequirement(("ladder-setup",), 80, 365),
            SignOffRequirement("set-ladder", 1, 365),
        ),
    )
    roof = Clearance("roof", 1, 1, both("Low roof"), both("Roofs."), (ClearanceRequirement("ladder"),))
    return Rules(
        {"ladder": ladder, "roof": roof},
        {"set-ladder": task},
        {
            "ladders": LessonRef(
                "ladders", 1, both("Ladders"), ("why", "how", "end"), ("ladder-0", "ladder-1")
            ),
            "crowns": LessonRef("crowns", 3, both("Crowns"), ("aim", "end"), ("slope-0",)),
        },
        {"ladder-setup": both("ladder set-up"), "roof-slope": both("roof slope")},
        frozenset({"roof-slope"}),
        {
            "first-aid": CertificateKind("first-aid", both("First aid"), both("First aid."), 24),
            "rigging": CertificateKind("rigging", both("Rigging"), both("Rigging."), endless=True),
        },
    )


@dataclass
class Shop:
    """Acts of the shop in one call each, so that a test reads as what people did."""

    store: Store
    bank: dict[str, Ask]
    rules: Rules
    now: datetime
    forms: int = 0

    def token(self) -> str:
        self.forms += 1
        return f"form-{self.forms}"

    def assign(
        self, by: Actor, *people: Actor, questions: tuple[str, ...] = ("ladder-0", "ladder-1"), **other: Any
    ) -> quizzes.Assigned:
        terms: dict[str, Any] = {
            "title": "Ladders",
            "questions": questions,
            "pass_mark": 80,
            "due": self.now + timedelta(days=7),
            "same_numbers": False,
            "token": self.token(),
        }
        with self.store.write() as session:
            return quizzes.assign(
                session,
                by,
                self.now,
                people=[person.id for person in people],
                bank=self.bank,
                draw=draw,
                **{**terms, **other},
            )

    def expected(self, by: Actor, paper_id: int) -> list[int]:
        from trainer.records import queries

        with self.store.read() as session:
            return [one.draw["expected"] for one in queries.paper(session, by, paper_id).questions]

    def answer(
        self, who: Actor, paper_id: int, position: int, typed: str, token: str | None = None
    ) -> papers.Given:
        with self.store.write() as session:
            return papers.answer(
                session,
                who,
                self.now,
                paper_id=paper_id,
                position=position,
                typed=typed,
                token=token or self.token(),
                grade=grade,
            )

    def answer_all(self, who: Actor, paper_id: int, right: bool = True) -> None:
        for position, expected in enumerate(self.expected(who, paper_id), start=1):
            self.answer(who, paper_id, position, str(expected if right else expected + 5))

    def sign_off(self, by: Actor, who: Actor, passed: bool = True) -> int:
        with self.store.write() as session:
            return signoffs.record(
                session,
                by,
                self.now,
                person_id=who.id,
                task=self.rules.tasks["set-ladder"],
                passed=passed,
                criteria=[passed],
                measures={},
                notes="",
                token=self.token(),
            )

    def read_sections(self, who: Actor, lesson: LessonRef, *sections: str) -> str | None:
        """Read these sections to their ends, or all; returns the one to go on with."""
        next_one = None
        with self.store.write() as session:
            for section in sections or lesson.sections:
                next_one = lessons.read_section(
                    session, who, self.now, lesson=lesson, version=lesson.version, section=section
                )
        return next_one

    def check(self, who: Actor, lesson: LessonRef, question: str, right: bool = True) -> lessons.Checked:
        """One try at a check question of the lesson."""
        with self.store.read() as session:
            attempt = lessons.next_attempt(session, who, lesson, question)
        asked = draw(
            self.bank[question], lessons.attempt_seed(who.id, lesson, question, attempt), DEFAULT_SHOP
        )
        typed = str(asked.expected if right else asked.expected + 5)
        return self.send_check(who, lesson, question, attempt, typed)

    def send_check(
        self, who: Actor, lesson: LessonRef, question: str, attempt: int, typed: str, **other: Any
    ) -> lessons.Checked:
        asked = draw(
            self.bank[question], lessons.attempt_seed(who.id, lesson, question, attempt), DEFAULT_SHOP
        )
        sent: dict[str, Any] = {
            "version": lesson.version,
            "mark": lessons.mark_of(asked),
            "token": self.token(),
            "shop": DEFAULT_SHOP,
        }
        with self.store.write() as session:
            return lessons.answer_check(
                session,
                who,
                self.now,
                lesson=lesson,
                question=self.bank[question],
                attempt=attempt,
                typed=typed,
                draw=draw,
                grade=grade,
                **{**sent, **other},
            )

    def read(self, who: Actor, lesson: str = "ladders", version: int | None = None) -> None:
        """The whole lesson read, as it is or was at a version, its check questions answered right."""
        ref = self.rules.lessons[lesson]
        ref = ref if version is None else replace(ref, version=version)
        with self.store.read() as session:
            if lessons.is_read(session, who, ref):
                return
        self.read_sections(who, ref)
        for question in ref.check:
            self.check(who, ref, question)

    def accept(self, by: Actor, lesson: str, version: int, reason: str = "only typos changed") -> int:
        """Accept an older version of a lesson; one's own earlier acceptance is taken back first."""
        ref = self.rules.lessons[lesson]
        with self.store.write() as session:
            standing = session.scalars(
                select(LessonAcceptance.id).where(
                    LessonAcceptance.by_id == by.id,
                    LessonAcceptance.lesson == lesson,
                    LessonAcceptance.ended_at.is_(None),
                )
            ).all()
            for number in standing:
                acceptances.withdraw(
                    session, by, self.now, lesson=lesson, acceptance_id=number, reason="once more"
                )
            return acceptances.accept(
                session,
                by,
                self.now,
                lesson=ref,
                present=ref.version,
                version=version,
                reason=reason,
                token=self.token(),
            )

    def make_ready(self, by: Actor, who: Actor) -> None:
        """Everything the clearance "ladder" requires."""
        self.read(who)
        self.answer_all(who, self.assign(by, who).papers[0])
        self.sign_off(by, who)

    def certificate(self, by: Actor, who: Actor, **other: Any) -> int:
        """A certificate in first aid, of the day before, good for a year."""
        paper = {
            "kind": "first-aid",
            "issuer": "Valley Adult School",
            "issued": self.now.date() - timedelta(days=1),
            "expires": self.now.date() + timedelta(days=365),
            "token": self.token(),
        }
        with self.store.write() as session:
            return certificates.enter(
                session, by, self.now, person_id=who.id, rules=self.rules, **{**paper, **other}
            )

    def grant(self, by: Actor, who: Actor, clearance: str = "ladder") -> int:
        with self.store.write() as session:
            return grants.grant(
                session, by, self.now, person_id=who.id, clearance=clearance, rules=self.rules
            )


@pytest.fixture
def shop(store: Store, bank: dict[str, Ask], rules: Rules, now: datetime) -> Shop:
    return Shop(store, bank, rules, now)


@pytest.fixture
def plain_draw() -> Callable[..., AskDraw]:
    return draw


@pytest.fixture
def plain_grade() -> Callable[[Any, str], Mark]:
    return grade


@pytest.fixture(scope="session")
def life() -> sqlite3.Connection:
    """An empty database that `lived` keeps its first one in."""
    return sqlite3.connect(":memory:")


@pytest.fixture
def lived(shop: Shop, shop_people: Any, now: datetime, life: sqlite3.Connection) -> Shop:
    """A shop in which everything happened that leaves a row behind."""
    made_once(life, shop.store, lambda: live(shop, shop_people, now, draw, grade))
    shop.forms = 1000  # the copy holds the tokens of the forms before
    return shop
