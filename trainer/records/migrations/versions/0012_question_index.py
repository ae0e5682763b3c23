"""An index that finds the papers which asked a question."""

from __future__ import annotations

from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index(op.f("ix_paper_question_question_paper_id"), "paper_question", ["question", "paper_id"])
