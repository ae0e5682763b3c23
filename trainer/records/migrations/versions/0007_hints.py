"""Hints at a price: what a quiz asks for one, and which were opened."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("quiz", sa.Column("hint_cost", sa.Integer(), nullable=True))
    op.create_table(
        "hint_opening",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_question_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["paper_question_id"],
            ["paper_question.id"],
            name=op.f("fk_hint_opening_paper_question_id_paper_question"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hint_opening")),
        sa.UniqueConstraint(
            "paper_question_id", "number", name=op.f("uq_hint_opening_paper_question_id_number")
        ),
    )
