"""Questions graded anew, papers sent back to be done again, and answers typed in from paper."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "grade_change", sa.Column("left_out", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    op.create_table(
        "regrade",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("how", sa.String(), nullable=False),
        sa.Column("by_version", sa.Integer(), nullable=True),
        sa.Column("by_hash", sa.String(), nullable=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_regrade_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_regrade")),
        sa.UniqueConstraint("form_token", name=op.f("uq_regrade_form_token")),
    )
    op.create_table(
        "regraded_paper",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("regrade_id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("change_id", sa.Integer(), nullable=False),
        sa.Column("before", sa.Double(), nullable=False),
        sa.Column("after", sa.Double(), nullable=False),
        sa.Column("passed_before", sa.Boolean(), nullable=False),
        sa.Column("passed_after", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "before BETWEEN 0 AND 100 AND after BETWEEN 0 AND 100", name=op.f("ck_regraded_paper_percent")
        ),
        sa.ForeignKeyConstraint(
            ["regrade_id"], ["regrade.id"], name=op.f("fk_regraded_paper_regrade_id_regrade")
        ),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_regraded_paper_paper_id_paper")),
        sa.ForeignKeyConstraint(
            ["change_id"], ["grade_change.id"], name=op.f("fk_regraded_paper_change_id_grade_change")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_regraded_paper")),
        sa.UniqueConstraint("regrade_id", "paper_id", name=op.f("uq_regraded_paper_regrade_id_paper_id")),
        sa.UniqueConstraint("change_id", name=op.f("uq_regraded_paper_change_id")),
    )
    op.create_index(op.f("ix_regraded_paper_paper_id"), "regraded_paper", ["paper_id"])
    op.create_table(
        "grant_doubt",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("grant_id", sa.Integer(), nullable=False),
        sa.Column("regrade_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("settled_by_id", sa.Integer(), nullable=True),
        sa.Column("settled_note", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["grant_id"], ["clearance_grant.id"], name=op.f("fk_grant_doubt_grant_id_clearance_grant")
        ),
        sa.ForeignKeyConstraint(
            ["regrade_id"], ["regrade.id"], name=op.f("fk_grant_doubt_regrade_id_regrade")
        ),
        sa.ForeignKeyConstraint(
            ["settled_by_id"], ["person.id"], name=op.f("fk_grant_doubt_settled_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_grant_doubt")),
        sa.UniqueConstraint("grant_id", "regrade_id", name=op.f("uq_grant_doubt_grant_id_regrade_id")),
    )
    op.create_index(op.f("ix_grant_doubt_settled_at"), "grant_doubt", ["settled_at"])
    op.create_table(
        "sent_back",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("again_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_sent_back_paper_id_paper")),
        sa.ForeignKeyConstraint(["again_id"], ["paper.id"], name=op.f("fk_sent_back_again_id_paper")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_sent_back_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sent_back")),
        sa.UniqueConstraint("paper_id", name=op.f("uq_sent_back_paper_id")),
        sa.UniqueConstraint("again_id", name=op.f("uq_sent_back_again_id")),
    )
    op.create_table(
        "answer_entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("answer_id", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["answer_id"], ["answer.id"], name=op.f("fk_answer_entry_answer_id_answer")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_answer_entry_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer_entry")),
        sa.UniqueConstraint("answer_id", name=op.f("uq_answer_entry_answer_id")),
    )
