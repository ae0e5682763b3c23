"""Crews and who is in them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "crew",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_crew")),
        sa.UniqueConstraint("name_key", name=op.f("uq_crew_name_key")),
    )
    op.create_table(
        "crew_member",
        sa.Column("crew_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["crew_id"], ["crew.id"], name=op.f("fk_crew_member_crew_id_crew")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_crew_member_person_id_person")),
        sa.PrimaryKeyConstraint("crew_id", "person_id", name=op.f("pk_crew_member")),
    )
