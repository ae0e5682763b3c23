"""The skill picture from the store, and what comes back today."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from trainer.errors import NotAllowed, UnknownName
from trainer.learning import Seen, estimate, load_parameters
from trainer.paths import content_dir
from trainer.records import learning, queries, review
from trainer.records.people import Actor

GIVEN = load_parameters(content_dir("question_bank") / "learning.toml")
SKILLS = ["ladder-setup", "roof-slope", "never-asked"]
QUESTIONS = {"ladder-setup": ["ladder-0", "ladder-1"], "roof-slope": ["slope-1", "slope-2"]}


def practise(shop: Any, who: Actor, question: str, right: bool, skill: str = "roof-slope") -> None:
    with shop.store.write() as session:
        learning.record_practice(
            session, who, shop.now, question=question, version=1, seed=4, typed="3", shown="3 in", right=right,
            credit=float(right), slip=None, skills=[skill], token=shop.token(),
        )  # fmt: skip


def picture(shop: Any, reader: Actor, of: Actor) -> dict[str, Any]:
    with shop.store.read() as session:
        found = queries.skill_picture(session, reader, of.id, shop.now, GIVEN, SKILLS)
    return {row.skill: row for row in found.skills}


def due(shop: Any, who: Actor) -> tuple[tuple[str, str], ...]:
    with shop.store.read() as session:
        return queries.for_today(session, who, shop.now, GIVEN, QUESTIONS)


def test_papers_and_practice_make_the_picture(shop: Any, shop_people: Any) -> None:
    ana, trainer = shop_people.apprentice, shop_people.trainer
    paper = shop.assign(trainer, ana).papers[0]
    shop.answer_all(ana, paper, right=False)
    with shop.store.write() as session:
        review.change_grade(session, trainer, shop.now, paper_id=paper, position=1, credit=0.5, reason="half")
    practise(shop, ana, "slope-1", True)
    shop.now += timedelta(days=30)
    found = picture(shop, trainer, ana)
    assert found["ladder-setup"].estimate == estimate([Seen(0.5, 30.0), Seen(0.0, 30.0)], GIVEN.estimate)
    assert found["roof-slope"].estimate == estimate([Seen(1.0, 30.0, practice=True)], GIVEN.estimate)
    assert found["never-asked"].estimate is None and found["never-asked"].standing is None
    assert list(found) == SKILLS  # the weakest first, what nothing is known of last


def test_a_paper_still_out_tells_nothing(shop: Any, shop_people: Any) -> None:
    paper = shop.assign(shop_people.trainer, shop_people.apprentice).papers[0]
    shop.answer(shop_people.apprentice, paper, 1, "99")
    assert picture(shop, shop_people.trainer, shop_people.apprentice)["ladder-setup"].estimate is None
    shop.now += timedelta(days=5)
    assert due(shop, shop_people.apprentice) == ()


def test_who_may_see_it(shop: Any, shop_people: Any) -> None:
    ana, ben = shop_people.apprentice, shop_people.other
    assert picture(shop, ana, ana)
    with shop.store.read() as session:
        with pytest.raises(NotAllowed):
            queries.skill_picture(session, ben, ana.id, shop.now, GIVEN, SKILLS)
        with pytest.raises(NotAllowed):
            queries.crew_picture(session, ben, shop.now, GIVEN, SKILLS)
        with pytest.raises(UnknownName):
            queries.skill_picture(session, shop_people.owner, 99, shop.now, GIVEN, SKILLS)


def test_the_crew_and_what_each_is_weakest_in(shop: Any, shop_people: Any) -> None:
    ana, ben = shop_people.apprentice, shop_people.other
    practise(shop, ana, "slope-1", True)
    for _ in range(3):
        practise(shop, ben, "slope-1", False)
        practise(shop, ana, "ladder-0", False, "ladder-setup")
    with shop.store.read() as session:
        crew = queries.crew_picture(session, shop_people.trainer, shop.now, GIVEN, SKILLS)
    assert [one.person.name for one in crew.people] == ["Ana Abel", "Ben Bauer"]
    ladders, slopes, never = crew.skills
    assert (ladders.known, ladders.weakest.name) == (1, "Ana Abel")  # type: ignore[union-attr]
    assert (slopes.known, slopes.weakest.name) == (2, "Ben Bauer")  # type: ignore[union-attr]
    shares = [row.share for one in crew.people for row in one.skills if row.skill == "roof-slope"]
    assert slopes.share == pytest.approx(sum(shares) / 2)
    assert (never.known, never.share, never.weakest) == (0, None, None)
    assert queries.weakest(crew, [ana.id, ben.id]) == {
        ana.id: ("ladder-setup", "never-asked", "roof-slope"),
        ben.id: ("roof-slope", "ladder-setup", "never-asked"),
    }


def test_what_was_met_comes_back_after_growing_gaps(shop: Any, shop_people: Any) -> None:
    ana = shop_people.apprentice
    practise(shop, ana, "slope-1", True)
    assert due(shop, ana) == ()
    came_back = []
    for day in range(1, 40):
        shop.now += timedelta(days=1)
        for skill, question in due(shop, ana):
            came_back.append(day)
            practise(shop, ana, question, True, skill)
            assert due(shop, ana) == ()
    assert came_back == [1, 4, 11, 25]
    with shop.store.read() as session:
        assert [row.question for row in queries.practice(session, ana)] == ["slope-1", "slope-2"]
    practise(shop, ana, "slope-1", False)
    shop.now += timedelta(days=1)
    assert due(shop, ana) == (("roof-slope", "slope-2"),)


def test_weeks_run_from_the_first_answer_to_now_on_the_shops_calendar(shop: Any, shop_people: Any) -> None:
    ana, trainer = shop_people.apprentice, shop_people.trainer
    with shop.store.read() as session:
        assert queries.weeks(session, ana, ana.id, shop.now) == ()
    paper = shop.assign(trainer, ana).papers[0]
    shop.answer_all(ana, paper, right=False)
    with shop.store.write() as session:
        review.change_grade(session, trainer, shop.now, paper_id=paper, position=1, credit=0.5, reason="half")
    begun = shop.now.astimezone(ZoneInfo("America/New_York")).date()
    shop.now += timedelta(days=21)
    practise(shop, ana, "slope-1", True)
    with shop.store.read() as session:
        found = queries.weeks(session, trainer, ana.id, shop.now)
        with pytest.raises(NotAllowed):
            queries.weeks(session, shop_people.other, ana.id, shop.now)
    assert [(week.given, week.right) for week in found] == [(2, 0.5), (0, 0), (0, 0), (1, 1.0)]
    assert found[0].monday <= begun < found[0].monday + timedelta(days=7)
    assert all(week.monday.weekday() == 0 for week in found)
