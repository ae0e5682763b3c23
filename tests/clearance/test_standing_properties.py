"""standing() over random histories: what must hold whatever happened.

A second, independent judge says from the raw evidence whether each requirement is met; it is written from
the design's sentences, not from the code under test.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

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
    standing,
    standings,
)
from trainer.languages import Text

ME = 1
START = date(2028, 2, 20)  # a leap day lies ahead
DAYS = st.integers(0, 30).map(lambda n: START + timedelta(days=n))
MAYBE_DAYS = st.one_of(st.just(START), st.none(), DAYS, DAYS, DAYS, DAYS)
# Mostly someone else, so that most histories get somewhere.
WHO = st.sampled_from([2, 2, 3, 3, 3, 2, ME, None])


def both(text: str) -> Text:
    return Text(en=text, es=text)


def clearance(name: str, *requires: Requirement) -> Clearance:
    return Clearance(name, 2, 2, both(name), both(name), requires)


RULES = Rules(
    {
        "ground": clearance("ground", LessonRequirement("ladders", version=1)),
        "ladder": clearance(
            "ladder", ClearanceRequirement("ground"), SignOffRequirement("set", times=2, within_days=9)
        ),
        "roof": clearance(
            "roof",
            QuizRequirement(("slope",), 50, within_days=7),
            CertificateRequirement("first aid"),
            LessonRequirement("ladders", version=1),
        ),
        "hoist": clearance("hoist", CertificateRequirement("rigging"), CertificateRequirement("first aid")),
        "quiz": clearance("quiz", QuizRequirement(("slope", "other"), 60, within_days=7)),
    },
    {"set": Task("set", 2, 1, both("set"), (both("c"),), (), None, ())},
    {"ladders": LessonRef("ladders", 2, both("Ladders"))},
    {},
    frozenset({"slope"}),
    {
        "first aid": CertificateKind("first aid", both("First aid"), both("First aid."), endless=True),
        "rigging": CertificateKind("rigging", both("Rigging"), both("Rigging."), months=60),
    },
)
CREDITS = st.sampled_from([0.0, 0.5, 1.0, 1.0, 1.0, float("nan")])

READINGS = st.builds(ReadingEvidence, st.just("ladders"), st.integers(0, 3), MAYBE_DAYS)
ACCEPTANCES = st.builds(
    AcceptanceEvidence,
    st.just("ladders"),
    st.integers(0, 1),
    st.sampled_from([2, 2, 2, 1]),
    WHO,
    MAYBE_DAYS,
    MAYBE_DAYS,
    st.booleans(),
)
CHANGES = st.builds(GradeChangeEvidence, DAYS, st.sampled_from([0.0, 1.0]), st.sampled_from([2, 2, ME]))
ANSWERS = st.builds(
    AnswerEvidence,
    st.sampled_from([("slope",), ("slope", "other"), ("other",)]),
    st.booleans(),
    CREDITS,
    st.booleans(),
    st.lists(CHANGES, max_size=2).map(lambda all_of: tuple(sorted(all_of, key=lambda one: one.on or START))),
)
# Few moments, so that two papers of one day meet in every way: earlier, later, at once, not known.
MOMENTS = st.sampled_from([None, *(datetime(2028, 2, 20, hour, tzinfo=UTC) for hour in (8, 12, 16))])
PAPERS = st.builds(
    PaperEvidence,
    st.just(1),
    st.just("Slopes"),
    WHO,
    MAYBE_DAYS,
    st.lists(ANSWERS, max_size=4).map(tuple),
    MOMENTS,
)
CERTIFICATES = st.builds(
    CertificateEvidence,
    st.just(1),
    st.sampled_from(["first aid", "first aid", "rigging"]),
    st.just("a college"),
    MAYBE_DAYS,
    MAYBE_DAYS,
    st.booleans(),
    MAYBE_DAYS,
    WHO,
    st.sampled_from([False, False, True]),
    MAYBE_DAYS,
)
NAMES = st.sampled_from(sorted(RULES.clearances))
GRANTS = st.builds(
    GrantEvidence,
    st.integers(1, 99),
    NAMES,
    st.sampled_from([2, 2, 2, 1]),
    WHO,
    st.just("Olive"),
    MAYBE_DAYS,
    MAYBE_DAYS,
    MOMENTS,
)
ABSENCES = st.builds(AbsenceEvidence, MAYBE_DAYS, MAYBE_DAYS, MOMENTS)
SUSPENSIONS = st.builds(
    SuspensionEvidence, st.just(1), NAMES, st.just("Theo"), MAYBE_DAYS, st.just("near miss"), WHO, MAYBE_DAYS
)


@st.composite
def sign_offs(make: st.DrawFn) -> tuple[SignOffEvidence, ...]:
    """Numbered in the order they happened, as a store numbers them."""
    days = sorted(make(st.lists(DAYS, max_size=5)))
    return tuple(
        SignOffEvidence(
            id=number,
            task="set",
            version=make(st.sampled_from([2, 2, 1, 0, 3])),
            observer_id=make(WHO),
            observer="Theo",
            passed=make(st.sampled_from([True, True, True, False])),
            sound=make(st.sampled_from([True, True, True, False])),
            on=day,
        )
        for number, day in enumerate(days, start=1)
    )


def many(of: st.SearchStrategy, most: int = 3) -> st.SearchStrategy:
    return st.lists(of, max_size=most).map(tuple)


RANDOM = st.builds(
    Evidence,
    st.just(ME),
    many(READINGS),
    many(PAPERS, 2),
    sign_offs(),
    many(CERTIFICATES, 3),
    many(GRANTS, 4),
    st.one_of(st.just(()), st.just(()), many(SUSPENSIONS, 2)),
    st.one_of(st.just(()), st.just(()), st.just(()), many(ABSENCES, 2)),
    many(ACCEPTANCES, 2),
)


@st.composite
def histories(make: st.DrawFn) -> Evidence:
    """A random history on top of one that does everything right from some day on; either may be left out."""
    found = make(RANDOM)
    if make(st.integers(0, 3)) == 0:
        return found
    day = make(DAYS)
    good = AnswerEvidence(("slope", "other"), True, 1.0, True)
    passed = SignOffEvidence(0, "set", 2, 2, "Theo", True, True, day)
    return replace(
        found,
        readings=(ReadingEvidence("ladders", make(st.sampled_from([2, 2, 0])), day), *found.readings),
        papers=(
            PaperEvidence(2, "Slopes", 2, day, (good, good), make(MOMENTS)),
            *make(st.sampled_from([(), found.papers])),
        ),
        # Numbered after everything else of its day, so that it comes after a failed one of that day.
        sign_offs=tuple(
            sorted(
                (*found.sign_offs, passed._replace(id=98), passed._replace(id=99)), key=lambda s: (s.on, s.id)
            )
        ),
        certificates=(
            CertificateEvidence(2, "first aid", "a college", day, None, True, day, 2),
            CertificateEvidence(3, "rigging", "a school", day, make(DAYS), False, day, 3),
            *found.certificates,
        ),
        grants=(
            *(
                GrantEvidence(n, name, 2, 3, "Olive", day, None, make(MOMENTS))
                for n, name in enumerate(RULES.clearances, start=100)
            ),
            *found.grants,
        ),
        suspensions=make(st.sampled_from([(), (), found.suspensions])),
        absences=make(st.sampled_from([(), found.absences])),
    )


HISTORIES = histories()


# The second judge ------------------------------------------------------------------------------------------------


def counts(need: Requirement, evidence: Evidence, on: date) -> bool:
    """Whether the requirement is met, from the design's sentences; other clearances aside."""
    if isinstance(need, LessonRequirement):
        taken = [a.version for a in evidence.acceptances if accepted_by_judge(a, on)]
        return any(r.on and r.on <= on and min([1, *taken]) <= r.version <= 2 for r in evidence.readings)
    if isinstance(need, CertificateRequirement):
        return any(
            c.kind == need.certificate
            and c.issued
            and c.issued <= on
            and (c.never_expires != (c.expires is not None))
            and (c.expires is None or (c.issued <= c.expires and on <= c.expires))
            and (c.expires is not None or c.kind == "first aid")
            and c.entered_on
            and c.entered_on <= on
            and c.entered_by_id not in (None, ME)
            and not (c.withdrawn and (c.withdrawn_on is None or c.withdrawn_on <= on))
            for c in evidence.certificates
        )
    if isinstance(need, SignOffRequirement):
        seen = [s for s in evidence.sign_offs if s.on and s.on <= on]
        since_fail = 1 + max((n for n, s in enumerate(seen) if not s.passed), default=-1)
        good = [
            s
            for s in seen[since_fail:]
            if s.sound
            and s.observer_id not in (None, ME)
            and s.version in (1, 2)
            and s.on
            and (on - s.on).days <= 9
        ]
        return len(good) >= 2
    assert isinstance(need, QuizRequirement)
    held = [paper for paper in evidence.papers if speaks_of(need, paper, on)]
    return bool(held) and all(
        paper_counts(need, paper, on) or any(surely_later(other, paper) for other in held) for paper in held
    )


