"""Lessons whose present version is newer than what people read: who they are, and what accepting it would change."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session, joinedload

from trainer.clearance import AcceptanceEvidence, Evidence, Rules, changes
from trainer.records.actors import Actor, need_reviewer
from trainer.records.evidence import all_evidence
from trainer.records.models import LessonAcceptance, Person
from trainer.records.queries.person_rows import person_rows
from trainer.records.queries.rows import PersonRow
from trainer.records.queries.version_rows import AcceptanceRow, ChangedLesson, OlderReader
from trainer.records.rules import in_force


def changed_lessons(session: Session, actor: Actor, on: date, rules: Rules) -> tuple[ChangedLesson, ...]:
    """Every lesson that someone active read at an older version only, or that was ever accepted, as things stand on a day.

    For each reader: what would change if their version were accepted by the actor, or asked again where it is accepted.
    """
    need_reviewer(actor)
    rules = in_force(session, on, rules)
    everyone = person_rows(session, Person.left_at.is_(None), by_name=True)
    evidence = all_evidence(session)
    acceptances = _acceptances(session)
    found = []
    for lesson in rules.lessons.values():
        readers = [
            reader
            for person in everyone
            if (reader := _reader(person, evidence[person.id], lesson.id, actor, on, rules)) is not None
        ]
        accepted = acceptances.get(lesson.id, ())
        if readers or accepted:
            found.append(
                ChangedLesson(lesson.id, lesson.title, lesson.version, tuple(readers), tuple(accepted))
            )
    return tuple(found)


def _reader(
    person: PersonRow, evidence: Evidence, lesson: str, actor: Actor, on: date, rules: Rules
) -> OlderReader | None:
    """The person when the newest version they read is an older one."""
    present = rules.lessons[lesson].version
    read = [(one.version, one.on) for one in evidence.readings if one.lesson == lesson and one.on is not None]
    if not read or max(read)[0] >= present:
        return None
    version, day = max(read)
    standing = [
        one
        for one in evidence.acceptances
        if (one.lesson, one.present) == (lesson, present)
        and one.version <= version
        and one.holds(person.id, on)
    ]
    if standing:
        otherwise = replace(
            evidence, acceptances=tuple(one for one in evidence.acceptances if one not in standing)
        )
    else:
        accepted = AcceptanceEvidence(lesson, version, present, actor.id, on)
        otherwise = replace(evidence, acceptances=(*evidence.acceptances, accepted))
    return OlderReader(person, version, day, bool(standing), changes(evidence, otherwise, on, rules))


def _acceptances(session: Session) -> Mapping[str, list[AcceptanceRow]]:
    """Every acceptance there ever was, newest first, by lesson."""
    rows = session.scalars(
        select(LessonAcceptance)
        .options(joinedload(LessonAcceptance.by), joinedload(LessonAcceptance.ended_by))
        .order_by(LessonAcceptance.id.desc())
    )
    found: dict[str, list[AcceptanceRow]] = defaultdict(list)
    for row in rows:
        found[row.lesson].append(
            AcceptanceRow(
                row.id,
                row.version,
                row.present,
                row.by_id,
                row.by.name,
                row.since,
                row.reason,
                row.ended_by.name if row.ended_by else None,
                row.ended_on,
                row.ended_reason,
            )
        )
    return found
