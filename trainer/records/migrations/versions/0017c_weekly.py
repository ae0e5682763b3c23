"""Quizzes that come again each week."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017c"
down_revision = "0017b"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "quiz_repeat",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("crews", sa.JSON(), nullable=False),
        sa.Column("people", sa.JSON(), nullable=False),
        sa.Column("until", sa.Date(), nullable=True),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("next_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("trouble", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("stopped_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("stopped_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_quiz_repeat_by_id_person")),
        sa.ForeignKeyConstraint(
            ["stopped_by_id"], ["person.id"], name=op.f("fk_quiz_repeat_stopped_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quiz_repeat")),
    )
    with op.batch_alter_table("quiz_repeat", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_quiz_repeat_next_at"), ["next_at"], unique=False)
    with op.batch_alter_table("quiz", schema=None) as batch_op:
        batch_op.add_column(sa.Column("repeat_id", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("week", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(
            op.f("fk_quiz_repeat_id_quiz_repeat"), "quiz_repeat", ["repeat_id"], ["id"]
        )
        batch_op.create_unique_constraint(op.f("uq_quiz_repeat_id_week"), ["repeat_id", "week"])
