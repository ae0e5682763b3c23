"""standing() as a history grows act by act, held against a judge that remembers the acts in a plain way of its own.

The judge, tests/clearance/plain_judge.py, is written from what the design says and asks nothing of the code under test.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, Final

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from tests.clearance.plain_judge import (
    MARK,
    ME,
    OWNER,
    QUIZ_DAYS,
    SIGN_OFF_DAYS,
    TRAINER,
    Happened,
    gone,
    judged,
    speaks_for,
)
from trainer.clearance import (
    AbsenceEvidence,
    AnswerEvidence,
    CertificateEvidence,
    CertificateKind,
    CertificateRequirement,
    Clearance,
    ClearanceRequirement,
    Evidence,
    GrantEvidence,
    LessonRef,
    LessonRequirement,
    PaperEvidence,
    QuizRequirement,
    ReadingEvidence,
    Rules,
    SignOffEvidence,
    SignOffRequirement,
    SuspensionEvidence,
    Task,
    standing,
    standings,
)
from trainer.languages import Text

FIRST: Final = date(2028, 2, 24)  # five days before a leap day
DAY = timedelta(days=1)


def both(text: str) -> Text:
    return Text(en=text, es=text)


RULES = Rules(
    {
        "ground": Clearance(
            "ground", 3, 2, both("Ground"), both("Ground."),
            (LessonRequirement("ladders"), QuizRequirement(("slope",), MARK, QUIZ_DAYS)),
        ),
        "roof": Clearance(
            "roof", 3, 2, both("Roof"), both("Roof."),
            (
                ClearanceRequirement("ground"),
                SignOffRequirement("harness", 2, SIGN_OFF_DAYS),
                CertificateRequirement("first aid"),
            ),
        ),
    },
    {"harness": Task("harness", 4, 3, both("Harness"), (both("Fits."),), (), None, ())},
    {"ladders": LessonRef("ladders", 5, both("Ladders"))},
    {},
    frozenset({"slope"}),
    {"first aid": CertificateKind("first aid", both("First aid"), both("First aid."), months=24)},
)  # fmt: skip
NAMES = tuple(RULES.clearances)
# Most acts are as they should be, so that the history gets somewhere; the rest break one rule each.
OFTEN = st.sampled_from((True, True, True, True, False))
WHO = st.sampled_from((TRAINER, TRAINER, TRAINER, OWNER, ME))
PAST = 4  # days that are asked about again after each act
AHEAD = st.sampled_from((0, 0, 0, 0, 1, 4))  # days by which a record is dated ahead


class Shop(RuleBasedStateMachine):
    """One person's history, day by day."""

    def __init__(self) -> None:
        super().__init__()
        self.acts: list[Happened] = []
        self.today, self.number = FIRST, 0
        self.answers: dict[date, tuple[bool, ...]] = {}

    # What happens -------------------------------------------------------------------------------------------------

    def happens(self, kind: str, make: Any, ahead: int = 0, **facts: Any) -> None:
        """Each act has a number and a moment later than any before; `ahead` dates it into the future."""
        self.number += 1
        day = self.today + ahead * DAY
        moment = datetime.combine(day, time(6), UTC) + timedelta(seconds=self.number)
        made = make(self.number, day, moment)
        self.acts.append(
            Happened(kind, made, **{"number": self.number, "day": day, "moment": moment, **facts})
        )

    @rule(days=st.sampled_from((1, 1, 2, 7, 14, 30)))
    def days_pass(self, days: int) -> None:
        self.today += days * DAY

    @rule(version=st.sampled_from((5, 5, 5, 4, 6)), ahead=AHEAD)
    def reads_the_lesson(self, version: int, ahead: int) -> None:
        self.happens(
            "read", lambda _n, day, _m: ReadingEvidence("ladders", version, day), ahead, version=version
        )

    @rule(right=st.sampled_from((5, 5, 5, 4, 3)), must_right=OFTEN, by=WHO, ahead=AHEAD)
    def hands_in_a_paper(self, right: int, must_right: bool, by: int, ahead: int) -> None:
        """Five questions, the first of which must be right; `right` of the five are."""
        marks = [True] * right + [False] * (5 - right)
        if not must_right:
            marks = [False] * (6 - right) + [True] * (right - 1)
        answers = tuple(
            AnswerEvidence(("slope",), place == 0, float(mark), mark) for place, mark in enumerate(marks)
        )
        self.happens(
            "paper",
            lambda n, day, moment: PaperEvidence(n, "Slopes", by, day, answers, moment),
            ahead,
            by=by,
            right=sum(marks),
            must_right=must_right,
        )

    @rule(passed=OFTEN, sound=OFTEN, by=WHO, version=st.sampled_from((4, 4, 3, 2, 5)), ahead=AHEAD)
    def is_signed_off(self, passed: bool, sound: bool, by: int, version: int, ahead: int) -> None:
        self.happens(
            "sign-off",
            lambda n, day, _m: SignOffEvidence(n, "harness", version, by, "Theo", passed, sound, day),
            ahead,
            passed=passed,
            sound=sound,
            by=by,
            version=version,
        )

    @rule(age=st.sampled_from((0, 3, 400)), good_for=st.sampled_from((0, 5, 40)), by=WHO, ahead=AHEAD)
    def a_certificate_is_entered(self, age: int, good_for: int, by: int, ahead: int) -> None:
        """Issued `age` days ago, or some days ahead; its last good day is `good_for` days from today."""
        issued, expires, entered = self.today + (ahead - age) * DAY, self.today + good_for * DAY, self.today
        self.happens(
            "certificate",
            lambda n, _d, _m: CertificateEvidence(
                n, "first aid", "a college", issued, expires, entered_on=entered, entered_by_id=by
            ),
            issued=issued,
            expires=expires,
            entered=entered,
            by=by,
        )

    def of(self, kind: str) -> list[Happened]:
        return [act for act in self.acts if act.kind == kind]

    @precondition(lambda self: self.of("certificate"))
    @rule(data=st.data())
    def a_certificate_is_withdrawn(self, data: st.DataObject) -> None:
        done = {act.facts["number"] for act in self.of("withdrawal")}
        still = [act for act in self.of("certificate") if act.number not in done]
        if still:
            one = data.draw(st.sampled_from(still))
            one.made = replace(one.made, withdrawn=True, withdrawn_on=self.today)
            self.acts.append(Happened("withdrawal", None, number=one.number, day=self.today))

    @rule(
        name=st.sampled_from(NAMES),
        by=st.sampled_from((OWNER, OWNER, OWNER, ME)),
        version=st.sampled_from((3, 3, 2, 1, 4)),
        good_for=st.sampled_from((None, None, 0, 10)),
        ahead=AHEAD,
    )
    def is_granted(self, name: str, by: int, version: int, good_for: int | None, ahead: int) -> None:
        until = None if good_for is None else self.today + (ahead + good_for) * DAY
        self.happens(
            "grant",
            lambda n, day, moment: GrantEvidence(n, name, version, by, "Olive", day, until, moment),
            ahead,
            clearance=name,
            by=by,
            version=version,
            until=until,
        )

    @rule(name=st.sampled_from(NAMES))
    def is_suspended(self, name: str) -> None:
        self.happens(
            "suspension",
            lambda n, day, _m: SuspensionEvidence(n, name, "Theo", day, "near miss"),
            clearance=name,
        )

    @precondition(lambda self: self.of("suspension"))
    @rule(data=st.data(), by=st.sampled_from((OWNER, OWNER, ME)))
    def is_lifted(self, data: st.DataObject, by: int) -> None:
        done = {act.facts["number"] for act in self.of("lifting")}
        still = [act for act in self.of("suspension") if act.number not in done]
        if still:
            one = data.draw(st.sampled_from(still))
            one.made = replace(one.made, lifted_by_id=by, lifted_on=self.today)
            self.acts.append(Happened("lifting", None, number=one.number, day=self.today, by=by))

    @precondition(lambda self: not gone(self.acts, self.today))
    @rule()
    def leaves(self) -> None:
        self.happens("left", lambda _n, day, _m: AbsenceEvidence(day))

    @precondition(lambda self: gone(self.acts, self.today))
    @rule()
    def comes_back(self) -> None:
        away = self.of("left")[-1]
        self.happens("back", lambda _n, _d, _m: None)
        back = self.acts[-1]
        away.made = replace(away.made, back=back.day, moment=back.moment)

    # What must hold -----------------------------------------------------------------------------------------------

    def evidence(self, acts: list[Happened] | None = None) -> Evidence:
        kinds = ("read", "paper", "sign-off", "certificate", "grant", "suspension", "left")
        made = {
            kind: tuple(a.made for a in (self.acts if acts is None else acts) if a.kind == kind)
            for kind in kinds
        }
        return Evidence(ME, *made.values())

    @initialize(granted=st.sampled_from(((), NAMES[:1], NAMES)))
    def begins(self, granted: tuple[str, ...]) -> None:
        """Most histories begin with someone who has done everything, so that there is something to lose."""
        if granted:
            self.reads_the_lesson(5, 0)
            self.hands_in_a_paper(5, True, TRAINER, 0)
            self.is_signed_off(True, True, TRAINER, 4, 0)
            self.is_signed_off(True, True, TRAINER, 4, 0)
            self.a_certificate_is_entered(3, 40, TRAINER, 0)
            for name in granted:
                self.is_granted(name, OWNER, 3, None, 0)

    @invariant()
    def nobody_is_cleared_but_by_the_rules(self) -> None:
        for found in standings(ME, self.evidence(), self.today, RULES):
            assert found.cleared is judged(found.clearance, self.acts, self.today), found
            assert not found.cleared or all(line.met for line in found.lines)
            REACHED.add((found.clearance, found.state))

    @invariant()
    def a_past_day_keeps_its_answer(self) -> None:
        """As said at the end of the day. What was dated ahead has happened by then and is known by then."""
        evidence = self.evidence()
        for day in sorted(self.answers)[-PAST:]:
            if day < self.today:
                assert answers(evidence, day) == self.answers[day], day
        self.answers[self.today] = answers(evidence, self.today)

    @invariant()
    def it_ends_on_the_first_day_on_which_it_is_not_cleared(self) -> None:
        """As long as nothing dated ahead speaks on the way."""
        if any(act.day > self.today for act in self.acts if act.kind != "certificate") or any(
            act.issued > self.today for act in self.of("certificate")
        ):
            return
        evidence = self.evidence()
        for found in standings(ME, evidence, self.today, RULES):
            if not found.cleared or found.until is None:
                assert found.ends is None
                continue
            days = {self.today, self.today + DAY, found.until - DAY, found.until} - {self.today - DAY}
            for day in (day for day in days if day <= found.until):
                assert standing(ME, found.clearance, evidence, day, RULES).cleared, day
            assert found.ends == found.until + DAY
            assert not standing(ME, found.clearance, evidence, found.ends, RULES).cleared

    @rule(data=st.data())
    def evidence_taken_away_never_clears(self, data: st.DataObject) -> None:
        """One act that speaks for the person is left out: for a moment, and only in the question asked."""
        before = standings(ME, self.evidence(), self.today, RULES)
        spoken = [act for act in self.acts if speaks_for(act)]
        if not spoken:
            return
        gone_now = data.draw(st.sampled_from(spoken))
        less = [act for act in self.acts if act is not gone_now]
        for was, now in zip(before, standings(ME, self.evidence(less), self.today, RULES), strict=True):
            assert was.cleared or not now.cleared, now
            assert now.cleared is judged(now.clearance, less, self.today)


def answers(evidence: Evidence, day: date) -> tuple[bool, ...]:
    return tuple(found.cleared for found in standings(ME, evidence, day, RULES))


REACHED: set[tuple[str, str]] = set()
Shop.TestCase.settings = settings(max_examples=60, stateful_step_count=25, deadline=None)
TestShop = Shop.TestCase


def test_the_histories_reach_every_state() -> None:
    """The properties would hold of nothing at all: every state of both clearances must have come up."""
    REACHED.clear()

    few = settings(max_examples=80, stateful_step_count=20, deadline=None, database=None, derandomize=True)
    run_state_machine_as_test(Shop, settings=few)
    states = {"cleared", "ready to grant", "not cleared", "lapsed", "suspended"}
    assert {(name, state) for name in NAMES for state in states} == REACHED
