"""Certificates from outside: put on record as the paper says, and withdrawn with a reason.

One counts from the day it was put on record, so that the answer for an earlier day stays what it was.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.clearance import Rules
from trainer.clearance.words import day
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, active_person_of, checked_text, need_other, need_reviewer
from trainer.records.models import Certificate
from trainer.records.shop import today_in_shop
from trainer.records.submissions import stored_before

OWN: Final = Text(
    en="Nobody puts their own certificate on record.", es="Nadie registra su propia constancia."
)
ISSUER = Text(en="Who issued it", es="quién la expidió")
REASON = Text(en="The reason", es="el motivo")
FIRST_YEAR: Final = 1950
MOST_YEARS: Final = 50  # a last day further off is a slip of the pen


def enter(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    person_id: int,
    kind: str,
    issuer: str,
    issued: date,
    expires: date | None,
    rules: Rules,
    token: str,
) -> int:
    """Put a certificate on record and return its id; the same form sent again gives the same id.

    issued, expires: as the paper says; expires: None when it names no last day, which not every kind may
    Trainer or owner, never for oneself. Refusal when a date cannot be, SentBefore when the form changed.
    """
    need_reviewer(actor)
    need_other(actor, person_id, OWN)
    content = {
        "kind": kind,
        "person_id": person_id,
        "issuer": checked_text(issuer, ISSUER, 200),
        "issued": issued,
        "expires": expires,
        "by_id": actor.id,
    }
    stored = stored_before(session, Certificate, token, content)
    if stored is not None:
        return stored.id
    person = active_person_of(session, person_id)
    on = today_in_shop(session, now)
    check(kind, issued, expires, on, rules)
    row = Certificate(**content, entered_on=on, at=now, form_token=token)
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="certificate entered",
        actor_id=actor.id,
        person_id=person.id,
        certificate=row.id,
        certificate_kind=kind,
        issuer=row.issuer,
        issued=issued,
        expires=expires,
        entered_on=on,
    )
    return row.id


def check(kind: str, issued: date, expires: date | None, on: date, rules: Rules) -> None:
    """Refusal when there is no such kind, or a paper with these dates cannot be."""
    if kind not in rules.certificates:
        raise Refusal(Text(en="Choose the kind of certificate.", es="Elija el tipo de constancia."))
    if issued > on:
        raise Refusal(
            Text(
                en="It cannot have been issued after today, %(today)s.",
                es="No puede haberse expedido después de hoy, %(today)s.",
            ),
            today=day(on),
        )
    if issued.year < FIRST_YEAR:
        raise Refusal(
            Text(
                en="The day it was issued is too long ago.", es="La fecha de expedición es demasiado antigua."
            )
        )
    if expires is None:
        if not rules.certificates[kind].endless:
            raise Refusal(
                Text(
                    en="This kind needs the last day on which it is good.",
                    es="De este tipo hace falta el último día en que vale.",
                )
            )
    elif expires < issued:
        raise Refusal(
            Text(
                en="Its last good day, %(last)s, lies before the day it was issued.",
                es="Su último día válido, %(last)s, es anterior al día en que se expidió.",
            ),
            last=day(expires),
        )
    elif expires.year > issued.year + MOST_YEARS:
        raise Refusal(
            Text(
                en="Its last good day, %(last)s, is more than %(years)s years after it was issued.",
                es="Su último día válido, %(last)s, queda a más de %(years)s años de su expedición.",
            ),
            last=day(expires),
            years=MOST_YEARS,
        )


def withdraw(session: Session, actor: Actor, now: datetime, *, certificate_id: int, reason: str) -> None:
    """End a certificate from today on, with the reason. Trainer or owner.

    Raises UnknownName; Refusal when it was withdrawn before, or without a reason.
    """
    need_reviewer(actor)
    row = session.scalars(
        select(Certificate).where(Certificate.id == certificate_id).with_for_update()
    ).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such certificate.", es="No existe esa constancia."))
    if row.withdrawn_at is not None:
        raise Refusal(Text(en="It was withdrawn already.", es="Ya fue retirada."))
    row.withdrawn_reason = checked_text(reason, REASON)
    row.withdrawn_by_id, row.withdrawn_at, row.withdrawn_on = actor.id, now, today_in_shop(session, now)
    history.append(
        session,
        now,
        kind="certificate withdrawn",
        actor_id=actor.id,
        person_id=row.person_id,
        certificate=row.id,
        withdrawn_on=row.withdrawn_on,
        reason=row.withdrawn_reason,
    )