def accepted_by_judge(one: AcceptanceEvidence, on: date) -> bool:
    """Made by someone else for the present version 2 by that day, and not taken back by it."""
    made = one.present == 2 and one.by_id not in (None, ME) and one.since is not None and one.since <= on
    return made and (not one.ended or (one.ended_on is not None and one.ended_on > on))


def speaks_of(need: QuizRequirement, paper: PaperEvidence, on: date) -> bool:
    """Whether the paper was handed in by then, as far as is known, and asked something on every named skill."""
    asked = {skill for answer in paper.answers for skill in answer.skills}
    return set(need.skills) <= asked and not (paper.handed_in and paper.handed_in > on)


def surely_later(one: PaperEvidence, other: PaperEvidence) -> bool:
    if one.handed_in is None or other.handed_in is None or one.handed_in != other.handed_in:
        return bool(one.handed_in and other.handed_in and one.handed_in > other.handed_in)
    return bool(one.moment and other.moment and one.moment > other.moment)


def paper_counts(need: QuizRequirement, paper: PaperEvidence, on: date) -> bool:
    if (
        paper.handed_in is None
        or not 0 <= (on - paper.handed_in).days <= 7
        or paper.assigned_by in (None, ME)
    ):
        return False
    grades = []
    for answer in paper.answers:
        credit, right = answer.credit, answer.right and answer.credit == 1.0
        for change in answer.changes:
            if change.by_id == ME:
                return False
            if change.on and change.on <= on:
                credit, right = change.credit, change.credit == 1.0
        if not 0.0 <= answer.credit <= 1.0 or (answer.must_pass and not right):
            return False
        grades.append((credit, bool(set(need.skills) & set(answer.skills))))
    # "slope" is the skill that has must-pass questions; both requirements name it.
    if not any(answer.must_pass and "slope" in answer.skills for answer in paper.answers):
        return False
    named = [credit for credit, on_slope in grades if on_slope]
    whole = [credit for credit, _ in grades]
    return bool(named) and min(sum(named) / len(named), sum(whole) / len(whole)) >= need.score / 100


