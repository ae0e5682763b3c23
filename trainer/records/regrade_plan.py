"""What grading a question anew would change: every paper it was on, before and after. Nothing is written here.

plan(...)   the papers that were handed in, what each would become, and the grants that rested on them
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, and_, exists, func, or_, select
from sqlalchemy.orm import Session

from trainer.clearance.resting import clearances_behind, papers_behind
from trainer.questions import Draw, Question, corrected
from trainer.questions import grade as grade_answer
from trainer.records.actors import Actor, need_reviewer
from trainer.records.deciding import DECIDED
from trainer.records.fingerprints import fingerprint
from trainer.records.models import (
    Answer,
    GradeChange,
    Grant,
    HintOpening,
    Paper,
    PaperQuestion,
    Person,
    Quiz,
    RegradedPaper,
    StandardRevision,
)
from trainer.records.papers import left_after
from trainer.records.queries.paper_rows import (
    CREDIT,
    EXACT,
    RIGHT,
    Result,
    Sums,
    last_change,
    result_of,
    sums_of,
)
from trainer.records.review import sitting
from trainer.records.shop import complete_standard, today_in_shop

CORRECTED: Final = "corrected"
FULL: Final = "full credit"
LEFT_OUT: Final = "left out"
HOW: Final = (CORRECTED, FULL, LEFT_OUT)


@dataclass(frozen=True, slots=True)
class Mended:
    """One answer by the mended question. credit: 0 to 1, before any hint's price; right_answer: as it is now"""

    credit: float
    right_answer: str


Mending = Callable[[Any, str | None, str, Mapping[str, Any]], Mended | None]


@dataclass(frozen=True, slots=True)
class Touched:
    """One paper with the question. right_then, right_now: the right answer; shown: the person's, None without one.

    after: None where the mended question asks something else, so that nothing can be said of the answer
    by_hand: a trainer changed this grade by hand, and it stays; left_out: whether it is, before and after
    score_*: of the whole paper [percent]
    """

    paper_id: int
    position: int
    paper_question_id: int
    person_id: int
    person: str
    title: str
    closed_at: datetime
    shown: str | None
    right_then: str
    right_now: str | None
    before: float
    after: float | None
    by_hand: bool
    left_out_before: bool
    left_out_after: bool
    score_before: float
    score_after: float
    passed_before: bool
    passed_after: bool

    @property
    def changes(self) -> bool:
        if self.after is None or self.by_hand:
            return False
        return (self.before, self.left_out_before) != (self.after, self.left_out_after)

    @property
    def turns(self) -> bool:
        """Whether the paper becomes passed, or not passed."""
        return self.passed_before != self.passed_after


@dataclass(frozen=True, slots=True)
class Resting:
    """A grant that rested on a paper whose score would change."""

    grant_id: int
    person_id: int
    person: str
    clearance: str


@dataclass(frozen=True, slots=True)
class Plan:
    """rows: of papers handed in, those that would change first; still_out: papers with the question that are still out

    own: papers of the actor's own, or of a quiz that they have still to sit, which someone else must grade anew
    """

    question: str
    version: int
    how: str
    rows: tuple[Touched, ...]
    resting: tuple[Resting, ...]
    still_out: int
    own: int

    @property
    def changing(self) -> tuple[Touched, ...]:
        return tuple(row for row in self.rows if row.changes)

    @property
    def counted(self) -> Counter[str]:
        """How many papers "change", "pass" now, "fail" now, stay "by hand", or "cannot" be worked out anew."""
        found = Counter(change=len(self.changing))
        for row in self.rows:
            found["pass"] += row.changes and row.turns and row.passed_after
            found["fail"] += row.changes and row.turns and row.passed_before
            found["by hand"] += row.by_hand
            found["cannot"] += row.after is None
        return found

    @property
    def mark(self) -> str:
        """A mark of what would be done, so that nothing else is done when the trainer confirms it."""
        done = [[row.paper_question_id, row.before, row.after, row.left_out_after] for row in self.changing]
        return fingerprint([self.question, self.version, self.how, sorted(done, key=lambda one: one[0])])


