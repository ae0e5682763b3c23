"""E-mail addresses, and which digests were sent."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("person", sa.Column("email", sa.String(), nullable=True))
    op.create_table(
        "digest_sent",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_digest_sent_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "day", name=op.f("pk_digest_sent")),
    )
