"""Every page's query: what it shows, who may see it, and a number of statements that does not grow."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from trainer.errors import NotAllowed, UnknownName
from trainer.learning import load_parameters
from trainer.paths import content_dir
from trainer.records import files, learning, people, queries, review, signoffs
from trainer.records.cleaning import Cleaned
from trainer.records.evidence import all_evidence
from trainer.records.people import Actor
from trainer.records.regrade_plan import FULL, plan

LEARNING = load_parameters(content_dir("question_bank") / "learning.toml")
ON = date(2026, 11, 25)

# page: (its query, the most statements it may send). The whole page may send 20, of which signing in and
# the shop take about five.
PAGES: dict[str, tuple[Callable[[Any, Any, Any], Any], int]] = {
    # What was read, how far one came and how check questions went is one statement; which older versions are accepted
    # is one more, which evidence takes too beside certificates, and with it every page that shows a standing; the rules
    # in force on the day are one more.
    "home": (lambda s, who, shop: queries.home(s, who.ana, shop.now, shop.rules), 15),
    "lessons": (lambda s, who, shop: queries.lessons(s, who.ana, shop.rules), 2),
    "practice": (lambda s, who, shop: queries.practice(s, who.ana), 1),
    "person record": (
        lambda s, who, shop: queries.person_record(s, who.owner, who.ana.id, shop.now, shop.rules),
        21,
    ),
    "people": (lambda s, who, shop: queries.people(s, who.owner), 1),
    "quizzes": (lambda s, who, shop: queries.quizzes(s, who.owner), 2),
    "quiz": (lambda s, who, shop: queries.quiz(s, who.owner, 1), 3),
    "for review": (lambda s, who, shop: queries.for_review(s, who.owner), 3),
    "paper": (lambda s, who, shop: queries.paper(s, who.owner, 1), 9),
    "board": (lambda s, who, shop: queries.board(s, who.owner, ON, shop.rules), 13),
    "changed lessons": (lambda s, who, shop: queries.changed_lessons(s, who.owner, ON, shop.rules), 12),
    "clearances": (
        lambda s, who, shop: queries.person_clearances(s, who.owner, who.ana.id, ON, shop.rules),
        14,
    ),
    "certificates": (lambda s, who, shop: queries.certificates(s, who.owner, who.ana.id), 2),
    "certificate": (lambda s, who, shop: queries.certificate(s, who.owner, 1), 1),
    "sign-offs": (lambda s, who, shop: queries.sign_offs(s, who.owner), 3),
    "sign-off": (lambda s, who, shop: queries.sign_off(s, who.owner, 1), 2),
    "photograph": (lambda s, who, shop: queries.sign_off_photo(s, who.owner, 3, 1), 2),
    "history": (lambda s, who, shop: queries.history(s, who.owner), 2),
    "question figures": (lambda s, who, shop: queries.question_figures(s, who.owner), 1),
    "one question's figures": (lambda s, who, shop: queries.question_at_work(s, who.owner, "slope-0"), 4),
    "reliability": (lambda s, who, shop: queries.reliability(s, who.owner, 1), 1),
    "skills": (
        lambda s, who, shop: queries.skill_picture(
            s, who.owner, who.ana.id, shop.now, LEARNING, ["roof-slope"]
        ),
        6,
    ),
    "crew": (lambda s, who, shop: queries.crew_picture(s, who.owner, shop.now, LEARNING, ["roof-slope"]), 5),
    "for today": (
        lambda s, who, shop: queries.for_today(
            s, who.ana, shop.now + timedelta(days=2), LEARNING, {"roof-slope": ["slope-1"]}
        ),
        4,
    ),
    "regraded": (lambda s, who, shop: queries.regrades(s, who.owner), 2),
    "asked versions": (lambda s, who, shop: queries.asked_versions(s, who.owner, "ladder-0"), 1),
    "doubts": (lambda s, who, shop: queries.doubts(s, who.owner), 1),
    "doubts of one": (lambda s, who, shop: queries.doubts_of(s, who.owner, who.ana.id), 1),
    # The papers that asked it, their sums, the quizzes to sit, the shop standards, the grants that rested on them, and
    # the shop's zone.
    "effect of a regrade": (lambda s, who, shop: regrade_effect(s, who, shop), 6),
    "counts": (lambda s, who, shop: queries.counts(s, who.owner), 1),
}


def regrade_effect(session: Any, who: Any, shop: Any) -> Any:
    return plan(
        session, who.owner, shop.now, question="ladder-0", version=1, how=FULL, mend=lambda *_: None,
        then=lambda *_: "",
    )  # fmt: skip


class Who:
    def __init__(self, shop_people: Any) -> None:
        self.owner, self.trainer, self.ana = shop_people.owner, shop_people.trainer, shop_people.apprentice


def add_apprentice(shop: Any, owner: Actor, number: int) -> Actor:
    with shop.store.write() as session:
        added = people.add_person(
            session, owner, shop.now, name=f"New {number}", sign_in=f"new{number}", roles=["apprentice"]
        )
    return Actor(added.person_id, f"New {number}", f"new{number}", "en", frozenset({"apprentice"}), "")


def live(shop: Any, who: Who, person: Actor) -> None:
    """One of everything for one person."""
    shop.make_ready(who.trainer, person)
    shop.read(person, "crowns", version=1 + shop.forms % 2)  # an older one each
    shop.accept(who.trainer, "crowns", 2)
    shop.grant(who.owner, person)
    paper = shop.assign(who.trainer, person, questions=("slope-0", "ladder-0", "ladder-1")).papers[0]
    shop.answer_all(person, paper, right=False)
    with shop.store.write() as session:
        review.comment(
            session, who.trainer, shop.now, paper_id=paper, position=1, text="Look again.", token=shop.token()
        )
        review.change_grade(
            session, who.owner, shop.now, paper_id=paper, position=1, credit=0.5, reason="half"
        )
        learning.record_practice(
            session, person, shop.now, question="slope-1", version=1, seed=4, typed="3", shown="3 in", right=True,
            credit=1.0, slip=None, skills=["roof-slope"], token=shop.token(),
        )  # fmt: skip
    shop.sign_off(who.owner, person, passed=False)
    shop.certificate(who.trainer, person)
    with shop.store.write() as session:
        photo = files.keep(
            session, who.trainer, shop.now, person_id=person.id, cleaned=Cleaned("image/jpeg", b"a", b"b"),
            token=shop.token(),
        )  # fmt: skip
        signoffs.record(
            session, who.trainer, shop.now, person_id=person.id, task=shop.rules.tasks["set-ladder"], passed=False,
            criteria=[False], measures={}, notes="", token=shop.token(), photos=[photo],
        )  # fmt: skip


def test_statements_do_not_grow_with_people(shop: Any, shop_people: Any, count_statements: Any) -> None:
    who = Who(shop_people)
    live(shop, who, who.ana)
    first = measure(shop, who, count_statements)
    for number in range(39):
        live(shop, who, add_apprentice(shop, who.owner, number))
    # More of everything on the one person and the one paper too.
    shop.now += timedelta(days=1)
    live(shop, who, who.ana)
    second = measure(shop, who, count_statements)
    for name, (_, most) in PAGES.items():
        assert len(first[name]) == len(second[name]), (name, first[name], second[name])
        assert 0 < len(second[name]) <= most, (name, second[name])


def measure(shop: Any, who: Who, count_statements: Any) -> dict[str, list[str]]:
    counted = {}
    for name, (query, _) in PAGES.items():
        with shop.store.read() as session, count_statements(shop.store) as statements:
            assert query(session, who, shop) is not None
        counted[name] = statements
    return counted


def test_who_may_see_what(shop: Any, shop_people: Any) -> None:
    """By page: who is refused what is someone else's, or a reviewer's."""
    shop.assign(shop_people.trainer, shop_people.apprentice)
    ben, ana = shop_people.other, shop_people.apprentice
    with shop.store.read() as session:
        for refused in (
            lambda: queries.paper(session, ben, 1),
            lambda: queries.person_record(session, ben, ana.id, shop.now, shop.rules),
            lambda: queries.person_clearances(session, ben, ana.id, ON, shop.rules),
            lambda: queries.certificates(session, ben, ana.id),
            lambda: queries.people(session, ben),
            lambda: queries.quizzes(session, ben),
            lambda: queries.quiz(session, ben, 1),
            lambda: queries.for_review(session, ben),
            lambda: queries.board(session, ben, ON, shop.rules),
            lambda: queries.changed_lessons(session, ben, ON, shop.rules),
            lambda: queries.history(session, ben),
            lambda: queries.history(session, shop_people.trainer),
        ):
            with pytest.raises(NotAllowed):
                refused()
        assert queries.paper(session, ana, 1).own
        assert not queries.paper(session, shop_people.trainer, 1).own
        assert queries.person_record(session, ana, ana.id, shop.now, shop.rules).person.name == "Ana Abel"
        assert queries.counts(session, ana) == queries.Counts(0, 1)


def test_what_does_not_exist_is_unknown(shop: Any, shop_people: Any) -> None:
    with shop.store.read() as session:
        for unknown in (
            lambda: queries.paper(session, shop_people.owner, 99),
            lambda: queries.quiz(session, shop_people.owner, 99),
            lambda: queries.sign_off(session, shop_people.owner, 99),
            lambda: queries.certificate(session, shop_people.owner, 99),
            lambda: queries.certificates(session, shop_people.owner, 99),
            lambda: queries.person_record(session, shop_people.owner, 99, shop.now, shop.rules),
        ):
            with pytest.raises(UnknownName):
                unknown()


def test_home_says_what_is_next(shop: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    soon = shop.assign(shop_people.trainer, ana, due=shop.now + timedelta(days=1)).papers[0]
    endless = shop.assign(shop_people.trainer, ana, due=None).papers[0]
    later = shop.assign(shop_people.trainer, ana, due=shop.now + timedelta(days=9)).papers[0]
    done, waiting = (shop.assign(shop_people.trainer, ana).papers[0] for _ in range(2))
    shop.answer_all(ana, done)
    shop.answer_all(ana, waiting)
    with shop.store.write() as session:
        review.finish(session, shop_people.trainer, shop.now, done)
    shop.read(ana, "ladders")
    with shop.store.read() as session:
        found = queries.home(session, ana, shop.now + timedelta(days=2), shop.rules)
        ben = queries.home(session, shop_people.other, shop.now, shop.rules)
    assert [row.id for row in found.due] == [soon, later, endless]
    assert [row.late for row in found.due] == [True, False, False]
    assert ([row.id for row in found.waiting], [row.id for row in found.done]) == ([waiting], [done])
    assert [row.id for row in found.unread] == ["crowns"]
    assert [(one.clearance, one.state) for one in found.standings] == [
        ("ladder", "not cleared"),
        ("roof", "not cleared"),
    ]
    assert (ben.due, len(ben.unread)) == ((), 2)


def test_lessons_say_what_changed_since_it_was_read(shop: Any, shop_people: Any) -> None:
    shop.read(shop_people.apprentice, "crowns", version=2)
    with shop.store.read() as session:
        rows = queries.lessons(session, shop_people.apprentice, shop.rules)
    assert [(row.id, row.state, row.read_version) for row in rows] == [
        ("ladders", "unread", None),
        ("crowns", "changed since", 2),
    ]


def test_practice_is_kept_once_a_form_and_shown_by_question(shop: Any, shop_people: Any) -> None:
    def practise(token: str, right: bool, minutes: int, question: str = "slope-1") -> bool:
        with shop.store.write() as session:
            return learning.record_practice(
                session, shop_people.apprentice, shop.now + timedelta(minutes=minutes), question=question, version=1,
                seed=2**40, typed="3", shown="3 in", right=right, credit=float(right), slip=None,
                skills=["roof-slope"], token=token,
            )  # fmt: skip

    assert [practise("a", True, 0), practise("a", True, 1), practise("b", False, 2), practise("c", True, 1, "ladder-0")] == [
        True, False, True, True
    ]  # fmt: skip
    with shop.store.read() as session:
        rows = queries.practice(session, shop_people.apprentice)
        assert queries.practice(session, shop_people.other) == ()
    assert [(row.question, row.tries, row.right) for row in rows] == [("slope-1", 2, 1), ("ladder-0", 1, 1)]
    assert rows[0].last_at == shop.now + timedelta(minutes=2)


def test_an_open_paper_hides_its_grades_from_everyone(shop: Any, shop_people: Any) -> None:
    own = shop.assign(shop_people.owner, shop_people.trainer).papers[0]
    shop.answer(shop_people.trainer, own, 1, "1")
    with shop.store.read() as session:
        mine = queries.paper(session, shop_people.trainer, own)
        reviewer = queries.paper(session, shop_people.owner, own)
    hidden = mine.questions[0]
    assert hidden.answer is not None and hidden.answer.shown == "1 in"
    assert (hidden.answer.right, hidden.answer.credit, hidden.credit, hidden.right) == (None,) * 4
    seen = reviewer.questions[0]
    assert seen.answer is not None and seen.answer.shown == "1 in"
    assert (seen.answer.right, seen.answer.credit, seen.credit, seen.right) == (None,) * 4
    assert (mine.next_open, mine.row.percent) == (2, None)


def test_quizzes_count_their_papers(shop: Any, shop_people: Any) -> None:
    done = shop.assign(shop_people.trainer, shop_people.apprentice, shop_people.other)
    shop.assign(shop_people.owner, shop_people.other, title="Newer")
    shop.answer_all(shop_people.apprentice, done.papers[0])
    with shop.store.write() as session:
        review.finish(session, shop_people.trainer, shop.now, done.papers[0])
    with shop.store.read() as session:
        page = queries.quizzes(session, shop_people.trainer)
        view = queries.quiz(session, shop_people.trainer, done.quiz_id)
    assert [(row.title, row.assigned_by, row.papers, row.handed_in, row.reviewed) for row in page.items] == [
        ("Newer", "Olive Ortega", 1, 0, 0),
        ("Ladders", "Theo Tran", 2, 1, 1),
    ]
    assert [row.person for row in view.papers] == ["Ana Abel", "Ben Bauer"]
    assert view.spec["questions"] == ["ladder-0", "ladder-1"]


@pytest.mark.parametrize(("page", "got"), [(-3, 1), (1, 1), (2, 2), (99, 2)])
def test_a_page_beyond_the_ends_gives_the_nearest(shop: Any, shop_people: Any, page: int, got: int) -> None:
    for _ in range(3):
        shop.assign(shop_people.trainer, shop_people.apprentice)
    with shop.store.read() as session:
        found = queries.quizzes(session, shop_people.trainer, page=page, per_page=2)
    assert (found.page, found.pages, found.total, len(found.items)) == (got, 2, 3, 2 if got == 1 else 1)


def test_the_board_shows_every_active_person_by_every_clearance(shop: Any, shop_people: Any) -> None:
    shop.make_ready(shop_people.trainer, shop_people.apprentice)
    shop.grant(shop_people.owner, shop_people.apprentice)
    started = time.perf_counter()
    with shop.store.read() as session:
        board = queries.board(session, shop_people.trainer, ON, shop.rules)
    assert time.perf_counter() - started < 5
    assert [one.id for one in board.clearances] == ["ladder", "roof"]
    states = {row.person.name: [one.state for one in row.standings] for row in board.rows}
    assert states == {
        "Ana Abel": ["cleared", "ready to grant"],
        "Ben Bauer": ["not cleared", "not cleared"],
        "Olive Ortega": ["not cleared", "not cleared"],
        "Theo Tran": ["not cleared", "not cleared"],
    }


def test_what_is_known_of_some_people_is_what_is_known_of_them_among_all(shop: Any, shop_people: Any) -> None:
    who = Who(shop_people)
    new = [add_apprentice(shop, who.owner, number) for number in range(3)]
    for one in (who.ana, *new[:2]):
        live(shop, who, one)
    with shop.store.read() as session:
        everyone = all_evidence(session)
        assert set(everyone) == {row.id for row in queries.people(session, who.owner)}
        for some in ([who.ana.id], [new[1].id, new[2].id], list(everyone), []):
            assert all_evidence(session, some) == {id: everyone[id] for id in some}
    assert everyone[new[0].id].papers and everyone[new[0].id].grants and not everyone[new[2].id].papers
