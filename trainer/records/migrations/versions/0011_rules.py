"""Versions of the rules of clearance. An old store gets its first one when the program starts, which knows them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "rules_version",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("since", sa.Date(), nullable=True),
        sa.Column("how", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("shipped", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_rules_version_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rules_version")),
        sa.UniqueConstraint("form_token", name=op.f("uq_rules_version_form_token")),
    )
