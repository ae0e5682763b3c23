"""The list of people, and one person's whole record."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from trainer.clearance import Rules, standings
from trainer.records.actors import Actor, need_reviewer, need_self_or_reviewer
from trainer.records.evidence import evidence_of
from trainer.records.models import Certificate, Paper
from trainer.records.queries.certificates import certificate_rows
from trainer.records.queries.clearances import grant_rows, sign_off_rows, suspension_rows
from trainer.records.queries.learning import lessons_of, practice_of
from trainer.records.queries.paper_rows import paper_query, paper_rows
from trainer.records.queries.person_rows import person_row, person_rows
from trainer.records.queries.regrades import regraded_of
from trainer.records.queries.rows import PersonRecord, PersonRow
from trainer.records.rules import in_force
from trainer.records.shop import today_in_shop


def people(session: Session, actor: Actor) -> tuple[PersonRow, ...]:
    """Everyone; the active first, by name."""
    need_reviewer(actor)
    return person_rows(session)


def person(session: Session, actor: Actor, person_id: int) -> PersonRow:
    """One row of the list. Raises UnknownName."""
    need_reviewer(actor)
    return person_row(session, person_id)


def person_record(
    session: Session, actor: Actor, person_id: int, now: datetime, rules: Rules
) -> PersonRecord:
    """One person's whole record: one's own, or anyone's for a trainer or owner."""
    need_self_or_reviewer(actor, person_id)
    row = person_row(session, person_id)
    papers = session.execute(
        paper_query().where(Paper.person_id == person_id).order_by(Paper.id.desc())
    ).all()
    on = today_in_shop(session, now)
    evidence = evidence_of(session, person_id)
    return PersonRecord(
        person=row,
        lessons=lessons_of(session, person_id, rules, evidence.acceptances),
        papers=paper_rows(session, papers, now),
        sign_offs=sign_off_rows(session, person_id=person_id),
        certificates=certificate_rows(session, Certificate.person_id == person_id),
        practice=practice_of(session, person_id),
        standings=standings(person_id, evidence, on, in_force(session, on, rules)),
        grants=grant_rows(session, person_id),
        suspensions=suspension_rows(session, person_id),
        regraded=regraded_of(session, person_id),
    )
