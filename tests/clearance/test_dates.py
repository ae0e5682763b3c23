"""Days: the last good one, the first one after it, leap days, and what is dated ahead. Days are those of the shop's calendar."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
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
    standing,
)
from trainer.languages import Text

ME, TRAINER, OWNER = 1, 2, 3
DAY = timedelta(days=1)
TODAY = date(2026, 11, 25)
YEAR = 365  # [days]


def both(text: str) -> Text:
    return Text(en=text, es=text)


def rules(*requires: Requirement) -> Rules:
    return Rules(
        {"roof": Clearance("roof", 1, 1, both("Roof"), both("Roofs."), requires)},
        {"set": Task("set", 1, 1, both("Set"), (both("Ties."),), (), None, ())},
        {"ladders": LessonRef("ladders", 1, both("Ladders"))},
        {},
        frozenset(),
        {"first aid": CertificateKind("first aid", both("First aid"), both("First aid."), 24)},
    )


LESSON = LessonRequirement("ladders")
QUIZ = QuizRequirement(("slope",), 80, YEAR)
SIGN_OFF = SignOffRequirement("set", 1, YEAR)
CERTIFICATE = CertificateRequirement("first aid")
ANSWER = AnswerEvidence(("slope",), False, 1.0, True)


def grant(since: date, until: date | None = None) -> GrantEvidence:
    return GrantEvidence(1, "roof", 1, OWNER, "Olive", since, until)


def paper(on: date) -> PaperEvidence:
    return PaperEvidence(1, "Slopes", TRAINER, on, (ANSWER,))


def sign_off(on: date) -> SignOffEvidence:
    return SignOffEvidence(1, "set", 1, TRAINER, "Theo", True, True, on)


def certificate(issued: date, expires: date, entered: date | None = None) -> CertificateEvidence:
    return CertificateEvidence(
        1, "first aid", "a college", issued, expires, entered_on=entered or issued, entered_by_id=TRAINER
    )


def cleared(need: Requirement, on: date, **evidence: Any) -> bool:
    if "grants" not in evidence:
        evidence["grants"] = (grant(on - 2000 * DAY),)
    return standing(ME, "roof", Evidence(ME, **evidence), on, rules(need)).cleared


MADE = {
    "lesson": (LESSON, lambda day: {"readings": (ReadingEvidence("ladders", 1, day),)}),
    "quiz": (QUIZ, lambda day: {"papers": (paper(day),)}),
    "sign-off": (SIGN_OFF, lambda day: {"sign_offs": (sign_off(day),)}),
    "certificate": (CERTIFICATE, lambda day: {"certificates": (certificate(day, day + YEAR * DAY),)}),
    "certificate put on record": (
        CERTIFICATE,
        lambda day: {"certificates": (certificate(TODAY - 9 * DAY, TODAY + YEAR * DAY, entered=day),)},
    ),
    "grant": (
        LESSON,
        lambda day: {"readings": (ReadingEvidence("ladders", 1, TODAY - 9 * DAY),), "grants": (grant(day),)},
    ),
    "acceptance": (
        LessonRequirement("ladders"),
        lambda day: {
            "readings": (ReadingEvidence("ladders", 0, TODAY - 9 * DAY),),
            "acceptances": (AcceptanceEvidence("ladders", 0, 1, TRAINER, day),),
        },
    ),
    "better grade": (
        QUIZ,
        lambda day: {
            "papers": (
                paper(TODAY - 9 * DAY)._replace(
                    answers=(
                        replace(ANSWER, credit=0.0, right=False, changes=(GradeChangeEvidence(day, 1.0, TRAINER),)),
                    ),
                ),
            )
        },
    ),
    "lifting": (
        LESSON,
        lambda day: {
            "readings": (ReadingEvidence("ladders", 1, TODAY - 9 * DAY),),
            "suspensions": (SuspensionEvidence(1, "roof", "Theo", TODAY - 2 * DAY, "near miss", OWNER, day),),
        },
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", MADE)
def test_what_is_dated_today_counts_and_what_is_dated_tomorrow_does_not(kind: str) -> None:
    need, made = MADE[kind]
    assert cleared(need, TODAY, **made(TODAY))
    assert not cleared(need, TODAY, **made(TODAY + DAY))
    assert cleared(need, TODAY + DAY, **made(TODAY + DAY)), "it counts once its day has come"


ENDING = {
    "quiz": (QUIZ, lambda last: {"papers": (paper(last - YEAR * DAY),)}),
    "sign-off": (SIGN_OFF, lambda last: {"sign_offs": (sign_off(last - YEAR * DAY),)}),
    "certificate": (CERTIFICATE, lambda last: {"certificates": (certificate(last - 700 * DAY, last),)}),
    "grant": (
        LESSON,
        lambda last: {
            "readings": (ReadingEvidence("ladders", 1, last - 9 * DAY),),
            "grants": (grant(last - 9 * DAY, last),),
        },
    ),
}


@pytest.mark.parametrize(
    "last", [TODAY, date(2028, 2, 29), date(2028, 2, 28), date(2027, 3, 1), date(2026, 12, 31)]
)
@pytest.mark.parametrize("kind", ENDING)
def test_what_ends_today_is_good_all_day(kind: str, last: date) -> None:
    need, made = ENDING[kind]
    found = standing(
        ME, "roof", Evidence(ME, **{"grants": (grant(last - 900 * DAY),), **made(last)}), last, rules(need)
    )
    assert (found.cleared, found.until, found.ends) == (True, last, last + DAY)
    assert not cleared(need, last + DAY, **made(last))


@pytest.mark.parametrize(
    ("done", "last"),
    [
        # Counted in days, checked by hand on a calendar: a span over 29 February is one date earlier.
        (date(2027, 2, 28), date(2028, 2, 28)),
        (date(2027, 3, 1), date(2028, 2, 29)),
        (date(2027, 3, 2), date(2028, 3, 1)),
        (date(2028, 2, 28), date(2029, 2, 27)),
        (date(2028, 2, 29), date(2029, 2, 28)),
        (date(2028, 3, 1), date(2029, 3, 1)),
        (date(2026, 11, 25), date(2027, 11, 25)),
    ],
)
def test_365_days_over_a_leap_day(done: date, last: date) -> None:
    for made in ({"papers": (paper(done),)}, {"sign_offs": (sign_off(done),)}):
        need = QUIZ if "papers" in made else SIGN_OFF
        assert cleared(need, last, **made)
        assert not cleared(need, last + DAY, **made)


def test_an_absence_and_a_suspension_count_on_the_day_they_begin() -> None:
    read = {"readings": (ReadingEvidence("ladders", 1, TODAY - 9 * DAY),)}
    for begun in (
        {"absences": (AbsenceEvidence(TODAY),)},
        {"suspensions": (SuspensionEvidence(1, "roof", "Theo", TODAY, "near miss"),)},
    ):
        assert cleared(LESSON, TODAY - DAY, **read, **begun)
        assert not cleared(LESSON, TODAY, **read, **begun)


def test_the_first_and_the_last_day_there_is() -> None:
    """A span that leads beyond the calendar ends with it."""
    long = SignOffRequirement("set", 1, 36_500)
    assert cleared(long, date.max, sign_offs=(sign_off(date.max - DAY),), grants=(grant(TODAY),))
    assert not cleared(long, date.min, sign_offs=(), grants=(grant(date.min),))
