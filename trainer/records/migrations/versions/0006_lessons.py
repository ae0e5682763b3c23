"""How far people came in lessons, their check answers, and older versions that are accepted.

Readings noted before stay as they are and go on counting; they hold no check questions.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "lesson_place",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("lesson", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("section", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_lesson_place_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson_place")),
        sa.UniqueConstraint(
            "person_id", "lesson", "version", name=op.f("uq_lesson_place_person_id_lesson_version")
        ),
    )
    op.create_table(
        "check_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("lesson", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("question_version", sa.Integer(), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("typed", sa.String(), nullable=False),
        sa.Column("shown", sa.String(), nullable=False),
        sa.Column("right", sa.Boolean(), nullable=False),
        sa.Column("slip", sa.String(), nullable=True),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_check_answer_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_check_answer")),
        sa.UniqueConstraint("form_token", name=op.f("uq_check_answer_form_token")),
        sa.UniqueConstraint(
            "person_id",
            "lesson",
            "version",
            "question",
            "attempt",
            name=op.f("uq_check_answer_person_id_lesson_version_question_attempt"),
        ),
    )
    op.create_table(
        "lesson_acceptance",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lesson", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("present", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_by_id", sa.Integer(), nullable=True),
        sa.Column("ended_on", sa.Date(), nullable=True),
        sa.Column("ended_reason", sa.String(), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_lesson_acceptance_by_id_person")),
        sa.ForeignKeyConstraint(
            ["ended_by_id"], ["person.id"], name=op.f("fk_lesson_acceptance_ended_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson_acceptance")),
        sa.UniqueConstraint("form_token", name=op.f("uq_lesson_acceptance_form_token")),
    )
    op.add_column("lesson_reading", sa.Column("checked", sa.JSON(), nullable=True))
