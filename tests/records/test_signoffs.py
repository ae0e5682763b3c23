"""Practical sign-offs with the shop's real tasks: measured values, contradictions, never by oneself."""

from __future__ import annotations

from typing import Any

import pytest

from trainer.calc import DEFAULT_SHOP
from trainer.clearance import Measure, Task, load_tasks
from trainer.errors import NotAllowed, Refusal, Unreadable
from trainer.languages import Text
from trainer.paths import content_dir
from trainer.records import people, queries, signoffs
from trainer.records.signoffs import check_measure, check_measures


@pytest.fixture(scope="module")
def tasks() -> dict[str, Task]:
    return load_tasks(content_dir("question_bank") / "tasks.toml")


def measure(**more: Any) -> Measure:
    return Measure("m", "in", Text(en="a measure", es="una medida"), **more)


@pytest.mark.parametrize(
    ("held", "typed", "ok"),
    [
        ({"against": "overhang", "at_least": True}, "2 in", True),  # the shop standard asks for 2 in
        ({"against": "overhang", "at_least": True}, "1 15/16 in", False),
        ({"against": "overhang", "at_most": True}, "2 in", True),
        ({"against": "overhang", "at_most": True}, "2 1/16", False),
        ({"against": "overhang", "within": 0.125}, "2 1/8 in", True),
        ({"against": "overhang", "within": 0.125}, "2 3/16 in", False),
        ({"within": 0.125}, "1/8", True),
        ({"within": 0.125}, "3/16", False),
        ({}, "7 1/2", None),
    ],
)
def test_a_measure_is_held_against_the_standard(held: dict[str, Any], typed: str, ok: bool | None) -> None:
    found = check_measure(measure(**held), typed, DEFAULT_SHOP)
    assert found.ok is ok
    assert (found.verdict is None) is (ok is None)
    assert found.typed == typed


@pytest.mark.parametrize(
    ("held", "typed", "en", "es"),
    [
        (
            {"against": "overhang", "at_least": True},
            "1 3/4 in",
            "The shop standard is at least 2 in: short by 1/4 in.",
            "El estándar del taller es de al menos 2 in: por debajo en 1/4 in.",
        ),
        (
            {"against": "overhang", "at_least": True},
            "2 in",
            "The shop standard is at least 2 in: met.",
            "El estándar del taller es de al menos 2 in: se cumple.",
        ),
        (
            {"against": "overhang", "at_most": True},
            "2 1/2 in",
            "The shop standard is at most 2 in: over by 1/2 in.",
            "El estándar del taller es de 2 in como máximo: por encima en 1/2 in.",
        ),
        (
            {"against": "overhang", "within": 0.125},
            "2 1/4 in",
            "The shop standard is 2 in, give or take 1/8 in: over by 1/4 in.",
            "El estándar del taller es 2 in, con 1/8 in de tolerancia: por encima en 1/4 in.",
        ),
        (
            {"within": 0.125},
            "3/16 in",
            "At most 1/8 in is taken: over by 1/16 in.",
            "Se acepta 1/8 in como máximo: por encima en 1/16 in.",
        ),
        (
            # Rounded to a sixteenth it would be short by nothing.
            {"against": "overhang", "at_least": True},
            "1.99 in",
            "The shop standard is at least 2 in: short by 0.01 in.",
            "El estándar del taller es de al menos 2 in: por debajo en 0.01 in.",
        ),
    ],
)
def test_the_verdict_says_what_is_asked_and_how_far_off_it_is(
    held: dict[str, Any], typed: str, en: str, es: str
) -> None:
    found = check_measure(measure(**held), typed, DEFAULT_SHOP)
    assert found.verdict == Text(en=en, es=es)


def test_a_measure_is_read_as_the_trade_writes_it() -> None:
    found = check_measure(measure(), "3 ft 6 1/2 in", DEFAULT_SHOP)
    assert (found.value, found.shown) == (42.5, "3 ft 6 1/2 in")
    with pytest.raises(Unreadable):
        check_measure(measure(), "a hand", DEFAULT_SHOP)


@pytest.mark.parametrize(
    ("setback", "ok"), [("4 ft", True), ("4 ft 3 in", True), ("4 ft 4 in", False), ("3 ft 8 in", False)]
)
def test_a_ladder_stands_out_a_quarter_of_its_working_length(
    tasks: dict[str, Task], setback: str, ok: bool
) -> None:
    # 29 CFR 1926.1053(b)(5)(i): a quarter of the working length. A ladder of 16 ft set out 4 ft reaches
    # sqrt(16² - 4²) = 15.492 ft, which is 15 ft 5 29/32 in.
    typed = {"support_height": "15 ft 5 29/32 in", "setback": setback}
    found = check_measures(tasks["set-ladder"], typed, DEFAULT_SHOP)
    assert found["support_height"].ok is None
    assert found["setback"].ok is ok