def cleared_by_judge(name: str, evidence: Evidence, on: date) -> bool:
    requirements = all(
        cleared_by_judge(need.clearance, evidence, on)
        if isinstance(need, ClearanceRequirement)
        else counts(need, evidence, on)
        for need in RULES.clearances[name].requires
    )
    begun = [a for a in evidence.absences if a.left is None or a.left <= on]
    back = [a for a in begun if a.left and a.back and a.left <= a.back <= on]
    here = len(back) == len(begun)
    granted = any(
        g.clearance == name
        and g.version == 2
        and g.by_id not in (None, ME)
        and g.since
        and g.since <= on
        and (g.until is None or on <= g.until)
        and all(
            a.back
            and (a.back < g.since or (a.back == g.since and a.moment and g.moment and a.moment <= g.moment))
            for a in back
        )
        for g in evidence.grants
    )
    suspended = any(
        s.clearance == name
        and (s.since is None or s.since <= on)
        and not (
            s.since and s.lifted_on and s.since <= s.lifted_on <= on and s.lifted_by_id not in (None, ME)
        )
        for s in evidence.suspensions
    )
    return requirements and granted and not suspended and here


@settings(max_examples=400, deadline=None)
@given(HISTORIES, DAYS)
def test_cleared_exactly_when_the_second_judge_says_so(evidence: Evidence, on: date) -> None:
    for found in standings(ME, evidence, on, RULES):
        assert found.cleared is cleared_by_judge(found.clearance, evidence, on), found
        assert found == standing(ME, found.clearance, evidence, on, RULES)
        assert bool(found.reasons) is not found.cleared
        if found.cleared:
            assert all(line.met for line in found.lines)


