"""The job check: what a job needs by the stated rules, who may go, and what would change it for the others."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shipped import shipped_bank, shipped_lessons
from trainer.clearance import (
    Clearance,
    ClearanceRequirement,
    Evidence,
    GrantEvidence,
    LessonRef,
    LessonRequirement,
    ReadingEvidence,
    Rules,
    SuspensionEvidence,
    Task,
    standing,
)
from trainer.clearance.job import Job, JobRule, check_job
from trainer.clearance.job_file import load_job_rules
from trainer.errors import ContentError
from trainer.languages import Text
from trainer.lessons import shop_rules

ON = date(2026, 11, 25)


def both(text: str) -> Text:
    return Text(en=text, es=text)


def job(height: float | None = 20, rise: float | None = 3, *tasks: str) -> Job:
    return Job(ON, height, rise, frozenset(tasks))


@pytest.fixture(scope="module")
def shipped() -> tuple[Rules, tuple[JobRule, ...]]:
    rules = shop_rules(shipped_bank(), shipped_lessons())
    return rules, load_job_rules(rules)


GROUND, LADDER, LOW, STEEP = "on-the-ground", "ladder-and-staging", "low-slope-roof", "steep-roof"


# 29 CFR 1926.500(b): low-slope means 4 in 12 or less, steep means more than 4 in 12.
@pytest.mark.parametrize(
    ("asked", "needs"),
    [
        (job(0, 3), {GROUND}),
        (job(0, None), {GROUND}),
        (job(8, 3), {GROUND, LADDER, LOW}),
        (job(8, 4), {GROUND, LADDER, LOW}),
        (job(8, 4.01), {GROUND, LADDER, STEEP}),
        (job(8, None), {GROUND, LADDER, STEEP}),
        (job(8, math.nan), {GROUND, LADDER, STEEP}),
        (job(None, 3), {GROUND, LADDER, LOW}),
        (job(None, None), {GROUND, LADDER, STEEP}),
        (job(8, 3, "cut-flue"), {GROUND, LADDER, LOW, "flue-cutting"}),
        (job(0, 3, "mix-to-consistency"), {GROUND}),
        (
            job(9, 12, "tear-off-bay", "tie-mat"),
            {GROUND, LADDER, STEEP, "tear-off-and-grinding", "forms-steel-pour"},
        ),
    ],
)
def test_what_a_job_needs(shipped: tuple[Rules, tuple[JobRule, ...]], asked: Job, needs: set[str]) -> None:
    found = check_job(asked, {}, *shipped)
    assert {rule.clearance for rule in found.needs} == needs


LESSON = LessonRequirement("ladders")
SMALL = Rules(
    {
        "ground": Clearance("ground", 1, 1, both("Ground"), both("."), (LESSON,)),
        "roof": Clearance("roof", 1, 1, both("Roof"), both("."), (ClearanceRequirement("ground"),)),
    },
    {"cut": Task("cut", 1, 1, both("cut"), (both("c"),), (), None, ())},
    {"ladders": LessonRef("ladders", 1, both("Ladders"))},
    {},
    frozenset(),
)
JOB_RULES = (
    JobRule("every", "ground", both("every")),
    JobRule("up", "roof", both("up"), over_height=0),
)
READ = (ReadingEvidence("ladders", 1, ON),)


def granted(*names: str) -> tuple[GrantEvidence, ...]:
    return tuple(GrantEvidence(n, name, 1, 2, "Olive", ON, None) for n, name in enumerate(names))


NEAR_MISS = SuspensionEvidence(1, "ground", "Theo", ON, "near miss")


@pytest.mark.parametrize(
    ("evidence", "steps"),
    [
        (Evidence(1, READ, grants=granted("ground", "roof")), []),
        (Evidence(1, READ, grants=granted("ground")), ["An owner grants: Roof."]),
        (Evidence(1, READ), ["An owner grants: Ground.", "An owner grants: Roof."]),
        (Evidence(1, grants=granted("ground", "roof")), ["Lesson read: Ladders"]),
        (Evidence(1), ["Lesson read: Ladders", "An owner grants: Ground.", "An owner grants: Roof."]),
        (
            Evidence(1, READ, grants=granted("ground", "roof"), suspensions=(NEAR_MISS,)),
            ["An owner lifts the suspension: Ground."],
        ),
    ],
    ids=["may go", "one grant", "two grants", "one lesson", "everything", "suspended"],
)
def test_who_may_go_and_what_would_change_it(evidence: Evidence, steps: list[str]) -> None:
    found = check_job(job(), {1: evidence}, SMALL, JOB_RULES)
    assert found.may == ((1,) if not steps else ())
    assert [step.en for one in found.may_not for step in one.steps] == steps
    for one in found.may_not:
        assert one.missing and not any(standing.cleared for standing in one.missing)


def test_the_day_of_the_job_counts() -> None:
    crew = {1: Evidence(1, READ, grants=granted("ground", "roof"))}
    before = Job(ON - timedelta(days=1), 20, 3, frozenset())
    assert check_job(before, crew, SMALL, JOB_RULES).may == ()
    assert check_job(job(), crew, SMALL, JOB_RULES).may == (1,)


def test_whoever_is_nearest_to_going_stands_first() -> None:
    grant = GrantEvidence(1, "ground", 1, 3, "Olive", ON, None)
    crew = {1: Evidence(1), 2: Evidence(2, READ, grants=(grant,))}
    assert [one.person_id for one in check_job(job(), crew, SMALL, JOB_RULES).may_not] == [2, 1]


def test_nobody_may_go_where_no_rule_speaks_and_an_unknown_task_is_refused() -> None:
    crew = {1: Evidence(1, READ, grants=granted("ground", "roof"))}
    assert check_job(job(), crew, SMALL, ()).may == ()
    with pytest.raises(ValueError, match="no task 'moon'"):
        check_job(job(20, 3, "moon"), crew, SMALL, JOB_RULES)


@pytest.mark.parametrize(
    ("text", "line", "sentence"),
    [
        ('clearance = "moon"', 2, "no clearance 'moon'"),
        ('clearance = "roof"\ntasks = ["moon"]', 3, "no task 'moon'"),
        ('clearance = "roof"\ntasks = []', 3, "would never hold"),
        ('clearance = "roof"\nover_rise = 99\nwhy = { en = "x", es = "x" }', 3, "must be 0 to 48"),
        ('clearance = "roof"\nslope = 4', 3, "no 'slope'"),
        ('clearance = "roof"', 1, "lacks why"),
    ],
)
def test_a_mistake_in_a_rule_is_named_with_its_line(
    tmp_path: Path, text: str, line: int, sentence: str
) -> None:
    (tmp_path / "jobs.toml").write_text(f"[up]\n{text}\n", encoding="utf-8")
    with pytest.raises(ContentError) as found:
        load_job_rules(SMALL, tmp_path)
    assert sentence in found.value.sentence and found.value.line == line


def test_nobody_may_go_where_the_clearance_it_needs_is_no_longer_given() -> None:
    crew = {1: Evidence(1, READ, grants=granted("ground", "roof"))}
    found = check_job(job(), crew, SMALL, (*JOB_RULES, JobRule("old", "moon", both("old"))))
    (one,) = found.may_not
    assert found.may == () and [missing.clearance for missing in one.missing] == ["moon"]
    assert [step.en for step in one.steps] == [
        "The clearance moon is no longer given: an owner decides what takes its place."
    ]


HEIGHTS = st.one_of(st.none(), st.sampled_from([0.0, 1.0, 6.0, 20.0, math.nan]))
RISES = st.one_of(st.none(), st.sampled_from([0.0, 4.0, 4.01, 12.0, math.nan]))
CREWS = st.dictionaries(
    st.integers(1, 3),
    st.tuples(
        st.booleans(),
        st.sets(st.sampled_from(["ground", "roof", "cutting"])),
        st.booleans(),
        st.integers(0, 2),
    ),
)
MANY = Rules(
    {**SMALL.clearances, "cutting": Clearance("cutting", 1, 1, both("Cutting"), both("."), (LESSON,))},
    {**SMALL.tasks, "tie": Task("tie", 1, 1, both("tie"), (both("c"),), (), None, ())},
    SMALL.lessons,
    {},
    frozenset(),
)
MANY_RULES = (
    *JOB_RULES,
    JobRule("steep", "roof", both("steep"), over_rise=4),
    JobRule("flat", "ground", both("flat"), up_to_rise=4),
    JobRule("cutting", "cutting", both("cutting"), tasks=("cut",)),
)


def person(id: int, read: bool, grants: set[str], suspended: bool, days: int) -> Evidence:
    held = tuple(
        GrantEvidence(n, name, 1, 9, "Olive", ON - timedelta(days=1), ON + timedelta(days=days - 1))
        for n, name in enumerate(sorted(grants))
    )
    return Evidence(id, READ if read else (), grants=held, suspensions=(NEAR_MISS,) if suspended else ())


@settings(max_examples=300, deadline=None)
@given(HEIGHTS, RISES, st.sets(st.sampled_from(["cut", "tie"])), CREWS)
def test_who_may_go_holds_everything_asked_for_and_more_never_lets_more_go(
    height: float | None, rise: float | None, tasks: set[str], people: dict[int, tuple]
) -> None:
    crew = {id: person(id, *of) for id, of in people.items()}
    found = check_job(job(height, rise, *tasks), crew, MANY, MANY_RULES)
    assert sorted((*found.may, *(one.person_id for one in found.may_not))) == sorted(crew)
    for id in found.may:
        assert all(standing(id, rule.clearance, crew[id], ON, MANY).cleared for rule in found.needs)
    for one in found.may_not:
        assert one.missing and one.steps and len(set(one.steps)) == len(one.steps)
    lengths = [len(one.steps) for one in found.may_not]
    assert lengths == sorted(lengths)
    more = check_job(job(height, rise, *tasks, "cut"), crew, MANY, MANY_RULES)
    assert set(more.may) <= set(found.may)
    # A height that is not known asks for all that any height would.
    unknown = check_job(job(None, rise, *tasks), crew, MANY, MANY_RULES)
    assert set(unknown.may) <= set(found.may)
    # Less evidence never lets anyone go.
    fewer = {id: replace(of, grants=of.grants[:-1]) for id, of in crew.items()}
    assert set(check_job(job(height, rise, *tasks), fewer, MANY, MANY_RULES).may) <= set(found.may)
