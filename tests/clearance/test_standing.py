"""standing() case by case: what counts, until when, and what counts against."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from trainer.clearance import (
    AbsenceEvidence,
    AcceptanceEvidence,
    AnswerEvidence,
    CertificateEvidence,
    CertificateKind,
    CertificateRequirement,
    Clearance,
    ClearanceRequirement,
    Evidence,
    GradeChangeEvidence,
    GrantEvidence,
    LessonRef,
    LessonRequirement,
    PaperEvidence,
    QuizRequirement,
    ReadingEvidence,
    Requirement,
    Rules,
    SignOffEvidence,
    SignOffRequirement,
    SuspensionEvidence,
    Task,
    changes,
    standing,
)
from trainer.languages import Text

ME, TRAINER, OWNER = 1, 2, 3
ON = date(2026, 11, 25)
DAY = timedelta(days=1)


def both(text: str) -> Text:
    return Text(en=text, es=text)


def rules_for(
    *requires: Requirement, version: int = 1, accepts: int = 1, must_pass: frozenset[str] = frozenset()
) -> Rules:
    one = Clearance("roof", version, accepts, both("Roof"), both("Roofs."), requires)
    task = Task("set-ladder", 3, 2, both("Set a ladder"), (both("Ties off."),), (), None, ())
    return Rules(
        {"roof": one},
        {"set-ladder": task},
        {"ladders": LessonRef("ladders", 4, both("Ladders"))},
        {},
        must_pass,
        {
            "first aid": CertificateKind("first aid", both("First aid"), both("First aid."), endless=True),
            "rigging": CertificateKind("rigging", both("Rigging"), both("Rigging."), months=60),
        },
    )


def paper(
    credits: tuple[float, ...] = (1.0, 1.0),
    on: date | None = ON,
    assigned_by: int | None = TRAINER,
    **more: Any,
) -> PaperEvidence:
    answers = tuple(
        AnswerEvidence(("slope",), False, credit, credit >= 1.0) for n, credit in enumerate(credits)
    )
    return PaperEvidence(1, "Slopes", assigned_by, on, more.get("answers", answers))


def sign_off(number: int = 1, on: date | None = ON, **more: Any) -> SignOffEvidence:
    plain: dict[str, Any] = {
        "version": 3,
        "observer_id": TRAINER,
        "observer": "Theo",
        "passed": True,
        "sound": True,
    }
    return SignOffEvidence(id=number, task="set-ladder", on=on, **{**plain, **more})


def grant(**more: Any) -> GrantEvidence:
    plain: dict[str, Any] = {
        "id": 1,
        "clearance": "roof",
        "version": 1,
        "by_id": OWNER,
        "by": "Olive",
        "since": ON,
        "until": None,
    }
    return GrantEvidence(**{**plain, **more})


def is_met(need: Requirement, on: date = ON, **evidence: Any) -> bool:
    found = standing(ME, "roof", Evidence(ME, **evidence), on, rules_for(need))
    assert found.requirements_met == found.lines[0].met
    return found.lines[0].met


LESSON = LessonRequirement("ladders")
QUIZ = QuizRequirement(("slope",), 80, 365)
SIGN_OFF = SignOffRequirement("set-ladder", 1, 365)


# Lessons -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("need", "version", "on", "expected"),
    [
        (LESSON, 4, ON, True),
        (LESSON, 3, ON, False),  # an older version than the present one
        (LESSON, 5, ON, False),  # a version that does not exist
        (LessonRequirement("ladders", version=3), 3, ON, True),  # an older version that is still accepted
        (LessonRequirement("ladders", version=3), 2, ON, False),
        (LESSON, 4, ON + DAY, False),  # read tomorrow
        (LESSON, 4, None, False),  # a day that could not be read
        (LessonRequirement("nothing"), 4, ON, False),
    ],
)
def test_lesson(need: LessonRequirement, version: int, on: date | None, expected: bool) -> None:
    assert is_met(need, readings=(ReadingEvidence(need.lesson, version, on),)) is expected


def test_lesson_read_again_in_its_new_version_counts() -> None:
    readings = (ReadingEvidence("ladders", 3, ON - DAY), ReadingEvidence("ladders", 4, ON))
    assert is_met(LESSON, readings=readings)


def acceptance(**more: Any) -> AcceptanceEvidence:
    """Version 2 and newer of "ladders" accepted for the present version 4 from ON - 5 days."""
    plain: dict[str, Any] = {"version": 2, "present": 4, "by_id": TRAINER, "since": ON - 5 * DAY}
    return AcceptanceEvidence("ladders", **{**plain, **more})


@pytest.mark.parametrize(
    ("accepted", "version", "expected"),
    [
        (acceptance(), 2, True),
        (acceptance(), 3, True),  # newer than the oldest that is accepted
        (acceptance(), 1, False),  # older still
        (acceptance(present=3), 2, False),  # in place of an earlier present version: the lesson changed again
        (acceptance(since=ON), 2, True),  # from the day it was made
        (acceptance(since=ON + DAY), 2, False),  # made tomorrow
        (acceptance(since=None), 2, False),
        (acceptance(by_id=ME), 2, False),  # by oneself
        (acceptance(by_id=None), 2, False),
        (acceptance(ended=True, ended_on=ON + DAY), 2, True),  # taken back tomorrow
        (acceptance(ended=True, ended_on=ON), 2, False),
        (acceptance(ended=True), 2, False),  # taken back on a day that cannot be read
    ],
)
def test_an_older_version_that_a_trainer_accepted(
    accepted: AcceptanceEvidence, version: int, expected: bool
) -> None:
    readings = (ReadingEvidence("ladders", version, ON - 30 * DAY),)
    assert is_met(LESSON, readings=readings, acceptances=(accepted,)) is expected
    assert not is_met(LESSON, readings=readings, acceptances=(replace(accepted, lesson="crowns"),))
    assert not is_met(LESSON, acceptances=(accepted,)), "it accepts readings; it is none"


def test_an_acceptance_never_changes_what_stood_on_an_earlier_day() -> None:
    """Accepted, taken back, accepted again: each day is answered by what held on it."""
    readings = (ReadingEvidence("ladders", 3, ON - 30 * DAY),)
    first = acceptance(since=ON - 9 * DAY, ended=True, ended_on=ON - 5 * DAY)
    held = (first, acceptance(since=ON - 2 * DAY))
    days = [is_met(LESSON, ON - n * DAY, readings=readings, acceptances=held) for n in range(12, -1, -1)]
    assert days == [False] * 3 + [True] * 4 + [False] * 3 + [True] * 3
    for known in ((), (first,)):
        day = ON - 10 * DAY if not known else ON - 3 * DAY
        assert is_met(LESSON, day, readings=readings, acceptances=known) is is_met(
            LESSON, day, readings=readings, acceptances=held
        )


def test_what_an_acceptance_would_change_is_said_by_clearance() -> None:
    readings = (ReadingEvidence("ladders", 3, ON - 30 * DAY),)
    now, then = (
        Evidence(ME, readings, grants=(grant(since=ON - DAY),), acceptances=held)
        for held in ((), (acceptance(),))
    )
    (change,) = changes(now, then, ON, rules_for(LESSON))
    assert (change.before.state, change.after.state) == ("lapsed", "cleared")
    assert "Version 3, accepted, read on" in change.after.lines[0].reason.en
    assert changes(now, now, ON, rules_for(LESSON)) == ()
    assert changes(now, then, ON - 6 * DAY, rules_for(LESSON)) == ()


# Quizzes -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("credits", "expected"),
    [((1.0,) * 4 + (0.0,), True), ((1.0,) * 3 + (0.0,), False), ((0.8,) * 5, True), ((), False)],
    ids=["80 of 80", "75 of 80", "part credits", "no questions"],
)
def test_quiz_score(credits: tuple[float, ...], expected: bool) -> None:
    assert is_met(QUIZ, papers=(paper(credits),)) is expected


def test_quiz_counts_to_its_last_day_and_not_beyond() -> None:
    handed_in = ON - timedelta(days=365)
    assert is_met(QUIZ, papers=(paper(on=handed_in),))
    assert not is_met(QUIZ, papers=(paper(on=handed_in - DAY),))


def test_quiz_over_a_leap_day() -> None:
    # 2028 is a leap year: 365 days from 1 March 2027 end on 29 February 2028.
    papers = (paper(on=date(2027, 3, 1)),)
    assert is_met(QUIZ, on=date(2028, 2, 29), papers=papers)
    assert not is_met(QUIZ, on=date(2028, 3, 1), papers=papers)


@pytest.mark.parametrize(
    "other",
    [paper(on=ON + DAY), paper(answers=(AnswerEvidence(("other",), False, 1.0, True),))],
    ids=["tomorrow", "other skill"],
)
def test_a_paper_that_says_nothing_of_it_yet(other: PaperEvidence) -> None:
    assert not is_met(QUIZ, papers=(other,))
    assert is_met(QUIZ, papers=(other, paper()))


@pytest.mark.parametrize(
    "bad",
    [
        {"on": None},
        {"assigned_by": ME},
        {"assigned_by": None},
        {"credits": (1.0, float("nan"))},
        {"credits": (1.0, 2.0)},
        {"credits": (1.0, 0.0)},
        {"answers": (AnswerEvidence(("slope",), True, 0.0, False),)},
        {"answers": (AnswerEvidence(("slope",), False, 1.0, True, (GradeChangeEvidence(ON, 1.0, ME),)),)},
        {"answers": (AnswerEvidence(("slope",), False, 1.0, True, (GradeChangeEvidence(None, 1.0, 2),)),)},
    ],
    ids=[
        "no day",
        "assigned by oneself",
        "by nobody",
        "not a number",
        "over 1",
        "failed",
        "must-pass wrong",
        "graded by oneself",
        "change without a day",
    ],
)
def test_a_newer_paper_that_does_not_count_takes_the_place_of_an_older_one(bad: dict[str, Any]) -> None:
    """Only the newest paper is judged, whatever is wrong with it."""
    newest = paper(**bad)
    assert not is_met(QUIZ, papers=(newest,))
    assert is_met(QUIZ, papers=(paper(on=ON - DAY),))
    assert not is_met(QUIZ, papers=(paper(on=ON - DAY), newest))
    if bad.get("on", ON) is not None:
        assert is_met(QUIZ, on=ON - DAY, papers=(paper(on=ON - DAY), newest))  # not yet handed in
        assert is_met(QUIZ, on=ON + DAY, papers=(newest, paper(on=ON + DAY)))  # passed again


def test_a_newer_paper_on_other_skills_changes_nothing() -> None:
    failed = AnswerEvidence(("other",), True, 0.0, False)
    assert is_met(QUIZ, papers=(paper(on=ON - DAY), paper(answers=(failed,))))


MORNING, NOON = (datetime(2026, 11, 25, hour, tzinfo=UTC) for hour in (8, 12))


@pytest.mark.parametrize(
    ("failed_at", "passed_at", "expected"),
    [
        (MORNING, NOON, True),
        (NOON, MORNING, False),
        (NOON, NOON, False),
        (None, NOON, False),
        (NOON, None, False),
        (None, None, False),
    ],
)
def test_two_papers_of_one_day_are_judged_by_the_moment_of_hand_in(
    failed_at: datetime | None, passed_at: datetime | None, expected: bool
) -> None:
    """What cannot be put in order counts against."""
    passed, failed = paper()._replace(moment=passed_at), paper((0.0,))._replace(moment=failed_at)
    assert is_met(QUIZ, papers=(passed, failed)) is expected
    assert is_met(QUIZ, papers=(failed, passed)) is expected


def test_the_newest_paper_in_date_that_failed_is_the_reason_given() -> None:
    found = standing(
        ME, "roof", Evidence(ME, papers=(paper(on=ON - DAY), paper((0.0,)))), ON, rules_for(QUIZ)
    )
    assert found.lines[0].reason.en == "0 % on 25 Nov 2026; 80 % is needed."


def asked(*skills: str, must: bool, chosen: bool = False) -> AnswerEvidence:
    return AnswerEvidence(skills, must, 1.0, True, chosen=chosen)


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ((asked("slope", must=False), asked("ladder", must=False)), False),
        ((asked("slope", must=True), asked("ladder", must=False)), False),
        ((asked("slope", must=True), asked("ladder", must=True)), True),
        ((asked("slope", "ladder", must=True),), True),
        ((asked("slope", "ladder", must=False), asked("other", must=True)), False),
        ((asked("slope", must=True), asked("ladder", must=True, chosen=True)), False),
    ],
    ids=["none", "of one skill", "of both", "one for both", "of another skill", "of a trainer's choice"],
)
def test_the_paper_must_ask_a_must_pass_question_of_every_skill_that_has_one(
    answers: tuple[AnswerEvidence, ...], expected: bool
) -> None:
    need = QuizRequirement(("slope", "ladder"), 80)
    rules = rules_for(need, must_pass=frozenset({"slope", "ladder"}))
    evidence = Evidence(ME, papers=(paper(answers=answers),))
    found = standing(ME, "roof", evidence, ON, rules)
    assert found.requirements_met is expected
    if not expected:
        assert "asked no must-pass question on" in found.lines[0].reason.en
    # A skill without any in the bank cannot be asked for.
    assert standing(ME, "roof", evidence, ON, rules_for(need)).requirements_met


def test_all_skills_must_be_on_one_paper() -> None:
    need = QuizRequirement(("slope", "ladder"), 80)
    ladder = AnswerEvidence(("ladder",), False, 1.0, True)
    slope = AnswerEvidence(("slope",), False, 1.0, True)
    assert not is_met(need, papers=(paper(answers=(ladder,)), paper(answers=(slope,))))
    assert is_met(need, papers=(paper(answers=(ladder, slope)),))


def test_strong_answers_on_another_skill_do_not_carry_weak_ones() -> None:
    others = tuple(AnswerEvidence(("other",), False, 1.0, True) for n in range(9))
    weak = AnswerEvidence(("slope",), False, 0.0, False)
    assert not is_met(QUIZ, papers=(paper(answers=(*others, weak)),))


def test_a_wrong_must_pass_question_counts_against_at_any_score() -> None:
    right = tuple(AnswerEvidence(("slope",), False, 1.0, True) for n in range(9))
    assert is_met(QUIZ, papers=(paper(answers=(*right, AnswerEvidence(("slope",), True, 1.0, True))),))
    assert not is_met(QUIZ, papers=(paper(answers=(*right, AnswerEvidence(("slope",), True, 0.9, False))),))


def test_a_changed_grade_counts_from_its_day() -> None:
    changed = AnswerEvidence(("slope",), True, 0.0, False, (GradeChangeEvidence(ON, 1.0, TRAINER),))
    papers = (paper(on=ON - 5 * DAY, answers=(changed,)),)
    assert not is_met(QUIZ, on=ON - DAY, papers=papers)
    assert is_met(QUIZ, on=ON, papers=papers)


# Sign-offs -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "bad",
    [
        sign_off(observer_id=ME),
        sign_off(observer_id=None),
        sign_off(passed=False),
        sign_off(sound=False),
        sign_off(on=ON + DAY),
        sign_off(on=None),
        sign_off(on=ON - timedelta(days=366)),
        sign_off(version=1),
        sign_off(version=4),
    ],
    ids=[
        "by oneself",
        "by nobody",
        "failed",
        "contradicts itself",
        "tomorrow",
        "no day",
        "ran out",
        "old",
        "unknown",
    ],
)
def test_sign_off_that_does_not_count(bad: SignOffEvidence) -> None:
    assert not is_met(SIGN_OFF, sign_offs=(bad,))


def test_sign_off_of_an_accepted_older_version_counts() -> None:
    assert is_met(SIGN_OFF, sign_offs=(sign_off(version=2),))


def test_a_failed_task_must_be_passed_again() -> None:
    passed, failed = sign_off(1, ON - 9 * DAY), sign_off(2, ON - 5 * DAY, passed=False)
    assert is_met(SIGN_OFF, sign_offs=(passed,))
    assert not is_met(SIGN_OFF, sign_offs=(passed, failed))
    assert is_met(SIGN_OFF, sign_offs=(passed, failed, sign_off(3, ON)))
    assert is_met(SIGN_OFF, on=ON - 6 * DAY, sign_offs=(passed, failed))


def test_times_needs_that_many_different_sign_offs() -> None:
    need = SignOffRequirement("set-ladder", 2, 365)
    first = sign_off(1, ON - 100 * DAY)
    assert not is_met(need, sign_offs=(first, first))
    found = standing(ME, "roof", Evidence(ME, sign_offs=(first, sign_off(2))), ON, rules_for(need))
    assert found.requirements_met
    assert found.until == first.on + timedelta(days=365)  # type: ignore[operator]


# Certificates --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("issued", "expires", "never", "expected"),
    [
        (ON, ON, False, True),
        (ON - 9 * DAY, ON - DAY, False, False),
        (ON + DAY, ON + 9 * DAY, False, False),
        (ON, None, False, False),
        (ON, None, True, True),
        (ON, ON + DAY, True, False),
        (None, ON, False, False),
        (ON, ON - DAY, False, False),
    ],
    ids=[
        "ends today",
        "ran out",
        "tomorrow",
        "no end known",
        "endless",
        "both",
        "no start",
        "ends before it starts",
    ],
)
def test_certificate(issued: date | None, expires: date | None, never: bool, expected: bool) -> None:
    held = certificate(issued, expires, never_expires=never)
    assert is_met(CertificateRequirement("first aid"), certificates=(held,)) is expected
    assert not is_met(CertificateRequirement("rigging"), certificates=(held,))


FIRST_AID = CertificateRequirement("first aid")


def certificate(
    issued: date | None = ON - 9 * DAY, expires: date | None = ON + 9 * DAY, **more: Any
) -> CertificateEvidence:
    entered = {"entered_on": ON - 9 * DAY, "entered_by_id": TRAINER}
    return CertificateEvidence(
        **{**entered, "id": 1, "kind": "first aid", "issuer": "a college", **more},
        issued=issued,
        expires=expires,
    )


def test_a_kind_that_must_run_out_does_not_count_without_a_last_day() -> None:
    held = certificate(expires=None, never_expires=True, kind="rigging")
    assert not is_met(CertificateRequirement("rigging"), certificates=(held,))
    assert is_met(CertificateRequirement("rigging"), certificates=(certificate(kind="rigging"),))


def test_a_kind_that_is_not_known_is_never_met() -> None:
    assert not is_met(CertificateRequirement("gone"), certificates=(certificate(kind="gone"),))


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"entered_on": ON + DAY}, "None on record."),
        ({"entered_on": None}, "None on record."),
        ({"entered_by_id": ME}, "One entered by oneself does not count."),
        ({"entered_by_id": None}, "One entered by oneself does not count."),
        ({"withdrawn": True, "withdrawn_on": ON}, "It was withdrawn."),
        ({"withdrawn": True, "withdrawn_on": None}, "It was withdrawn."),
        ({"withdrawn": True, "withdrawn_on": ON + DAY}, None),
        ({}, None),
    ],
)
def test_who_put_a_certificate_on_record_and_whether_it_was_withdrawn(
    more: dict[str, Any], why: str | None
) -> None:
    found = standing(ME, "roof", Evidence(ME, certificates=(certificate(**more),)), ON, rules_for(FIRST_AID))
    assert found.requirements_met is (why is None)
    assert why is None or found.lines[0].reason.en == why


def test_a_certificate_put_on_record_late_or_withdrawn_changes_no_earlier_day() -> None:
    held = certificate(ON - 90 * DAY, ON + 90 * DAY, entered_on=ON - 5 * DAY, withdrawn=True, withdrawn_on=ON)
    met = [is_met(FIRST_AID, on=ON + n * DAY, certificates=(held,)) for n in range(-7, 3)]
    assert met == [False, False, True, True, True, True, True, False, False, False]


def test_the_clearance_ends_with_the_certificate_and_a_newer_one_carries_on() -> None:
    older, newer = certificate(), certificate(ON, ON + 30 * DAY, id=2, entered_on=ON)
    found = standing(ME, "roof", Evidence(ME, certificates=(older,)), ON, rules_for(FIRST_AID))
    assert found.until == ON + 9 * DAY and "good through 4 Dec 2026" in found.lines[0].reason.en
    later = standing(ME, "roof", Evidence(ME, certificates=(older, newer)), ON, rules_for(FIRST_AID))
    assert later.until == ON + 30 * DAY


@pytest.mark.parametrize(
    ("issued", "expires", "on", "good"),
    [
        # Two years from a leap day: the paper's own date governs, here the 28th.
        (date(2024, 2, 29), date(2026, 2, 28), date(2026, 2, 28), True),
        (date(2024, 2, 29), date(2026, 2, 28), date(2026, 3, 1), False),
        (date(2026, 3, 1), date(2028, 2, 29), date(2028, 2, 29), True),
        (date(2026, 3, 1), date(2028, 2, 29), date(2028, 3, 1), False),
    ],
)
def test_a_certificate_on_a_leap_day(issued: date, expires: date, on: date, good: bool) -> None:
    held = certificate(issued, expires, entered_on=issued)
    assert is_met(FIRST_AID, on=on, certificates=(held,)) is good


# Grants, suspensions, other clearances -------------------------------------------------------------------------

READ = (ReadingEvidence("ladders", 4, ON - 10 * DAY),)


def test_requirements_met_is_not_yet_cleared() -> None:
    found = standing(ME, "roof", Evidence(ME, READ), ON, rules_for(LESSON))
    assert (found.cleared, found.state, found.requirements_met) == (False, "ready to grant", True)
    assert [reason.en for reason in found.reasons] == ["No owner's grant is in force."]


@pytest.mark.parametrize(
    ("held", "cleared", "state"),
    [
        (grant(), True, "cleared"),
        (grant(until=ON), True, "cleared"),
        (grant(since=ON - 9 * DAY, until=ON - DAY), False, "ready to grant"),
        (grant(since=ON + DAY), False, "ready to grant"),
        (grant(since=None), False, "ready to grant"),
        (grant(by_id=ME), False, "ready to grant"),
        (grant(by_id=None), False, "ready to grant"),
        (grant(version=2), False, "ready to grant"),
        (grant(clearance="other"), False, "ready to grant"),
    ],
    ids=[
        "endless",
        "ends today",
        "ended",
        "tomorrow",
        "no day",
        "by oneself",
        "by nobody",
        "version",
        "another",
    ],
)
def test_grant(held: GrantEvidence, cleared: bool, state: str) -> None:
    found = standing(ME, "roof", Evidence(ME, READ, grants=(held,)), ON, rules_for(LESSON))
    assert (found.cleared, found.state) == (cleared, state)


def test_a_grant_of_a_withdrawn_version_does_not_hold() -> None:
    evidence = Evidence(ME, READ, grants=(grant(),))
    assert standing(ME, "roof", evidence, ON, rules_for(LESSON, version=2, accepts=1)).cleared
    assert not standing(ME, "roof", evidence, ON, rules_for(LESSON, version=2, accepts=2)).cleared


def test_a_grant_does_not_outlive_its_requirements() -> None:
    rules = rules_for(QUIZ)
    evidence = Evidence(ME, papers=(paper(),), grants=(grant(),))
    last = ON + timedelta(days=365)
    found = standing(ME, "roof", evidence, ON, rules)
    assert (found.until, found.ends) == (last, last + DAY)
    assert standing(ME, "roof", evidence, last, rules).cleared
    after = standing(ME, "roof", evidence, last + DAY, rules)
    assert (after.cleared, after.state) == (False, "lapsed")


@pytest.mark.parametrize(
    ("change", "suspended"),
    [
        ({}, True),
        ({"since": ON + DAY}, False),
        ({"since": None}, True),
        ({"clearance": "other"}, False),
        ({"lifted_by_id": OWNER, "lifted_on": ON}, False),
        ({"lifted_by_id": OWNER, "lifted_on": ON + DAY}, True),
        ({"lifted_by_id": ME, "lifted_on": ON}, True),
        ({"lifted_by_id": None, "lifted_on": ON}, True),
        ({"lifted_by_id": OWNER, "lifted_on": ON - 2 * DAY}, True),
    ],
    ids=[
        "open",
        "tomorrow",
        "no day",
        "another",
        "lifted",
        "lifted tomorrow",
        "by oneself",
        "by nobody",
        "before",
    ],
)
def test_suspension(change: dict[str, Any], suspended: bool) -> None:
    held = replace(SuspensionEvidence(1, "roof", "Theo", ON - DAY, "near miss"), **change)
    evidence = Evidence(ME, READ, grants=(grant(),), suspensions=(held,))
    found = standing(ME, "roof", evidence, ON, rules_for(LESSON))
    assert found.cleared is not suspended
    assert (found.state == "suspended") is suspended


def test_a_deactivated_person_is_not_cleared_from_that_day() -> None:
    evidence = Evidence(ME, READ, grants=(grant(since=ON - 9 * DAY),), absences=(AbsenceEvidence(ON),))
    assert standing(ME, "roof", evidence, ON - DAY, rules_for(LESSON)).cleared
    found = standing(ME, "roof", evidence, ON, rules_for(LESSON))
    assert (found.cleared, found.state) == (False, "lapsed")


@pytest.mark.parametrize(
    ("absence", "since", "moment", "cleared"),
    [
        (AbsenceEvidence(ON - 5 * DAY, ON - 3 * DAY), ON - 9 * DAY, None, False),
        (AbsenceEvidence(ON - 5 * DAY, ON - 3 * DAY), ON - 4 * DAY, None, False),
        (AbsenceEvidence(ON - 5 * DAY, ON - 3 * DAY), ON - 2 * DAY, None, True),
        (AbsenceEvidence(ON - 5 * DAY, ON, NOON), ON, MORNING, False),
        (AbsenceEvidence(ON - 5 * DAY, ON, MORNING), ON, NOON, True),
        (AbsenceEvidence(ON - 5 * DAY, ON, MORNING), ON, None, False),
        (AbsenceEvidence(ON - 5 * DAY, ON), ON, NOON, False),
        (AbsenceEvidence(ON - 5 * DAY, ON + DAY), ON - 9 * DAY, None, False),
        (AbsenceEvidence(ON + DAY), ON - 9 * DAY, None, True),
        (AbsenceEvidence(None, ON - 3 * DAY), ON - 2 * DAY, None, False),
        (AbsenceEvidence(ON - 3 * DAY, ON - 5 * DAY), ON - 2 * DAY, None, False),
    ],
    ids=[
        "granted before",
        "granted while away",
        "granted again",
        "before the return of that day",
        "after the return of that day",
        "moment of the grant not known",
        "moment of the return not known",
        "still away",
        "leaves tomorrow",
        "no day of leaving",
        "back before leaving",
    ],
)
def test_after_an_absence_it_takes_a_new_grant(
    absence: AbsenceEvidence, since: date, moment: datetime | None, cleared: bool
) -> None:
    evidence = Evidence(ME, READ, grants=(grant(since=since, moment=moment),), absences=(absence,))
    assert standing(ME, "roof", evidence, ON, rules_for(LESSON)).cleared is cleared


def test_another_clearance_must_be_granted_and_lends_its_end() -> None:
    base = rules_for(QUIZ).clearances["roof"]
    steep = Clearance("steep", 1, 1, both("Steep"), both("Steep."), (ClearanceRequirement("roof"),))
    rules = replace(rules_for(QUIZ), clearances={"steep": steep, "roof": base})
    evidence = Evidence(ME, papers=(paper(),))
    assert not standing(ME, "steep", evidence, ON, rules).requirements_met
    granted = replace(evidence, grants=(grant(until=ON + DAY),))
    found = standing(ME, "steep", granted, ON, rules)
    assert (found.requirements_met, found.until) == (True, ON + DAY)


def test_clearances_that_require_each_other_are_never_met() -> None:
    one = Clearance("one", 1, 1, both("One"), both("."), (ClearanceRequirement("two"),))
    two = Clearance("two", 1, 1, both("Two"), both("."), (ClearanceRequirement("one"),))
    grants = (grant(clearance="one"), grant(clearance="two"))
    for name in ("one", "two"):
        found = standing(
            ME,
            name,
            Evidence(ME, grants=grants),
            ON,
            Rules({"one": one, "two": two}, {}, {}, {}, frozenset()),
        )
        assert not found.cleared


@pytest.mark.parametrize(
    ("person", "clearance", "rules"),
    [(ME, "unknown", rules_for(LESSON)), (9, "roof", rules_for(LESSON)), (ME, "roof", rules_for())],
    ids=["unknown clearance", "another's evidence", "nothing required"],
)
def test_what_is_unknown_is_not_cleared(person: int, clearance: str, rules: Rules) -> None:
    evidence = Evidence(ME, READ, grants=(grant(), grant(clearance="unknown")))
    found = standing(person, clearance, evidence, ON, rules)
    assert not found.cleared
    assert found.reasons


def test_a_moment_is_no_day() -> None:
    with pytest.raises(TypeError, match="day"):
        standing(ME, "roof", Evidence(ME), datetime(2026, 11, 25), rules_for(LESSON))  # noqa: DTZ001


def test_every_line_says_why_in_both_languages() -> None:
    found = standing(ME, "roof", Evidence(ME), ON, rules_for(LESSON, QUIZ, SIGN_OFF))
    assert [line.reason.en for line in found.lines] == [
        "Not read yet.",
        "No paper on all of these handed in yet.",
        "Not signed off yet.",
    ]
    assert [line.reason.es for line in found.lines] == [
        "Aún no se ha leído.",
        "Aún no entrega un examen sobre todo esto.",
        "Aún no se ha evaluado.",
    ]


def test_what_is_shown_of_a_standing_tells_equal_ones_from_others() -> None:
    """A page carries a mark of what it showed: made anew of the same evidence it is the same."""

    def shown(credit: float) -> str:
        return repr(standing(ME, "roof", Evidence(ME, papers=(paper((credit,)),)), ON, rules_for(QUIZ)).lines)

    assert shown(0.0) == shown(0.0) != shown(1.0)
