"""A judge of standing() that looks through a plain list of what happened, anew for every question.

It is written from what the design says and asks nothing of the code under test.
"""

from __future__ import annotations

from datetime import date
from typing import Any, Final

ME, TRAINER, OWNER = 1, 2, 3
QUIZ_DAYS, SIGN_OFF_DAYS, MARK = 12, 15, 80
LESSON: Final = 5  # the version that counts
TASK: Final = (3, 4)
CLEARANCE: Final = (2, 3)


class Happened:
    """One act. kind, and what the judge needs to know of it; made: the evidence that tells of it."""

    def __init__(self, kind: str, made: Any, **facts: Any) -> None:
        self.kind, self.made, self.facts = kind, made, facts

    def __getattr__(self, name: str) -> Any:
        return self.facts[name]


def judged(name: str, acts: list[Happened], on: date) -> bool:
    """Whether the person is cleared, by the sentences of the design."""
    if name == "ground":
        met = lesson_read(acts, on) and quiz_passed(acts, on)
    else:
        met = judged("ground", acts, on) and signed_off(acts, on) and certified(acts, on)
    return met and granted(name, acts, on) and not suspended(name, acts, on) and not gone(acts, on)


def lesson_read(acts: list[Happened], on: date) -> bool:
    return any(a.kind == "read" and a.version == LESSON and a.day <= on for a in acts)


def quiz_passed(acts: list[Happened], on: date) -> bool:
    sat = [a for a in acts if a.kind == "paper" and a.day <= on]
    if not sat:
        return False
    last = max(sat, key=lambda a: a.moment)
    days = (on - last.day).days
    return bool(days <= QUIZ_DAYS and last.by != ME and last.right >= 4 and last.must_right)


def signed_off(acts: list[Happened], on: date) -> bool:
    seen = sorted((a for a in acts if a.kind == "sign-off" and a.day <= on), key=lambda a: (a.day, a.number))
    good = 0
    for one in seen:
        if not one.passed:
            good = 0
        elif one.by != ME and one.version in TASK and one.sound and (on - one.day).days <= SIGN_OFF_DAYS:
            good += 1
    return good >= 2


def certified(acts: list[Happened], on: date) -> bool:
    taken_back = {a.number: a.day for a in acts if a.kind == "withdrawal"}
    return any(
        a.kind == "certificate"
        and a.entered <= on
        and a.by != ME
        and a.issued <= on <= a.expires
        and not (a.number in taken_back and taken_back[a.number] <= on)
        for a in acts
    )


def granted(name: str, acts: list[Happened], on: date) -> bool:
    """By someone else, in a version that is still taken, in force, and since they were last away."""
    back = max((a.moment for a in acts if a.kind == "back" and a.day <= on), default=None)
    return any(
        a.kind == "grant"
        and a.clearance == name
        and a.version in CLEARANCE
        and a.by != ME
        and a.day <= on
        and (a.until is None or on <= a.until)
        and (back is None or a.moment >= back)
        for a in acts
    )


def suspended(name: str, acts: list[Happened], on: date) -> bool:
    lifted = {a.number: a for a in acts if a.kind == "lifting" and a.day <= on and a.by != ME}
    return any(
        a.kind == "suspension" and a.clearance == name and a.day <= on and a.number not in lifted
        for a in acts
    )


def gone(acts: list[Happened], on: date) -> bool:
    left = [a for a in acts if a.kind in ("left", "back") and a.day <= on]
    return bool(left) and max(left, key=lambda a: a.moment).kind == "left"


def speaks_for(act: Happened) -> bool:
    """Whether the act helps if it does anything: one that was failed takes the place of an earlier one."""
    if act.kind == "paper":
        return bool(act.by != ME and act.right >= 4 and act.must_right)
    return act.kind in ("read", "certificate", "grant") or (act.kind == "sign-off" and act.passed)