@settings(max_examples=250, deadline=None)
@given(HISTORIES, DAYS, st.data())
def test_taking_evidence_away_never_clears(evidence: Evidence, on: date, data: st.DataObject) -> None:
    """Of what speaks for a person: readings, papers that count, passed sign-offs, certificates, grants."""
    quizzes = [need for rule in RULES.clearances.values() for need in rule.requires if need.kind == "quiz"]

    def against(one: object) -> bool:
        if isinstance(one, PaperEvidence):
            return any(speaks_of(need, one, on) and not paper_counts(need, one, on) for need in quizzes)
        return isinstance(one, SignOffEvidence) and not one.passed

    kind = data.draw(
        st.sampled_from(["readings", "papers", "sign_offs", "certificates", "grants", "acceptances"])
    )
    kept = tuple(one for one in getattr(evidence, kind) if against(one) or data.draw(st.booleans()))
    less = replace(evidence, **{kind: kept})
    for before, after in zip(standings(ME, evidence, on, RULES), standings(ME, less, on, RULES), strict=True):
        assert before.cleared or not after.cleared


def known_by(evidence: Evidence, on: date) -> Evidence:
    """What was known at the end of that day."""

    def before(day: date | None) -> bool:
        return day is None or day <= on

    return Evidence(
        ME,
        tuple(one for one in evidence.readings if before(one.on)),
        tuple(
            one._replace(
                answers=tuple(
                    replace(answer, changes=tuple(change for change in answer.changes if before(change.on)))
                    for answer in one.answers
                ),
            )
            for one in evidence.papers
            if before(one.handed_in)
        ),
        tuple(one for one in evidence.sign_offs if before(one.on)),
        tuple(
            one if before(one.withdrawn_on) else replace(one, withdrawn=False, withdrawn_on=None)
            for one in evidence.certificates
            if before(one.entered_on)
        ),
        tuple(one for one in evidence.grants if before(one.since)),
        tuple(
            one if before(one.lifted_on) else replace(one, lifted_on=None, lifted_by_id=None)
            for one in evidence.suspensions
            if before(one.since)
        ),
        tuple(
            one if before(one.back) else replace(one, back=None, moment=None)
            for one in evidence.absences
            if before(one.left)
        ),
        tuple(
            replace(one, ended=False, ended_on=None) if one.ended_on and not before(one.ended_on) else one
            for one in evidence.acceptances
            if before(one.since)
        ),
    )


@settings(max_examples=250, deadline=None)
@given(HISTORIES, DAYS)
def test_what_happens_later_does_not_change_a_past_day(evidence: Evidence, on: date) -> None:
    then = known_by(evidence, on)
    for name in RULES.clearances:
        later = standing(ME, name, evidence, on, RULES)
        # A change made by oneself voids a paper for every day; it only ever takes away.
        assert later.cleared <= standing(ME, name, then, on, RULES).cleared
        if not any(
            change.by_id == ME for paper in evidence.papers for a in paper.answers for change in a.changes
        ):
            assert later.cleared is standing(ME, name, then, on, RULES).cleared


@settings(max_examples=250, deadline=None)
@given(HISTORIES, DAYS)
def test_it_ends_on_the_first_day_that_is_not_cleared(evidence: Evidence, on: date) -> None:
    known = known_by(evidence, on)
    for found in standings(ME, known, on, RULES):
        if not found.cleared:
            assert found.ends is None
            continue
        horizon = on + timedelta(days=60)
        last = min(found.until or horizon, horizon)
        day = on
        while day <= last:
            assert standing(ME, found.clearance, known, day, RULES).cleared
            day += timedelta(days=1)
        if found.ends is not None:
            assert not standing(ME, found.clearance, known, found.ends, RULES).cleared


def test_the_histories_reach_both_answers() -> None:
    """The properties above would hold of nothing at all: most clearances must come up cleared at times."""
    seen: dict[str, set[bool]] = {name: set() for name in RULES.clearances}

    @settings(max_examples=300, deadline=None, database=None, derandomize=True)
    @given(HISTORIES, DAYS)
    def look(evidence: Evidence, on: date) -> None:
        for found in standings(ME, evidence, on, RULES):
            seen[found.clearance].add(found.cleared)

    look()
    assert all(answers == {True, False} for answers in seen.values()), seen