def test_a_measure_that_waits_for_another_is_not_judged(tasks: dict[str, Task]) -> None:
    found = check_measures(tasks["set-ladder"], {"setback": "4 ft", "support_height": " "}, DEFAULT_SHOP)
    assert set(found) == {"setback"} and found["setback"].ok is None
    with pytest.raises(Refusal, match="no measure 'height'"):
        check_measures(tasks["set-ladder"], {"height": "4 ft"}, DEFAULT_SHOP)


@pytest.fixture
def form(tasks: dict[str, Task]) -> dict[str, Any]:
    task = tasks["build-form"]
    typed = {"overhang": "2 1/4 in", "edge_thickness": "4 in", "diagonal_difference": "1/16 in"}
    return {
        "task": task,
        "passed": True,
        "criteria": [True] * len(task.criteria),
        "measures": check_measures(task, typed, DEFAULT_SHOP),
        "notes": " square ",
        "token": "form",
    }


def record(shop: Any, by: Any, who: Any, form: dict[str, Any]) -> int:
    with shop.store.write() as session:
        return signoffs.record(session, by, shop.now, person_id=who.id, **form)


def test_a_sign_off_is_kept_with_what_was_measured(shop: Any, shop_people: Any, form: dict[str, Any]) -> None:
    number = record(shop, shop_people.trainer, shop_people.apprentice, form)
    assert record(shop, shop_people.trainer, shop_people.apprentice, form) == number
    with shop.store.read() as session:
        found = queries.sign_off(session, shop_people.apprentice, number)
    assert (found.person, found.observer, found.passed, found.notes) == (
        "Ana Abel",
        "Theo Tran",
        True,
        "square",
    )
    assert found.measures == form["measures"]
    assert (found.task, found.version, found.at) == ("build-form", form["task"].version, shop.now)


def test_what_contradicts_a_pass_is_refused(
    shop: Any, shop_people: Any, form: dict[str, Any], tasks: dict[str, Task]
) -> None:
    thin = check_measures(tasks["build-form"], {"edge_thickness": "3 in"}, DEFAULT_SHOP)
    contradictions: list[dict[str, Any]] = [
        {"criteria": [False, *form["criteria"][1:]]},
        {"fails": [0]},
        {"measures": {**form["measures"], **thin}},
        {"measures": {}},
    ]
    for change in contradictions:
        with pytest.raises(Refusal, match="cannot count as passed"):
            signoffs.check(
                form["task"],
                **{name: {**form, **change}[name] for name in ("passed", "criteria", "measures")},
                fails=change.get("fails", ()),
            )
        with pytest.raises(Refusal, match="cannot count as passed"):
            record(shop, shop_people.trainer, shop_people.apprentice, {**form, **change})
        assert record(
            shop,
            shop_people.trainer,
            shop_people.apprentice,
            {**form, **change, "passed": False, "token": str(change)},
        )


def test_what_does_not_fit_the_task_is_refused(shop: Any, shop_people: Any, form: dict[str, Any]) -> None:
    for change in (
        {"criteria": [True]},
        {"fails": [99]},
        {"measures": {"height": form["measures"]["overhang"]}},
    ):
        with pytest.raises(Refusal, match="does not fit the task"):
            record(shop, shop_people.trainer, shop_people.apprentice, {**form, **change, "passed": False})


def test_never_by_oneself_by_an_apprentice_or_of_the_deactivated(
    shop: Any, shop_people: Any, form: dict[str, Any]
) -> None:
    for by, who in (
        (shop_people.trainer, shop_people.trainer),
        (shop_people.owner, shop_people.owner),
        (shop_people.other, shop_people.apprentice),
    ):
        with pytest.raises(NotAllowed):
            record(shop, by, who, form)
    with shop.store.write() as session:
        people.deactivate(session, shop_people.owner, shop.now, shop_people.other.id)
    with pytest.raises(Refusal, match="deactivated"):
        record(shop, shop_people.trainer, shop_people.other, form)


def test_a_sign_off_is_shown_to_its_person_and_to_reviewers_only(
    shop: Any, shop_people: Any, form: dict[str, Any]
) -> None:
    number = record(shop, shop_people.trainer, shop_people.apprentice, form)
    with shop.store.read() as session:
        assert queries.sign_off(session, shop_people.owner, number).id == number
        with pytest.raises(NotAllowed):
            queries.sign_off(session, shop_people.other, number)


def test_everyones_sign_offs_are_listed_newest_first_to_reviewers_only(
    shop: Any, shop_people: Any, form: dict[str, Any], count_statements: Any
) -> None:
    numbers = [
        record(shop, shop_people.trainer, who, {**form, "token": who.name})
        for who in (shop_people.apprentice, shop_people.other, shop_people.owner)
    ]
    with shop.store.read() as session, count_statements(shop.store) as statements:
        listing = queries.sign_offs(session, shop_people.owner, 1, 2)
    assert [row.id for row in listing.items] == numbers[:0:-1]
    assert (listing.pages, listing.total) == (2, 3) and len(statements) == 3  # the photographs are one
    with shop.store.read() as session, pytest.raises(NotAllowed):
        queries.sign_offs(session, shop_people.apprentice)
