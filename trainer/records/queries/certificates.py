"""One person's certificates from outside, and one of them."""

from __future__ import annotations

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session, joinedload

from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_self_or_reviewer
from trainer.records.models import Certificate
from trainer.records.queries.person_rows import person_row
from trainer.records.queries.rows import CertificateRow, PersonCertificates


def certificates(session: Session, actor: Actor, person_id: int) -> PersonCertificates:
    """One person's certificates, newest first: one's own, or anyone's for a trainer or owner."""
    need_self_or_reviewer(actor, person_id)
    return PersonCertificates(
        person_row(session, person_id), certificate_rows(session, Certificate.person_id == person_id)
    )


def certificate(session: Session, actor: Actor, certificate_id: int) -> CertificateRow:
    """One certificate: one's own, or anyone's for a trainer or owner. Raises UnknownName."""
    rows = certificate_rows(session, Certificate.id == certificate_id)
    if not rows:
        raise UnknownName(Text(en="There is no such certificate.", es="No existe esa constancia."))
    need_self_or_reviewer(actor, rows[0].person_id)
    return rows[0]


def certificate_rows(session: Session, *where: ColumnElement[bool]) -> tuple[CertificateRow, ...]:
    """Certificates, newest first: one statement."""
    rows = session.scalars(
        select(Certificate)
        .where(*where)
        .options(
            joinedload(Certificate.person), joinedload(Certificate.by), joinedload(Certificate.withdrawn_by)
        )
        .order_by(Certificate.id.desc())
    )
    return tuple(
        CertificateRow(
            row.id,
            row.kind,
            row.person_id,
            row.person.name,
            row.issuer,
            row.issued,
            row.expires,
            row.by.name,
            row.entered_on,
            row.withdrawn_on,
            row.withdrawn_by.name if row.withdrawn_by else None,
            row.withdrawn_reason,
        )
        for row in rows
    )