def mend_with(question: Question | None) -> Mending:
    """Grades a frozen draw by the question as the bank holds it now."""

    def mend(frozen: Any, typed: str | None, language: str, standard: Mapping[str, Any]) -> Mended | None:
        draw = corrected(Draw.from_json(frozen), question, standard) if question is not None else None
        if draw is None:
            return None
        if typed is None:
            return Mended(0.0, draw.answer(language))
        languages = (language, *(other for other in ("en", "es") if other != language))
        graded = [
            one
            for one in (grade_answer(draw, typed, each) for each in languages)
            if one.status != "unreadable"
        ]
        return Mended(graded[0].credit, draw.answer(language)) if graded else None

    return mend


def right_answer(frozen: Any, language: str) -> str:
    """The right answer that a paper froze."""
    return Draw.from_json(frozen).answer(language)


def plan(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    question: str,
    version: int,
    how: str,
    mend: Mending,
    then: Callable[[Any, str], str] = right_answer,
) -> Plan:
    """What would change. mend: the mended answer, None where it cannot be said; then: the right answer as frozen."""
    need_reviewer(actor)
    found = _asked_on(session, question, version)
    closed = [row for row in found if row.closed_at is not None]
    to_sit = set(session.scalars(sitting(actor)))
    others = [row for row in closed if row.person_id != actor.id and row.quiz_id not in to_sit]
    sums = sums_of(session, [row.paper_id for row in others])
    standards = _standards(session)
    rows = [
        _touched(
            row, how, sums[row.paper_id], lambda at: _standard_at(standards, at), mend, then, actor.language
        )
        for row in others
    ]
    rows.sort(key=lambda row: (not row.changes, not row.turns, row.person.casefold(), row.paper_id))
    changing = {row.paper_id: row for row in rows if row.changes}
    return Plan(
        question,
        version,
        how,
        tuple(rows),
        resting_on(session, changing.keys(), {row.person_id for row in changing.values()}, now),
        len(found) - len(closed),
        len(closed) - len(others),
    )


def _asked_on(session: Session, question: str, version: int) -> Sequence[Any]:
    """Every paper that asked it, with the answer and the grade that holds; not what a paper never came to."""
    hints = (
        select(func.count())
        .where(HintOpening.paper_question_id == PaperQuestion.id)
        .correlate(PaperQuestion)
        .scalar_subquery()
    )
    return session.execute(
        select(
            PaperQuestion.id,
            PaperQuestion.paper_id,
            PaperQuestion.position,
            PaperQuestion.must_pass,
            PaperQuestion.draw,
            Paper.person_id,
            Paper.quiz_id,
            Paper.closed_at,
            Paper.closed_how,
            Person.name,
            Person.language,
            Quiz,
            Answer.typed,
            Answer.shown,
            RIGHT.label("right"),
            CREDIT.label("credit"),
            GradeChange.left_out,
            _by_hand().label("by_hand"),
            hints.label("hints"),
        )
        .join(Paper, Paper.id == PaperQuestion.paper_id)
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .join(Person, Person.id == Paper.person_id)
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .outerjoin(GradeChange, and_(GradeChange.paper_question_id == PaperQuestion.id, last_change()))
        .where(
            PaperQuestion.question == question,
            PaperQuestion.version == version,
            or_(Answer.id.is_not(None), Paper.closed_how.is_distinct_from(DECIDED)),
            # A paper taken back before it was opened was never sat.
            or_(Paper.closed_how.is_distinct_from("taken back"), Paper.opened_at.is_not(None)),
        )
        .order_by(PaperQuestion.id)
    ).all()


def _by_hand() -> ColumnElement[bool]:
    """That the grade that holds was set by a trainer on this one paper."""
    anew = exists().where(RegradedPaper.change_id == GradeChange.id)
    return and_(GradeChange.id.is_not(None), ~anew)


