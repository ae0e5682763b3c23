"""How many goes a quiz gives, the wait between two, which go a paper is, and who took a quiz back."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017b"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("quiz", schema=None) as batch_op:
        batch_op.add_column(sa.Column("goes", sa.Integer(), server_default="1", nullable=False))
        batch_op.add_column(sa.Column("wait_hours", sa.Integer(), server_default="0", nullable=False))
        batch_op.add_column(sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True))
        batch_op.add_column(sa.Column("ended_by_id", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(op.f("fk_quiz_ended_by_id_person"), "person", ["ended_by_id"], ["id"])
        batch_op.create_check_constraint("goes", "goes BETWEEN 1 AND 10")
        batch_op.create_check_constraint("wait", "wait_hours >= 0")
    with op.batch_alter_table("paper", schema=None) as batch_op:
        batch_op.add_column(sa.Column("go", sa.Integer(), server_default="1", nullable=False))
        batch_op.drop_constraint(op.f("uq_paper_quiz_id_person_id"), type_="unique")
        batch_op.create_unique_constraint(
            op.f("uq_paper_quiz_id_person_id_go"), ["quiz_id", "person_id", "go"]
        )
