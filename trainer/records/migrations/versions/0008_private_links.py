"""Private links."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "private_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("use", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("key_hash", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "use IN ('card', 'own days', 'shop days')", name=op.f("ck_private_link_known_use")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_private_link_person_id_person")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_private_link_by_id_person")),
        sa.ForeignKeyConstraint(
            ["withdrawn_by_id"], ["person.id"], name=op.f("fk_private_link_withdrawn_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_private_link")),
        sa.UniqueConstraint("key_hash", name=op.f("uq_private_link_key_hash")),
    )
    op.create_index(op.f("ix_private_link_person_id"), "private_link", ["person_id"])
