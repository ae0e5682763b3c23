"""Rules frozen and thawed, changed, withdrawn and taken over; and what each would do to people."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests.shipped import shipped_bank, shipped_lessons
from trainer.clearance import (
    Clearance,
    ClearanceRequirement,
    Evidence,
    GrantEvidence,
    LessonRef,
    LessonRequirement,
    QuizRequirement,
    ReadingEvidence,
    Requirement,
    Rules,
    SignOffRequirement,
    Task,
    changing,
    decides,
    freeze,
    standing,
    thaw,
)
from trainer.clearance.effects import effects
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.lessons import shop_rules

ON = date(2026, 11, 25)


def both(text: str) -> Text:
    return Text(en=text, es=text)


def made(id: str, *requires: Requirement, version: int = 1, accepts: int = 1) -> Clearance:
    return Clearance(id, version, accepts, both(id.title()), both(id), requires)


def rules(*clearances: Clearance) -> Rules:
    return Rules(
        {one.id: one for one in clearances},
        {"set": Task("set", 3, 2, both("Set a ladder"), (both("c"),), (), None, ())},
        {"ladders": LessonRef("ladders", 2, both("Ladders")), "ice": LessonRef("ice", 1, both("Ice"))},
        {"slope": both("slope"), "tape": both("tape")},
        frozenset({"slope"}),
    )


GROUND = made("ground", LessonRequirement("ladders"))
ROOF = made(
    "roof",
    ClearanceRequirement("ground"),
    QuizRequirement(("slope",), 80, 365),
    SignOffRequirement("set", 2, 90),
    version=4,
    accepts=3,
)
RULES = rules(GROUND, ROOF)


def test_the_shipped_rules_come_back_from_what_is_frozen() -> None:
    shipped = shop_rules(shipped_bank(), shipped_lessons())
    again = thaw(freeze(shipped), shipped)
    assert again.clearances == shipped.clearances and list(again.clearances) == list(shipped.clearances)
    assert again.must_pass == shipped.must_pass
    assert {id: one.oldest for id, one in again.lessons.items()} == {
        id: one.oldest for id, one in shipped.lessons.items()
    }
    assert {id: one.accepts for id, one in again.tasks.items()} == {
        id: one.accepts for id, one in shipped.tasks.items()
    }
    assert freeze(again) == freeze(shipped)


def test_what_changes_in_the_program_changes_nothing_in_what_is_frozen() -> None:
    """A newer lesson or task counts beside the frozen one; a must-pass question added later is not asked for."""
    later = replace(
        rules(made("ground", LessonRequirement("ice"))),
        lessons={"ladders": LessonRef("ladders", 5, both("Ladders again"))},
        tasks={"set": replace(RULES.tasks["set"], version=7, accepts=7)},
        must_pass=frozenset({"slope", "tape"}),
    )
    frozen = freeze(RULES)
    found = thaw(frozen, later)
    assert found.clearances == RULES.clearances
    assert (found.lessons["ladders"].oldest, found.lessons["ladders"].version) == (2, 5)
    assert (found.tasks["set"].accepts, found.tasks["set"].version) == (2, 7)
    assert "slope" in found.must_pass
    less = replace(later, must_pass=frozenset())
    assert "slope" in thaw(frozen, less).must_pass, "and one taken away later is still asked for"


def test_a_lesson_or_task_that_the_program_no_longer_has_still_counts() -> None:
    bare = replace(RULES, lessons={}, tasks={}, skills={})
    found = thaw(freeze(RULES), bare)
    assert found.lesson_name("ladders").en == "Ladders" and found.task_name("set").en == "Set a ladder"
    read = Evidence(1, (ReadingEvidence("ladders", 2, ON),), grants=(grant("ground"),))
    assert standing(1, "ground", read, ON, found).cleared


@pytest.mark.parametrize(
    "requirement",
    [{"kind": "blood test"}, {"kind": "lesson", "lesson": "ladders", "version": None, "twice": True}],
)
def test_a_requirement_of_a_newer_program_is_never_met(requirement: dict[str, object]) -> None:
    data = freeze(rules(GROUND))
    data["clearances"][0]["requires"] = [requirement]
    read = Evidence(1, (ReadingEvidence("ladders", 2, ON),), grants=(grant("ground"),))
    found = standing(1, "ground", read, ON, thaw(data, RULES))
    assert not found.cleared and "not known" in found.reasons[0].en


def test_only_what_decides_is_held_against_the_program() -> None:
    renamed = replace(
        RULES,
        lessons={**RULES.lessons, "ladders": LessonRef("ladders", 3, both("Other title"), accepts=2)},
        skills={"slope": both("other"), "tape": both("tape")},
    )
    assert decides(freeze(renamed)) == decides(freeze(RULES))
    for other in (
        replace(RULES, must_pass=frozenset()),
        replace(RULES, lessons={**RULES.lessons, "ladders": LessonRef("ladders", 3, both("Ladders"))}),
        replace(RULES, tasks={"set": replace(RULES.tasks["set"], accepts=3)}),
        rules(GROUND, replace(ROOF, requires=ROOF.requires[1:])),
    ):
        assert decides(freeze(other)) != decides(freeze(RULES))


def grant(clearance: str, version: int = 1, until: date | None = None) -> GrantEvidence:
    return GrantEvidence(1, clearance, version, 3, "Olive", ON, until)


def test_a_change_raises_the_version_above_every_one_there_was() -> None:
    given = {"ground": 6, "roof": 4}
    kept = changing.changed(RULES, made("ground", LessonRequirement("ice")), given, earlier_grants=True)
    assert (kept.clearances["ground"].version, kept.clearances["ground"].accepts) == (7, 1)
    anew = changing.changed(RULES, GROUND, given, earlier_grants=False)
    assert (anew.clearances["ground"].version, anew.clearances["ground"].accepts) == (7, 7)
    assert RULES.clearances["ground"] == GROUND, "the rules before stay as they are"


def test_an_old_grant_never_counts_for_a_clearance_that_comes_back() -> None:
    without = changing.withdrawn(rules(GROUND), "ground")
    assert without.clearances == {}
    again = changing.changed(without, GROUND, {"ground": 1}, earlier_grants=True)
    assert (again.clearances["ground"].version, again.clearances["ground"].accepts) == (2, 2)
    held = Evidence(1, (ReadingEvidence("ladders", 2, ON),), grants=(grant("ground"),))
    assert standing(1, "ground", held, ON, RULES).cleared
    assert not standing(1, "ground", held, ON, without).cleared
    assert standing(1, "ground", held, ON, again).state == "ready to grant"


@pytest.mark.parametrize(
    ("clearance", "sentence"),
    [
        (made("ground"), "nobody may be cleared for nothing"),
        (made("ground", LessonRequirement("moon")), "no lesson 'moon'"),
        (made("ground", QuizRequirement(("slope", "moon"), 80)), "no skills 'moon'"),
        (made("ground", SignOffRequirement("moon")), "no task 'moon'"),
        (made("ground", ClearanceRequirement("moon")), "no clearance 'moon'"),
        (made("ground", ClearanceRequirement("roof")), "requires itself"),
        (made("ground", ClearanceRequirement("ground")), "requires itself"),
        (
            made("ground", SignOffRequirement("set", 1), SignOffRequirement("set", 2, 9)),
            "asks for this twice",
        ),
        (GROUND, "Nothing is changed"),
    ],
)
def test_what_the_files_may_not_say_may_not_be_entered_either(clearance: Clearance, sentence: str) -> None:
    with pytest.raises(Refusal) as refused:
        changing.changed(RULES, clearance, {"ground": 1, "roof": 4}, earlier_grants=True)
    assert sentence in str(refused.value) and refused.value.in_language("es") != str(refused.value)


def test_what_another_clearance_requires_is_not_withdrawn() -> None:
    with pytest.raises(Refusal, match="while it is required for: Roof"):
        changing.withdrawn(RULES, "ground")


def test_taking_over_keeps_what_is_the_same_with_its_grants() -> None:
    own = rules(replace(GROUND, version=9, accepts=5), replace(ROOF, requires=ROOF.requires[:1]))
    new = made("new", LessonRequirement("ice"))
    found = changing.adopted(
        own, rules(GROUND, ROOF, new), {"ground": 9, "roof": 4, "new": 2}, earlier_grants=True
    )
    assert found.clearances["ground"] == own.clearances["ground"]
    assert (found.clearances["roof"].version, found.clearances["roof"].accepts) == (5, 3)
    assert (found.clearances["new"].version, found.clearances["new"].accepts) == (3, 3)
    anew = changing.adopted(own, rules(GROUND, ROOF), {"roof": 4}, earlier_grants=False)
    assert (anew.clearances["roof"].version, anew.clearances["roof"].accepts) == (5, 5)


def test_the_effect_names_who_loses_first_and_who_gains() -> None:
    reads_ladders = Evidence(1, (ReadingEvidence("ladders", 2, ON),), grants=(grant("ground"),))
    reads_ice = Evidence(2, (ReadingEvidence("ice", 1, ON),), grants=(grant("ground"),))
    ready = Evidence(3, (ReadingEvidence("ice", 1, ON),))
    crew = {3: ready, 2: reads_ice, 1: reads_ladders, 4: Evidence(4)}
    after = changing.changed(RULES, made("ground", LessonRequirement("ice")), {}, earlier_grants=True)
    found = effects(crew, ON, RULES, after)
    assert [(one.kind, one.person_id, one.after and one.after.state) for one in found] == [
        ("loses", 1, "lapsed"),
        ("gains", 2, "cleared"),
        ("else", 3, "ready to grant"),
    ]
    gone = effects(crew, ON, rules(GROUND), changing.withdrawn(rules(GROUND), "ground"))
    assert [(one.kind, one.person_id, one.after, one.name.en) for one in gone] == [
        ("loses", 1, None, "Ground"),
        ("else", 2, None, "Ground"),
    ]
