"""standing() over 100,000 random histories: a tenth of a percent of them in the normal run, all with `pytest -m sweep`.

The histories are those of test_standing_properties, drawn by a plain random generator, which is many times faster;
the second judge is the same.
"""

from __future__ import annotations

import random
import time
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from tests.clearance.test_standing_properties import (
    ME,
    RULES,
    START,
    cleared_by_judge,
    known_by,
    paper_counts,
    speaks_of,
)
from trainer.clearance import (
    AbsenceEvidence,
    AnswerEvidence,
    CertificateEvidence,
    Evidence,
    GradeChangeEvidence,
    GrantEvidence,
    PaperEvidence,
    ReadingEvidence,
    SignOffEvidence,
    SuspensionEvidence,
    standing,
    standings,
)

HISTORIES, PARTS = 100_000, 20
QUIZZES = [need for rule in RULES.clearances.values() for need in rule.requires if need.kind == "quiz"]
NAMES = sorted(RULES.clearances)
MOMENTS = (None, *(datetime(2028, 2, 20, hour, tzinfo=UTC) for hour in (8, 12, 16)))
WHO = (2, 2, 3, 3, 3, 2, ME, None)


class Chance:
    """Draws histories."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.one = self.random.choice

    def day(self) -> date:
        return START + timedelta(days=self.random.randrange(31))

    def maybe_day(self) -> date | None:
        return self.one((START, None, *(self.day() for _ in range(4))))

    def many(self, most: int, make: Any) -> tuple[Any, ...]:
        return tuple(make() for _ in range(self.random.randint(0, most)))

    def change(self) -> GradeChangeEvidence:
        return GradeChangeEvidence(self.day(), self.one((0.0, 1.0)), self.one((2, 2, ME)))

    def answer(self) -> AnswerEvidence:
        changes = self.many(2, self.change) if self.random.random() < 0.3 else ()
        skills = self.one((("slope",), ("slope", "other"), ("other",)))
        credit = self.one((0.0, 0.5, 1.0, 1.0, 1.0, float("nan")))
        return AnswerEvidence(
            skills,
            self.one((True, False)),
            credit,
            self.one((True, True, False)),
            tuple(sorted(changes, key=lambda one: one.on)),
        )

    def paper(self) -> PaperEvidence:
        return PaperEvidence(
            1, "Slopes", self.one(WHO), self.maybe_day(), self.many(4, self.answer), self.one(MOMENTS)
        )

    def certificate(self) -> CertificateEvidence:
        return CertificateEvidence(
            1, self.one(("first aid", "first aid", "rigging")), "a college", self.maybe_day(), self.maybe_day(),
            self.one((True, False)), self.maybe_day(), self.one(WHO), self.one((False, False, True)), self.maybe_day(),
        )  # fmt: skip

    def sign_offs(self) -> tuple[SignOffEvidence, ...]:
        days = sorted(self.many(5, self.day))
        return tuple(
            SignOffEvidence(
                number, "set", self.one((2, 2, 1, 0, 3)), self.one(WHO), "Theo", self.one((True, True, True, False)),
                self.one((True, True, True, False)), day,
            )
            for number, day in enumerate(days, start=1)
        )  # fmt: skip

    def grant(self) -> GrantEvidence:
        return GrantEvidence(
            self.random.randint(1, 99), self.one(NAMES), self.one((2, 2, 2, 1)), self.one(WHO), "Olive",
            self.maybe_day(), self.maybe_day(), self.one(MOMENTS),
        )  # fmt: skip

    def suspension(self) -> SuspensionEvidence:
        return SuspensionEvidence(
            1, self.one(NAMES), "Theo", self.maybe_day(), "near miss", self.one(WHO), self.maybe_day()
        )

    def absence(self) -> AbsenceEvidence:
        return AbsenceEvidence(self.maybe_day(), self.maybe_day(), self.one(MOMENTS))

    def history(self) -> Evidence:
        """Anything, most often on top of a history that does everything right from some day on."""
        found = Evidence(
            ME,
            self.many(3, lambda: ReadingEvidence("ladders", self.random.randint(0, 3), self.maybe_day())),
            self.many(2, self.paper),
            self.sign_offs(),
            self.many(3, self.certificate),
            self.many(4, self.grant),
            self.many(2, self.suspension) if self.random.random() < 1 / 3 else (),
            self.many(2, self.absence) if self.random.random() < 1 / 4 else (),
        )
        if self.random.random() < 1 / 4:
            return found
        day = self.day()
        good = AnswerEvidence(("slope", "other"), True, 1.0, True)
        passed = SignOffEvidence(98, "set", 2, 2, "Theo", True, True, day)
        return replace(
            found,
            readings=(ReadingEvidence("ladders", 2, day), *found.readings),
            papers=(
                PaperEvidence(2, "Slopes", 2, day, (good, good), self.one(MOMENTS)),
                *self.one(((), found.papers)),
            ),
            sign_offs=tuple(
                sorted((*found.sign_offs, passed, passed._replace(id=99)), key=lambda s: (s.on, s.id))
            ),
            certificates=(
                CertificateEvidence(2, "first aid", "a college", day, None, True, day, 2),
                CertificateEvidence(3, "rigging", "a school", day, self.day(), False, day, 3),
                *found.certificates,
            ),
            grants=(
                *(
                    GrantEvidence(n, name, 2, 3, "Olive", day, None, self.one(MOMENTS))
                    for n, name in enumerate(RULES.clearances, start=100)
                ),
                *found.grants,
            ),
            suspensions=self.one(((), (), found.suspensions)),
            absences=self.one(((), found.absences)),
        )

    def less(self, evidence: Evidence, on: date) -> Evidence:
        """Without some of what speaks for the person."""
        kind = self.one(("readings", "papers", "sign_offs", "certificates", "grants"))
        kept = tuple(one for one in getattr(evidence, kind) if against(one, on) or self.random.random() < 0.5)
        return replace(evidence, **{kind: kept})


def against(one: object, on: date) -> bool:
    """Whether this speaks against the person, so that without it they may be cleared."""
    if isinstance(one, PaperEvidence):
        return any(speaks_of(need, one, on) and not paper_counts(need, one, on) for need in QUIZZES)
    return isinstance(one, SignOffEvidence) and not one.passed


def sweep(seed: int, number: int) -> Counter[str]:
    """Check every property on so many histories; how often each came to something."""
    chance, seen = Chance(seed), Counter()
    for place in range(number):
        evidence, on = chance.history(), chance.day()
        where = f"seed {seed}, history {place}"
        now = standings(ME, evidence, on, RULES)
        for found in now:
            # The judge says no while any requirement is unmet, expired, ahead, self-signed or of a version that is
            # no longer taken.
            assert found.cleared is cleared_by_judge(found.clearance, evidence, on), where
            seen["cleared" if found.cleared else "not cleared"] += 1
        for before, after in zip(now, standings(ME, chance.less(evidence, on), on, RULES), strict=True):
            assert before.cleared or not after.cleared, where
        known = known_by(evidence, on)
        # One put on record before its day of issue begins to count on that day; nobody counts on it before.
        ahead = any(one.issued is not None and one.issued > on for one in known.certificates)
        own_hand = any(c.by_id == ME for paper in evidence.papers for a in paper.answers for c in a.changes)
        for before, after in zip(standings(ME, known, on, RULES), now, strict=True):
            # A change made by oneself voids a paper for every day; it only ever takes away.
            assert before.cleared is after.cleared or (own_hand and before.cleared), where
            if before.cleared and before.until is not None and not ahead:
                seen["ends"] += 1
                last = on + timedelta(days=chance.random.randint(0, (before.until - on).days))
                for day, expected in (
                    (last, True),
                    (before.until, True),
                    (before.until + timedelta(days=1), False),
                ):
                    assert standing(ME, before.clearance, known, day, RULES).cleared is expected, (where, day)
    return seen


def test_a_hundred_of_them_hold() -> None:
    seen = sweep(seed=0, number=HISTORIES // 1000)
    assert min(seen["cleared"], seen["not cleared"], seen["ends"]) > 10, seen


@pytest.mark.sweep
@pytest.mark.parametrize("part", range(1, PARTS + 1))
def test_a_hundred_thousand_random_histories_hold(part: int) -> None:
    started = time.process_time()
    seen = sweep(seed=part, number=HISTORIES // PARTS)
    print(
        f"\n{HISTORIES // PARTS / (time.process_time() - started):.0f} histories/s of processor time", end=" "
    )
    assert min(seen["cleared"], seen["not cleared"], seen["ends"]) > 500, seen
