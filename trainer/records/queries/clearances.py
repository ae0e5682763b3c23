"""The board, one person's clearances, and sign-offs."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import Session, joinedload, selectinload

from trainer.clearance import Job, JobRule, Rules, RulesOn, check_job, standings
from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_reviewer, need_self_or_reviewer
from trainer.records.evidence import all_evidence, away_on, doubted, evidence_of
from trainer.records.measures import Measured
from trainer.records.models import Grant, Person, SignOff, Suspension
from trainer.records.queries.paging import slice_of
from trainer.records.queries.person_rows import person_row, person_rows
from trainer.records.queries.rows import (
    Board,
    BoardRow,
    GrantRow,
    JobView,
    Page,
    PersonClearances,
    PersonRow,
    SignOffRow,
    SuspensionRow,
)
from trainer.records.rules import in_force, in_force_and_waiting
from trainer.records.shop import zone_in_shop


def people_on(session: Session, actor: Actor, on: date) -> tuple[PersonRow, ...]:
    """Everyone active on that day in the shop's zone, by name."""
    need_reviewer(actor)
    zone, away = zone_in_shop(session), away_on(session, on)
    return tuple(
        row
        for row in person_rows(session, by_name=True)
        if row.created_at.astimezone(zone).date() <= on and row.id not in away
    )


def board(
    session: Session,
    actor: Actor,
    on: date,
    rules: Rules,
    people: Sequence[PersonRow] | None = None,
) -> Board:
    """The standing of people on a day on every clearance, in the order given.

    rules: what the program holds; the shop's own version of that day is asked
    people: of `people_on` that day; None for all of them
    """
    need_reviewer(actor)
    rules, undecided = in_force_and_waiting(session, on, rules)
    people = people_on(session, actor, on) if people is None else people
    # Of most of them it is quicker to read everything than to look each one up.
    ever = session.scalar(select(func.count()).select_from(Person)) or 0
    few = [row.id for row in people] if 2 * len(people) < ever else None
    evidence, rules_on = all_evidence(session, few), RulesOn(on, rules)
    rows = tuple(BoardRow(row, rules_on.standings(row.id, evidence[row.id])) for row in people)
    return Board(on, tuple(rules.clearances.values()), rows, undecided, doubted(session))


def job_check(
    session: Session,
    actor: Actor,
    job: Job,
    rules: Rules,
    job_rules: Sequence[JobRule],
    crew: Collection[int] = (),
) -> JobView:
    """Who may go on the job: of the people named, or everyone active on its day; of oneself only, for a new hire."""
    rules = in_force(session, job.on, rules)
    rows = {row.id: row.name for row in person_rows(session, by_name=True)}
    evidence = all_evidence(session) if actor.may_review else {actor.id: evidence_of(session, actor.id)}
    asked = {
        id: evidence[id]
        for id in rows
        if id in evidence
        and not evidence[id].away(job.on)
        and (not crew or id in crew or not actor.may_review)
    }
    return JobView(
        check_job(job, asked, rules, job_rules), rows if actor.may_review else {actor.id: actor.name}, rules
    )


def person_clearances(
    session: Session, actor: Actor, person_id: int, on: date, rules: Rules
) -> PersonClearances:
    """One person's standing on every clearance on a day, with every grant and suspension there ever was."""
    need_self_or_reviewer(actor, person_id)
    rules = in_force(session, on, rules)
    return PersonClearances(
        rules=rules,
        person=person_row(session, person_id),
        on=on,
        standings=standings(person_id, evidence_of(session, person_id), on, rules),
        grants=grant_rows(session, person_id),
        suspensions=suspension_rows(session, person_id),
    )


def sign_off(session: Session, actor: Actor, sign_off_id: int) -> SignOffRow:
    """One sign-off: one's own, or anyone's for a trainer or owner. Raises UnknownName."""
    rows = _sign_offs(session, SignOff.id == sign_off_id)
    if not rows:
        raise UnknownName(Text(en="There is no such sign-off.", es="No existe esa evaluación práctica."))
    need_self_or_reviewer(actor, rows[0].person_id)
    return rows[0]


def sign_off_rows(session: Session, person_id: int) -> tuple[SignOffRow, ...]:
    """One person's sign-offs, newest first."""
    return _sign_offs(session, SignOff.person_id == person_id)


def sign_offs_of(session: Session, actor: Actor, person_id: int) -> tuple[SignOffRow, ...]:
    """One person's sign-offs, newest first, for whoever is to sign off the next."""
    need_reviewer(actor)
    return sign_off_rows(session, person_id)


def sign_offs(session: Session, actor: Actor, page: int = 1, per_page: int = 20) -> Page[SignOffRow]:
    """Everyone's sign-offs, newest first."""
    need_reviewer(actor)
    rows, page, pages, total = slice_of(session, _sign_off_query(), page, per_page)
    return Page(tuple(_sign_off_row(row[0]) for row in rows), page, pages, total)


def _sign_offs(session: Session, *where: ColumnElement[bool]) -> tuple[SignOffRow, ...]:
    return tuple(_sign_off_row(row) for row in session.scalars(_sign_off_query().where(*where)))


def _sign_off_query() -> Select[SignOff]:
    return (
        select(SignOff)
        .options(joinedload(SignOff.person), joinedload(SignOff.observer), selectinload(SignOff.photos))
        .order_by(SignOff.id.desc())
    )


def _sign_off_row(row: SignOff) -> SignOffRow:
    return SignOffRow(
        row.id,
        row.task,
        row.version,
        row.person_id,
        row.person.name,
        row.observer.name,
        row.passed,
        tuple(row.criteria),
        tuple(row.fails),
        {name: Measured.from_json(data) for name, data in row.measures.items()},
        row.notes,
        row.at,
        len(row.photos),
    )


def grant_rows(session: Session, person_id: int) -> tuple[GrantRow, ...]:
    """One person's grants, newest first."""
    rows = session.scalars(
        select(Grant)
        .where(Grant.person_id == person_id)
        .options(joinedload(Grant.by))
        .order_by(Grant.id.desc())
    )
    return tuple(
        GrantRow(row.id, row.clearance, row.version, row.by.name, row.since, row.until, row.evidence, row.at)
        for row in rows
    )


def suspension_rows(session: Session, person_id: int) -> tuple[SuspensionRow, ...]:
    """One person's suspensions, newest first."""
    rows = session.scalars(
        select(Suspension)
        .where(Suspension.person_id == person_id)
        .options(joinedload(Suspension.by), joinedload(Suspension.lifted_by))
        .order_by(Suspension.id.desc())
    )
    return tuple(
        SuspensionRow(
            row.id,
            row.clearance,
            row.by.name,
            row.since,
            row.reason,
            row.lifted_by.name if row.lifted_by else None,
            row.lifted_on,
            row.lifted_reason,
        )
        for row in rows
    )
