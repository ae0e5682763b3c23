"""Certificates from outside."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    moment = sa.DateTime(timezone=True)
    op.create_table(
        "certificate",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("issuer", sa.String(), nullable=False),
        sa.Column("issued", sa.Date(), nullable=False),
        sa.Column("expires", sa.Date(), nullable=True),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("entered_on", sa.Date(), nullable=False),
        sa.Column("at", moment, nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.Column("withdrawn_on", sa.Date(), nullable=True),
        sa.Column("withdrawn_at", moment, nullable=True),
        sa.Column("withdrawn_reason", sa.String(), nullable=True),
        sa.CheckConstraint("person_id <> by_id", name=op.f("ck_certificate_not_by_oneself")),
        sa.CheckConstraint("expires IS NULL OR issued <= expires", name=op.f("ck_certificate_dates")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_certificate_person_id_person")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_certificate_by_id_person")),
        sa.ForeignKeyConstraint(
            ["withdrawn_by_id"], ["person.id"], name=op.f("fk_certificate_withdrawn_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_certificate")),
        sa.UniqueConstraint("form_token", name=op.f("uq_certificate_form_token")),
    )
    with op.batch_alter_table("certificate", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_certificate_person_id_kind"), ["person_id", "kind"], unique=False
        )
