"""What a grant rested on, read back from the copy kept with it: dates, names, and nothing that is not there."""

from __future__ import annotations

import json
from datetime import date

import pytest

from trainer.clearance.training import people_in, trainings
from trainer.languages import Text

NAMES = {2: "Theo Tran", 5: "Uma Ulrich"}


def line(need, met=True, until="2027-11-01"):
    return {
        "requirement": need,
        "met": met,
        "what": {"en": f"A {need['kind']}", "es": f"Una {need['kind']}"},
        "by_what": {"en": "x", "es": "x"},
        "until": until,
        "reason": {"en": "Because.", "es": "Porque."},
    }


def frozen(*lines, **evidence):
    return json.loads(json.dumps({"lines": lines, "evidence": evidence}))


def paper(handed_in, *skills, by=2, moment=None):
    answers = [{"question": skill, "skills": [skill]} for skill in skills]
    return {"assigned_by": by, "handed_in": handed_in, "answers": answers, "moment": moment}


def seen(id, on, passed=True, sound=True, task="harness", observer="Theo Tran"):
    return {"id": id, "task": task, "observer": observer, "passed": passed, "sound": sound, "on": on}


def only(copy):
    (one,) = trainings(copy, NAMES)
    return one


def test_a_lesson_is_dated_by_the_last_reading_of_the_newest_version():
    readings = [
        {"lesson": "roofs", "version": 2, "on": "2026-03-01"},
        {"lesson": "roofs", "version": 2, "on": "2026-03-09"},
        {"lesson": "roofs", "version": 1, "on": "2026-05-01"},
        {"lesson": "other", "version": 9, "on": "2026-06-01"},
    ]
    one = only(frozen(line({"kind": "lesson", "lesson": "roofs"}, until=None), readings=readings))
    assert (one.days, one.by, one.until) == ((date(2026, 3, 9),), (), None)
    assert (one.what, one.result) == (Text(en="A lesson", es="Una lesson"), Text(en="Because.", es="Porque."))


def test_a_quiz_is_dated_by_the_newest_paper_on_all_of_its_skills():
    papers = [
        paper("2026-10-01", "slope", "ladder"),
        paper("2026-10-05", "slope", "ladder", by=2, moment="2026-10-05T08:00:00+00:00"),
        paper("2026-10-05", "slope", "ladder", by=5, moment="2026-10-05T09:00:00+00:00"),
        paper("2026-11-01", "slope"),
        paper(None, "slope", "ladder"),
    ]
    copy = frozen(line({"kind": "quiz", "skills": ["slope", "ladder"], "score": 80}), papers=papers)
    one = only(copy)
    assert (one.days, one.by, one.until) == ((date(2026, 10, 5),), ("Uma Ulrich",), date(2027, 11, 1))
    assert people_in(copy) == {2, 5}


def test_a_sign_off_is_dated_by_every_pass_that_counted():
    sign_offs = [
        seen(1, "2026-01-01"),
        seen(2, "2026-02-01", passed=False),
        seen(3, "2026-03-01", observer="Uma Ulrich"),
        seen(4, "2026-04-01"),
        seen(5, "2026-04-02"),
        seen(6, "2026-09-01", task="other"),
    ]
    twice = only(frozen(line({"kind": "sign-off", "task": "harness", "times": 2}), sign_offs=sign_offs))
    assert twice.days == (date(2026, 4, 1), date(2026, 4, 2)) and twice.by == ("Theo Tran",)
    more = only(frozen(line({"kind": "sign-off", "task": "harness", "times": 9}), sign_offs=sign_offs))
    assert more.days == (date(2026, 3, 1), date(2026, 4, 1), date(2026, 4, 2)), "none from before the failure"
    assert more.by == ("Uma Ulrich", "Theo Tran")


def test_an_unsound_pass_counts_as_a_failure():
    sign_offs = [seen(1, "2026-01-01"), seen(2, "2026-02-01", sound=False), seen(3, "2026-03-01")]
    one = only(frozen(line({"kind": "sign-off", "task": "harness", "times": 3}), sign_offs=sign_offs))
    assert one.days == (date(2026, 3, 1),)


def test_of_certificates_the_one_that_is_good_longest_is_named():
    certificates = [
        {"kind": "aid", "issuer": "A school", "issued": "2025-01-01", "expires": "2027-01-01"},
        {"kind": "aid", "issuer": "Another", "issued": "2025-02-01", "expires": "2028-01-01"},
        {"kind": "lift", "issuer": "Third", "issued": "2026-02-01", "expires": None, "never_expires": True},
    ]
    one = only(frozen(line({"kind": "certificate", "certificate": "aid"}), certificates=certificates))
    assert (one.days, one.by) == ((date(2025, 2, 1),), ("Another",))
    endless = only(frozen(line({"kind": "certificate", "certificate": "lift"}), certificates=certificates))
    assert endless.by == ("Third",)


def test_another_clearance_is_dated_by_its_newest_grant():
    grants = [
        {"id": 1, "clearance": "ladder", "by": "Olive Ortega", "since": "2026-01-01"},
        {"id": 4, "clearance": "ladder", "by": "Nora Quist", "since": "2026-06-01"},
        {"id": 5, "clearance": "roof", "by": "Olive Ortega", "since": "2026-07-01"},
    ]
    one = only(frozen(line({"kind": "clearance", "clearance": "ladder"}), grants=grants))
    assert (one.days, one.by) == ((date(2026, 6, 1),), ("Nora Quist",))


def test_what_was_not_met_is_no_training():
    assert trainings(frozen(line({"kind": "lesson", "lesson": "roofs"}, met=False)), NAMES) == ()


@pytest.mark.parametrize(
    "copy",
    [
        {},
        None,
        "text",
        [],
        {"lines": None},
        {"lines": ["x", {}]},
        {"lines": [{"met": True}]},
        {"lines": [{"met": True, "what": {"en": "A"}}], "evidence": 3},
    ],
)
def test_a_copy_that_cannot_be_read_gives_nothing(copy):
    assert trainings(copy, NAMES) == () and people_in(copy) == frozenset()


def test_a_date_that_is_not_in_the_copy_is_not_invented():
    for need in (
        {"kind": "lesson", "lesson": "roofs"},
        {"kind": "quiz", "skills": ["slope"]},
        {"kind": "sign-off", "task": "harness", "times": 1},
        {"kind": "certificate", "certificate": "aid"},
        {"kind": "clearance", "clearance": "ladder"},
        {"kind": "of a later version"},
    ):
        one = only(
            frozen(line(need), readings=[{"lesson": "roofs", "on": "soon"}], sign_offs=[seen(1, None)])
        )
        assert (one.days, one.by) == ((), ()), need
