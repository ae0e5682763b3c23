"""What a certification record holds: a person's clearances on a day, and what each grant rested on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session, joinedload

from trainer.clearance import Clearance, Rules, Standing, standings
from trainer.clearance.training import Training, people_in, trainings
from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_self_or_reviewer
from trainer.records.evidence import evidence_of
from trainer.records.fingerprints import fingerprint
from trainer.records.models import Event, Grant, Person
from trainer.records.queries.person_rows import person_row
from trainer.records.queries.rows import PersonRow


@dataclass(frozen=True, slots=True)
class Certified:
    """One grant with what it rested on.

    rule: the clearance as it is now, None when it is gone; standing: of the person on the day of the record
    mark: the fingerprint of the copy of the evidence; told: of the same in the history, None when there is none
    """

    grant_id: int
    clearance: str
    name: Text
    version: int
    rule: Clearance | None
    by: str
    since: date
    until: date | None
    trainings: tuple[Training, ...]
    standing: Standing | None
    mark: str
    told: str | None

    @property
    def trainers(self) -> tuple[str, ...]:
        """Who assigned the quizzes and watched the practicals."""
        taught = [name for one in self.trainings if one.kind in ("quiz", "sign-off") for name in one.by]
        return tuple(dict.fromkeys(taught))

    @property
    def intact(self) -> bool:
        """Whether the copy is the one that the history tells of."""
        return self.mark == self.told


@dataclass(frozen=True, slots=True)
class Certification:
    """Of one person on one day: every standing, and the grants that the record is about."""

    person: PersonRow
    on: date
    standings: tuple[Standing, ...]
    certified: tuple[Certified, ...]

    @property
    def trainers(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name for one in self.certified for name in one.trainers))


def certification(session: Session, actor: Actor, person_id: int, on: date, rules: Rules) -> Certification:
    """The person's clearances on the day, each with the grant in force then. One's own, or anyone's for staff."""
    need_self_or_reviewer(actor, person_id)
    person = person_row(session, person_id)
    stands = standings(person_id, evidence_of(session, person_id), on, rules)
    given = {one.grant.id for one in stands if one.grant is not None}
    rows = session.scalars(
        select(Grant).where(Grant.person_id == person_id, Grant.id.in_(given)).options(joinedload(Grant.by))
    ).all()
    order = {name: place for place, name in enumerate(rules.clearances)}
    rows = sorted(rows, key=lambda row: (order.get(row.clearance, len(order)), row.id))
    return Certification(person, on, stands, _certified(session, rows, stands, rules))


def granted(session: Session, actor: Actor, grant_id: int, on: date, rules: Rules) -> Certification:
    """One grant, in force or not, with the person's standings on the day. Raises UnknownName."""
    row = session.scalars(
        select(Grant).where(Grant.id == grant_id).options(joinedload(Grant.by))
    ).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such grant.", es="No existe esa autorización otorgada."))
    need_self_or_reviewer(actor, row.person_id)
    person = person_row(session, row.person_id)
    stands = standings(row.person_id, evidence_of(session, row.person_id), on, rules)
    return Certification(person, on, stands, _certified(session, [row], stands, rules))


def _certified(
    session: Session, rows: Iterable[Grant], stands: tuple[Standing, ...], rules: Rules
) -> tuple[Certified, ...]:
    rows = list(rows)
    ids = {id for row in rows for id in people_in(row.evidence)}
    people = session.execute(select(Person.id, Person.name).where(Person.id.in_(ids)))
    names = {row.id: row.name for row in people}
    events = session.execute(
        select(Event.facts).where(
            Event.kind == "clearance granted", Event.person_id.in_({row.person_id for row in rows})
        )
    )
    told = {facts.get("grant"): facts.get("evidence_hash") for (facts,) in events}
    by_clearance = {one.clearance: one for one in stands}
    return tuple(
        Certified(
            grant_id=row.id,
            clearance=row.clearance,
            name=rules.clearance_name(row.clearance),
            version=row.version,
            rule=rules.clearances.get(row.clearance),
            by=row.by.name,
            since=row.since,
            until=row.until,
            trainings=trainings(row.evidence, names),
            standing=by_clearance.get(row.clearance),
            mark=fingerprint(row.evidence),
            told=told.get(row.id),
        )
        for row in rows
    )
