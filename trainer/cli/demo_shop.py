"""The invented shop of the demo: three roles, lessons read, quizzes sat and reviewed, tasks signed off, over six weeks.

Every act goes through the same use cases as in a real shop, only with the time of the act given. Nothing here is
true of any person or company.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.clearance import Rules
from trainer.cli import demo_certificates, demo_jobs, demo_lessons, demo_picture, demo_quizzes
from trainer.learning import Deciding
from trainer.lessons import Library
from trainer.questions import Bank, Draw, draw
from trainer.records import (
    grants,
    learning,
    papers,
    people,
    queries,
    quizzes,
    review,
    signin,
    signoffs,
)
from trainer.records.people import Actor
from trainer.records.schema import upgrade
from trainer.records.store import Store, open_store

SHOP_NAME: Final = "Cold Hollow Chimney Repair"
PASSWORD: Final = "demo only, cold hollow"
# sign-in name: (name, roles, language, what the demo says of the person)
PEOPLE: Final = {
    "nora": ("Nora Quist", ("owner",), "en", "owner"),
    "abel": ("Abel Munro", ("trainer",), "en", "trainer"),
    "ana": ("Ana Ruelas", ("apprentice",), "es", "new hire, six weeks in, reads in Spanish"),
    "tom": ("Tom Wexley", ("apprentice",), "en", "new hire, second week"),
    "rosa": ("Rosa Lindgren", ("apprentice",), "en", "new hire, suspended after a near miss"),
}
GROUND_SKILLS: Final = {"roof-protection": 2, "when-to-stop": 2}
ROOF_SKILLS: Final = {
    "ladder-setup": 2,
    "roof-slope": 2,
    "fall-protection": 1,
    "roof-protection": 1,
    "when-to-stop": 2,
}
CROWN_SKILLS: Final = {
    "slab-size": 1,
    "slab-volume": 1,
    "crown-slope": 1,
    "flue-openings": 1,
    "bond-breaks": 1,
}
# Who read which lessons before they changed.
OLDER: Final = {"rosa": ("roof-protection", "seal-and-coat")}


@dataclass
class Demo:
    """The shop being made, day by day before `now`."""

    store: Store
    bank: Bank
    library: Library
    rules: Rules
    deciding: Deciding
    now: datetime
    random: random.Random = field(default_factory=lambda: random.Random(1926))
    tokens: count[int] = field(default_factory=count)
    actors: dict[str, Actor] = field(default_factory=dict)

    def at(self, days_ago: float, hour: int = 14) -> datetime:
        """A moment so many days ago, at `hour` UTC; never later than now."""
        day = (self.now - timedelta(days=days_ago)).replace(
            hour=hour, minute=self.random.randrange(50), second=0
        )
        return min(day, self.now)

    def token(self) -> str:
        return f"demo-{next(self.tokens)}"

    def people_arrive(self) -> None:
        """The owner sets the shop up and adds the others; each sets the demo's password."""
        start = self.at(42, 13)
        name, _, language, _ = PEOPLE["nora"]
        with self.store.write() as session:
            first = people.set_up_shop(
                session,
                start,
                name=SHOP_NAME,
                zone="America/New_York",
                language=language,
                owner_name=name,
                owner_sign_in="nora",
            )
        self._enter("nora", first.code, start)
        for sign_in, (name, roles, language, _) in PEOPLE.items():
            if sign_in != "nora":
                joined = self.at(9, 12) if sign_in == "tom" else start
                with self.store.write() as session:
                    new = people.add_person(
                        session,
                        self.actors["nora"],
                        joined,
                        name=name,
                        sign_in=sign_in,
                        roles=roles,
                        language=language,
                    )
                self._enter(sign_in, new.code, joined)

    def _enter(self, sign_in: str, code: str, when: datetime) -> None:
        actor = signin.redeem(self.store, when, sign_in=sign_in, code=code, password=PASSWORD, source="demo")
        if not isinstance(actor, Actor):
            raise actor
        self.actors[sign_in] = actor

    def practises(self, who: str, times: int, first_day: float, last_day: float) -> None:
        questions = sorted(self.bank.questions)
        for place in range(times):
            drawn = draw(
                self.bank.questions[self.random.choice(questions)], self.random.randrange(10**6), DEFAULT_SHOP
            )
            typed = drawn.answer() if self.random.random() < 0.7 else drawn.body.mistaken()
            graded = papers.grade_frozen(drawn.to_json(), typed)
            with self.store.write() as session:
                learning.record_practice(
                    session,
                    self.actors[who],
                    self.at(first_day + (last_day - first_day) * place / times, 21),
                    question=drawn.question_id,
                    version=drawn.version,
                    seed=drawn.seed,
                    typed=typed,
                    shown=graded.shown,
                    right=graded.right,
                    credit=graded.credit,
                    slip=graded.slip,
                    skills=drawn.skills,
                    token=self.token(),
                )

    def assigns(
        self,
        title: str,
        who: Sequence[str],
        skills: Mapping[str, int],
        days_ago: float,
        due_in: float,
        mark: int = 80,
        **terms: Any,
    ) -> dict[str, int]:
        """Assign a quiz; returns each person's paper. terms: further ones, as `quizzes.assign` has them."""
        when = self.at(days_ago)
        with self.store.write() as session:
            assigned = quizzes.assign(
                session,
                self.actors["abel"],
                when,
                title=title,
                people=[self.actors[each].id for each in who],
                skills=skills,
                pass_mark=mark,
                due=when + timedelta(days=due_in),
                same_numbers=False,
                bank=self.bank.questions,
                draw=draw,
                token=self.token(),
                seed=self.random.randrange(10**6),
                **terms,
            )
        return dict(zip(who, assigned.papers, strict=True))

    def sits(
        self, who: str, paper: int, days_ago: float, wrong: Sequence[int] = (), stop_after: int = 99
    ) -> None:
        """Answer a paper; `wrong` are the positions answered with a slip."""
        actor, when = self.actors[who], self.at(days_ago, 22)
        with self.store.write() as session:
            papers.open_paper(session, actor, when, paper)
        with self.store.read() as session:
            questions = queries.paper(session, actor, paper).questions
        for place, each in enumerate(questions[:stop_after]):
            drawn = Draw.from_json(each.draw)
            with self.store.write() as session:
                given = papers.answer(
                    session,
                    actor,
                    min(when + timedelta(minutes=2 * place + 2), self.now),
                    paper_id=paper,
                    position=each.position,
                    typed=drawn.body.mistaken() if each.position in wrong else drawn.answer(),
                    token=self.token(),
                )
            if given.closed:  # of one that decides early the rest is not asked
                break

    def reviews(self, paper: int, days_ago: float, comment: str) -> None:
        with self.store.write() as session:
            trainer, when = self.actors["abel"], self.at(days_ago, 12)
            review.comment(
                session, trainer, when, paper_id=paper, position=None, text=comment, token=self.token()
            )
            review.finish(session, trainer, when, paper)

    def signs_off(
        self,
        who: str,
        task: str,
        days_ago: float,
        typed: Mapping[str, str],
        notes: str = "",
        failed: Sequence[int] = (),
        pictures: Sequence[bytes] = (),
    ) -> None:
        """Record a practical; `failed` are the criteria that were not met."""
        asked = self.rules.tasks[task]
        measures = signoffs.check_measures(asked, typed, DEFAULT_SHOP)
        passed = not failed and all(measure.ok is not False for measure in measures.values())
        token, when = self.token(), self.at(days_ago, 18)
        kept = demo_picture.keep(self, who, when, token, pictures)
        with self.store.write() as session:
            signoffs.record(
                session,
                self.actors["abel"],
                when,
                person_id=self.actors[who].id,
                task=asked,
                passed=passed,
                criteria=[place not in failed for place in range(len(asked.criteria))],
                measures=measures,
                notes=notes,
                token=token,
                photos=kept,
            )

    def grants(self, who: str, clearance: str, days_ago: float) -> None:
        with self.store.write() as session:
            grants.grant(
                session,
                self.actors["nora"],
                self.at(days_ago, 20),
                person_id=self.actors[who].id,
                clearance=clearance,
                rules=self.rules,
            )

    def suspends(self, who: str, clearance: str, days_ago: float, reason: str) -> None:
        with self.store.write() as session:
            grants.suspend(
                session,
                self.actors["abel"],
                self.at(days_ago, 19),
                person_id=self.actors[who].id,
                clearance=clearance,
                reason=reason,
                rules=self.rules,
            )


