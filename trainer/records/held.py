"""What stands in the records, row by row, in the kinds, keys and fields in which `trainer.records.told` tells of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import groupby
from typing import Any, Final

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.records.claim import Key
from trainer.records.deciding import DECIDED
from trainer.records.fingerprints import email_hash, fingerprint, first_score, of_question
from trainer.records.held_desk import DESK
from trainer.records.held_lessons import LESSONS
from trainer.records.held_practicals import PRACTICALS
from trainer.records.held_quizzes import QUIZZES
from trainer.records.held_regrades import REGRADES
from trainer.records.held_rows import Row, Table, parsed, text_of
from trainer.records.models import (
    Absence,
    Answer,
    Comment,
    GradeChange,
    Grant,
    HintOpening,
    Paper,
    PaperQuestion,
    Person,
    PersonRole,
    PrivateLink,
    RulesVersion,
    Shop,
    StandardRevision,
    Suspension,
)
from trainer.records.told import REPEATING, numbered

BATCH = 1000


def held(session: Session) -> Iterator[Row]:
    """Every row of which the history tells; one statement a table, never many rows at once."""
    seen: Counter[tuple[str, Key]] = Counter()
    for query, rows in TABLES:
        batch = query.get_execution_options().get("yield_per", BATCH)
        for found in rows(session.execute(query.execution_options(yield_per=batch))):
            repeats = found.kind in REPEATING
            yield found._replace(key=numbered(seen, found.kind, found.key)) if repeats else found


def _shop(rows: Any) -> Iterator[Row]:
    for name, zone in rows:
        yield Row("shop", (), {"name": name, "zone": zone})


def _standards(rows: Any) -> Iterator[Row]:
    for at, by, values in rows:
        yield Row("standard", (), {"at": at, "by": by, "values": fingerprint(parsed(values))})


def _people(rows: Any) -> Iterator[Row]:
    for (id, name, left, email), of_person in groupby(rows, key=lambda row: tuple(row[:4])):
        roles = sorted(row.role for row in of_person if row.role is not None)
        fields = {"name": name, "roles": roles, "left_at": left, "email": email_hash(email)}
        yield Row("person", (id,), fields)


def _absences(rows: Any) -> Iterator[Row]:
    for person, left, back in rows:
        yield Row("absence", (person, left), {"back_at": back})


def _papers(rows: Any) -> Iterator[Row]:
    for id, person, quiz, go, opened, closed, how, reviewed, by, credit, questions, answered in rows:
        yield Row("paper", (id,), {"person": person, "quiz": quiz, "go": go})
        if opened is not None:
            yield Row("opening", (id,), {"at": opened})
        if closed is not None:
            counted = answered if how == DECIDED else questions
            fields = {"at": closed, "how": how, "score": first_score(credit or 0.0, counted)}
            yield Row("hand-in", (id,), fields)
        if reviewed is not None:
            yield Row("review", (id,), {"at": reviewed, "by": by})


def _questions(rows: Any) -> Iterator[Row]:
    for row in rows:
        paper, position, question, version, hash, seed, skills, must_pass, draw = row[:9]
        fields = {"question": question, "version": version, "hash": hash, "seed": seed}
        frozen = of_question(parsed(skills), must_pass, parsed(draw))
        yield Row("question", (paper, position), {**fields, "frozen": frozen})
        if row.at is not None:
            names = ("typed", "shown", "credit", "right", "slip", "at")
            yield Row("answer", (paper, position), dict(zip(names, row[9:], strict=True)))


def _hints(rows: Any) -> Iterator[Row]:
    for paper, position, number, text, at in rows:
        yield Row("hint", (paper, position, number), {"text": text, "at": at})


def _grade_changes(rows: Any) -> Iterator[Row]:
    for paper, position, at, before, after, left_out, reason, by in rows:
        fields = {"before": before, "after": after, "left_out": left_out, "reason": reason, "by": by}
        yield Row("grade change", (paper, position, at), fields)


def _comments(rows: Any) -> Iterator[Row]:
    for paper, at, position, text, by in rows:
        yield Row("comment", (paper, at), {"position": position, "text": text, "by": by})


def _grants(rows: Any) -> Iterator[Row]:
    for id, clearance, version, since, until, person, by, evidence, at in rows:
        fields = {
            "clearance": clearance,
            "version": version,
            "since": since.isoformat(),
            "until": until.isoformat() if until else None,
            "person": person,
            "by": by,
            "evidence": fingerprint(parsed(evidence)),
            "at": at,
        }
        yield Row("grant", (id,), fields)


def _suspensions(rows: Any) -> Iterator[Row]:
    for id, clearance, since, reason, person, by, at, *lifting in rows:
        fields = {"clearance": clearance, "since": since.isoformat(), "reason": reason}
        yield Row("suspension", (id,), {**fields, "person": person, "by": by, "at": at})
        if any(part is not None for part in lifting):
            lifted_by, lifted_reason, on, lifted_at = lifting
            fields = {"by": lifted_by, "reason": lifted_reason, "on": on.isoformat() if on else None}
            yield Row("lifting", (id,), {**fields, "at": lifted_at})


def _links(rows: Any) -> Iterator[Row]:
    for id, use, person, key_hash, by, at, *withdrawal in rows:
        fields = {"use": use, "person": person, "key_hash": key_hash, "by": by, "at": at}
        yield Row("link", (id,), fields)
        if any(part is not None for part in withdrawal):
            yield Row("link withdrawal", (id,), dict(zip(("by", "at"), withdrawal, strict=True)))


def _rules(rows: Any) -> Iterator[Row]:
    for id, since, content, *rest in rows:
        fields = dict(zip(("how", "reason", "shipped", "by", "at"), rest, strict=True))
        day = since.isoformat() if since else None
        yield Row("rules", (id,), {**fields, "since": day, "rules": fingerprint(parsed(content))})


_CREDIT: Final = (
    select(
        PaperQuestion.paper_id.label("paper"),
        func.sum(Answer.credit).label("credit"),
        func.count(PaperQuestion.id).label("questions"),
        func.count(Answer.id).label("answered"),
    )
    .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
    .group_by(PaperQuestion.paper_id)
    .subquery()
)

TABLES: Final[tuple[Table, ...]] = (
    (select(Shop.name, Shop.zone), _shop),
    (
        select(StandardRevision.at, StandardRevision.by_id, text_of(StandardRevision.values)).order_by(
            StandardRevision.id
        ),
        _standards,
    ),
    (
        select(Person.id, Person.name, Person.left_at, Person.email, PersonRole.role)
        .outerjoin(PersonRole, PersonRole.person_id == Person.id)
        .order_by(Person.id),
        _people,
    ),
    (select(Absence.person_id, Absence.left_at, Absence.back_at).order_by(Absence.id), _absences),
    *DESK,
    *LESSONS,
    *QUIZZES,
    (
        select(
            Paper.id,
            Paper.person_id,
            Paper.quiz_id,
            Paper.go,
            Paper.opened_at,
            Paper.closed_at,
            Paper.closed_how,
            Paper.reviewed_at,
            Paper.reviewed_by_id,
            _CREDIT.c.credit,
            func.coalesce(_CREDIT.c.questions, 0),
            func.coalesce(_CREDIT.c.answered, 0),
        ).outerjoin(_CREDIT, _CREDIT.c.paper == Paper.id),
        _papers,
    ),
    (
        select(
            PaperQuestion.paper_id,
            PaperQuestion.position,
            PaperQuestion.question,
            PaperQuestion.version,
            PaperQuestion.hash,
            PaperQuestion.seed,
            text_of(PaperQuestion.skills),
            PaperQuestion.must_pass,
            text_of(PaperQuestion.draw),
            Answer.typed,
            Answer.shown,
            Answer.credit,
            Answer.right,
            Answer.slip,
            Answer.at,
        ).outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id),
        _questions,
    ),
    (
        select(
            PaperQuestion.paper_id,
            PaperQuestion.position,
            HintOpening.number,
            HintOpening.text,
            HintOpening.at,
        ).join(PaperQuestion, PaperQuestion.id == HintOpening.paper_question_id),
        _hints,
    ),
    (
        select(
            PaperQuestion.paper_id,
            PaperQuestion.position,
            GradeChange.at,
            GradeChange.before,
            GradeChange.after,
            GradeChange.left_out,
            GradeChange.reason,
            GradeChange.by_id,
        )
        .join(PaperQuestion, PaperQuestion.id == GradeChange.paper_question_id)
        .order_by(GradeChange.id),
        _grade_changes,
    ),
    (
        select(Comment.paper_id, Comment.at, Comment.position, Comment.text, Comment.by_id).order_by(
            Comment.id
        ),
        _comments,
    ),
    *REGRADES,
    *PRACTICALS,
    (
        select(
            Grant.id,
            Grant.clearance,
            Grant.version,
            Grant.since,
            Grant.until,
            Grant.person_id,
            Grant.by_id,
            text_of(Grant.evidence),
            Grant.at,
        ),
        _grants,
    ),
    (
        select(
            Suspension.id,
            Suspension.clearance,
            Suspension.since,
            Suspension.reason,
            Suspension.person_id,
            Suspension.by_id,
            Suspension.at,
            Suspension.lifted_by_id,
            Suspension.lifted_reason,
            Suspension.lifted_on,
            Suspension.lifted_at,
        ),
        _suspensions,
    ),
    (
        select(
            PrivateLink.id,
            PrivateLink.use,
            PrivateLink.person_id,
            PrivateLink.key_hash,
            PrivateLink.by_id,
            PrivateLink.at,
            PrivateLink.withdrawn_by_id,
            PrivateLink.withdrawn_at,
        ),
        _links,
    ),
    (
        select(
            RulesVersion.id,
            RulesVersion.since,
            text_of(RulesVersion.content),
            RulesVersion.how,
            RulesVersion.reason,
            RulesVersion.shipped,
            RulesVersion.by_id,
            RulesVersion.at,
        ),
        _rules,
    ),
)