def _touched(
    row: Any,
    how: str,
    sums: Sums,
    standard_at: Callable[[datetime], Mapping[str, Any]],
    mend: Mending,
    then: Callable[[Any, str], str],
    language: str,
) -> Touched:
    left_out, credit = bool(row.left_out), float(row.credit)
    answer_then = then(row.draw, language)
    answer_now: str | None = answer_then
    after: float | None = 1.0 if how == FULL else credit
    if how == CORRECTED:
        mended = mend(row.draw, row.typed, row.language, standard_at(row.Quiz.at))
        answer_now = mended.right_answer if mended is not None else None
        after = mended.credit * left_after(row.Quiz.hint_cost, row.hints) if mended is not None else None
    by_hand = how == CORRECTED and bool(row.by_hand)
    same = after is None or by_hand
    out_after = left_out if same else how == LEFT_OUT
    before = result_of(row.Quiz, row.closed_how, sums)
    result = before if same else _with(row, sums, after or 0.0, out_after)
    return Touched(
        paper_id=row.paper_id,
        position=row.position,
        paper_question_id=row.id,
        person_id=row.person_id,
        person=row.name,
        title=row.Quiz.title,
        closed_at=row.closed_at,
        shown=row.shown,
        right_then=answer_then,
        right_now=answer_now,
        before=credit,
        after=after,
        by_hand=by_hand,
        left_out_before=left_out,
        left_out_after=out_after,
        score_before=min(before.percent, 100.0),
        score_after=min(result.percent, 100.0),
        passed_before=before.passed,
        passed_after=result.passed,
    )


def _with(row: Any, sums: Sums, credit: float, left_out: bool) -> Result:
    """What the paper comes to with another grade for this one question."""
    answered = row.typed is not None
    was = _alone(bool(row.left_out), float(row.credit), bool(row.right), row.must_pass, answered)
    # A credit that stays as it was stays right or not, as a hint's price never makes an answer wrong.
    right = bool(row.right) if credit == row.credit else credit >= 1.0 - EXACT
    is_now = _alone(left_out, credit, right, row.must_pass, answered)
    moved = {
        one.name: getattr(sums, one.name) - getattr(was, one.name) + getattr(is_now, one.name)
        for one in fields(Sums)
    }
    return result_of(row.Quiz, row.closed_how, Sums(**moved))


def _alone(left_out: bool, credit: float, right: bool, must_pass: bool, answered: bool) -> Sums:
    """What one question adds to the sums of its paper; hints play no part in the result."""
    if left_out:
        return Sums(left_out=1, left_out_answered=int(answered))
    missed = int(must_pass and not right)
    return Sums(1, int(answered), int(right), credit, missed, missed * int(answered))


def _standards(session: Session) -> Sequence[tuple[datetime, Mapping[str, Any]]]:
    """Every revision of the shop standard, oldest first, each whole."""
    rows = session.execute(select(StandardRevision.at, StandardRevision.values).order_by(StandardRevision.id))
    return [(at, complete_standard(values)) for at, values in rows]


def _standard_at(
    standards: Sequence[tuple[datetime, Mapping[str, Any]]], moment: datetime
) -> Mapping[str, Any]:
    held = [values for at, values in standards if at <= moment]
    return held[-1] if held else complete_standard({})


def resting_on(
    session: Session, papers: Collection[int], people: Collection[int], now: datetime
) -> tuple[Resting, ...]:
    """The grants still running that rested on these papers, or on another clearance whose grant did: one statement."""
    if not papers:
        return ()
    on = today_in_shop(session, now)
    rows = session.execute(
        select(Grant.id, Grant.person_id, Person.name, Grant.clearance, Grant.evidence)
        .join(Person, Person.id == Grant.person_id)
        .where(Grant.person_id.in_(people), or_(Grant.until.is_(None), Grant.until >= on))
        .order_by(Person.name, Grant.id)
    ).all()
    touched: dict[int, set[str]] = {}
    found = {row.id for row in rows if not papers_behind(row.evidence).isdisjoint(papers)}
    for row in rows:
        if row.id in found:
            touched.setdefault(row.person_id, set()).add(row.clearance)
    more = True
    while more:  # a clearance that required one of these rests on the paper too
        further = [
            row
            for row in rows
            if row.id not in found
            and not clearances_behind(row.evidence).isdisjoint(touched.get(row.person_id, ()))
        ]
        for row in further:
            found.add(row.id)
            touched[row.person_id].add(row.clearance)
        more = bool(further)
    return tuple(Resting(*row[:4]) for row in rows if row.id in found)