def build(path: Path, now: datetime, bank: Bank, library: Library, rules: Rules, deciding: Deciding) -> None:
    """Make the demo's shop in a fresh store at `path`."""
    upgrade(path)
    store = open_store(path)
    try:
        demo = Demo(store, bank, library, rules, deciding, now)
        _six_weeks(demo)
        demo_quizzes.assign(demo)
        demo_jobs.keep(demo)
        demo_certificates.enter(demo)
    finally:
        store.close()


def _six_weeks(demo: Demo) -> None:
    course = demo.library.ids
    demo.people_arrive()
    for who in ("ana", "rosa"):
        demo_lessons.read(demo, who, course, 40, stumbles=who == "rosa", older=OLDER.get(who, ()))
        demo.practises(who, 24 if who == "ana" else 9, 39, 2)
    demo_lessons.accept(
        demo, "roof-protection", 37, "A source was added; what is laid on the roof is the same."
    )
    ground = demo.assigns("First week: on the ground", ["ana", "rosa"], GROUND_SKILLS, 36, 3)
    roof = demo.assigns("Ladders and roofs", ["ana", "rosa"], ROOF_SKILLS, 29, 5, mark=90)
    for who in ("ana", "rosa"):
        demo.sits(who, ground[who], 34)
        demo.reviews(ground[who], 33, "Good. Next time read the whole question before the first answer.")
        demo.grants(who, "on-the-ground", 32)
        demo.sits(who, roof[who], 27)
        demo.reviews(roof[who], 26, "All of it right. Show me the ladder on Monday.")
        for days_ago in (26, 25):
            demo.signs_off(
                who, "set-ladder", days_ago, {"support_height": "16 ft", "setback": "4 ft 1 1/2 in"}
            )
        demo.grants(who, "ladder-and-staging", 24)
        demo.signs_off(who, "don-harness", 20, {})
        demo.signs_off(who, "lay-roof-protection", 19, {})
        demo.grants(who, "low-slope-roof", 18)
    crown = demo.assigns("Crown numbers", ["ana"], CROWN_SKILLS, 12, 4)["ana"]
    demo.sits("ana", crown, 10, wrong=[2])
    _change_one_grade(demo, crown, 9)
    demo.reviews(crown, 9, "You know how to do these. Write each size down before you multiply.")
    demo.signs_off(
        "ana",
        "build-form",
        8,
        {"overhang": "2 in", "edge_thickness": "4 in", "diagonal_difference": "1/16 in"},
    )
    demo.signs_off(
        "ana",
        "tie-mat",
        6,
        {"cover": "1 in", "widest_space": "7 1/2 in", "spacing_difference": "1/4 in"},
        "Cover was short on the north side. Cut the long bars again and show me.",
        pictures=[demo_picture.mat_in_form()],
    )
    demo_lessons.accept(
        demo, "bond-breaks", 5, "Only the figure of the gap was redrawn; the rule is the same."
    )
    demo.suspends(
        "rosa",
        "low-slope-roof",
        4,
        "Near miss: unclipped to pass the ridge. Harness task to be watched again.",
    )
    # Ana has everything the steep roof asks for; the owner has not granted it yet.
    demo.signs_off("ana", "don-harness", 3, {})
    demo.signs_off("ana", "lay-roof-protection", 3, {})
    demo_lessons.read(demo, "tom", course[:2], 7)
    demo_lessons.read_sections(demo, "tom", demo.rules.lessons[course[2]], 4, demo.at(1, 20))
    demo.practises("tom", 8, 6, 1)
    # Not passed, and the wait is over: the second of three goes is open.
    first = demo.assigns(
        "Crown numbers, first try", ["tom"], CROWN_SKILLS, 5, 6, mark=70, goes=3, wait_hours=24
    )["tom"]
    demo.sits("tom", first, 2, wrong=[1, 3])
    demo.assigns("First week: on the ground", ["tom"], GROUND_SKILLS, 1, 3)
    started = demo.assigns(
        "Steel and bags", ["ana"], {"bar-count": 1, "bar-length": 1, "bag-count": 1}, 2, 5
    )["ana"]
    demo.sits("ana", started, 1, stop_after=1)


def _change_one_grade(demo: Demo, paper: int, days_ago: float) -> None:
    with demo.store.read() as session:
        wrong = next(
            each for each in queries.paper(session, demo.actors["abel"], paper).questions if not each.right
        )
    with demo.store.write() as session:
        review.change_grade(
            session,
            demo.actors["abel"],
            demo.at(days_ago, 11),
            paper_id=paper,
            position=wrong.position,
            credit=0.5,
            reason="The method was right on the scratch sheet; the slip was in copying.",
            token=demo.token(),
        )
