"""The first schema."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "history_head",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_history_head_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_history_head")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("sign_in", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("password_hash", sa.String(), nullable=True),
        sa.Column("session_stamp", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("sign_in", name=op.f("uq_person_sign_in")),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("language", sa.String(), nullable=False),
        sa.Column("secret", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_shop_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
    )
    op.create_table(
        "sign_in_try",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("source_key", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("worked", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in_try")),
    )
    with op.batch_alter_table("sign_in_try", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_in_try_name_key_at"), ["name_key", "at"], unique=False)
        batch_op.create_index(batch_op.f("ix_sign_in_try_source_key_at"), ["source_key", "at"], unique=False)

    op.create_table(
        "clearance_grant",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("clearance", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("until", sa.Date(), nullable=True),
        sa.Column("evidence", sa.JSON(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("person_id <> by_id", name=op.f("ck_clearance_grant_not_by_oneself")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_clearance_grant_by_id_person")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_clearance_grant_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clearance_grant")),
    )
    with op.batch_alter_table("clearance_grant", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_clearance_grant_person_id_clearance"), ["person_id", "clearance"], unique=False
        )

    op.create_table(
        "entry_code",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("code_hash", sa.String(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_entry_code_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry_code")),
    )
    with op.batch_alter_table("entry_code", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_entry_code_person_id"), ["person_id"], unique=False)

    op.create_table(
        "event",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("actor_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.Column("previous", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["actor_id"], ["person.id"], name=op.f("fk_event_actor_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_event_person_id_person")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_event")),
    )
    with op.batch_alter_table("event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_event_kind"), ["kind"], unique=False)
        batch_op.create_index(batch_op.f("ix_event_person_id"), ["person_id"], unique=False)

    op.create_table(
        "lesson_reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("lesson", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_lesson_reading_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson_reading")),
        sa.UniqueConstraint(
            "person_id", "lesson", "version", name=op.f("uq_lesson_reading_person_id_lesson_version")
        ),
    )
    op.create_table(
        "person_role",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.CheckConstraint("role IN ('apprentice', 'trainer', 'owner')", name=op.f("ck_person_role_known")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_person_role_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "role", name=op.f("pk_person_role")),
    )
    op.create_table(
        "practice_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("skills", sa.JSON(), nullable=False),
        sa.Column("typed", sa.String(), nullable=False),
        sa.Column("shown", sa.String(), nullable=False),
        sa.Column("right", sa.Boolean(), nullable=False),
        sa.Column("credit", sa.Double(), nullable=False),
        sa.Column("slip", sa.String(), nullable=True),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_practice_answer_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practice_answer")),
        sa.UniqueConstraint("form_token", name=op.f("uq_practice_answer_form_token")),
    )
    with op.batch_alter_table("practice_answer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_practice_answer_person_id"), ["person_id"], unique=False)

    op.create_table(
        "quiz",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("pass_mark", sa.Integer(), nullable=False),
        sa.Column("due", sa.DateTime(timezone=True), nullable=True),
        sa.Column("spec", sa.JSON(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.CheckConstraint("pass_mark BETWEEN 1 AND 100", name=op.f("ck_quiz_percent")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_quiz_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quiz")),
        sa.UniqueConstraint("form_token", name=op.f("uq_quiz_form_token")),
    )
    op.create_table(
        "sign_off",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("task", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("observer_id", sa.Integer(), nullable=False),
        sa.Column("passed", sa.Boolean(), nullable=False),
        sa.Column("criteria", sa.JSON(), nullable=False),
        sa.Column("fails", sa.JSON(), nullable=False),
        sa.Column("measures", sa.JSON(), nullable=False),
        sa.Column("notes", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.CheckConstraint("person_id <> observer_id", name=op.f("ck_sign_off_not_by_oneself")),
        sa.ForeignKeyConstraint(["observer_id"], ["person.id"], name=op.f("fk_sign_off_observer_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_sign_off_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_off")),
        sa.UniqueConstraint("form_token", name=op.f("uq_sign_off_form_token")),
    )
    with op.batch_alter_table("sign_off", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_off_person_id"), ["person_id"], unique=False)

    op.create_table(
        "standard_revision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("values", sa.JSON(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_standard_revision_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_standard_revision")),
    )
    op.create_table(
        "suspension",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("clearance", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("since", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("lifted_by_id", sa.Integer(), nullable=True),
        sa.Column("lifted_on", sa.Date(), nullable=True),
        sa.Column("lifted_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("lifted_reason", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_suspension_by_id_person")),
        sa.ForeignKeyConstraint(
            ["lifted_by_id"], ["person.id"], name=op.f("fk_suspension_lifted_by_id_person")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_suspension_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_suspension")),
    )
    with op.batch_alter_table("suspension", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_suspension_person_id_clearance"), ["person_id", "clearance"], unique=False
        )

    op.create_table(
        "paper",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("quiz_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_how", sa.String(), nullable=True),
        sa.Column("reviewed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("reviewed_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_paper_person_id_person")),
        sa.ForeignKeyConstraint(["quiz_id"], ["quiz.id"], name=op.f("fk_paper_quiz_id_quiz")),
        sa.ForeignKeyConstraint(
            ["reviewed_by_id"], ["person.id"], name=op.f("fk_paper_reviewed_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper")),
        sa.UniqueConstraint("quiz_id", "person_id", name=op.f("uq_paper_quiz_id_person_id")),
    )
    with op.batch_alter_table("paper", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_paper_person_id_closed_at"), ["person_id", "closed_at"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_paper_reviewed_at_closed_at"), ["reviewed_at", "closed_at"], unique=False
        )

    op.create_table(
        "comment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=True),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_comment_by_id_person")),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_comment_paper_id_paper")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_comment")),
        sa.UniqueConstraint("form_token", name=op.f("uq_comment_form_token")),
    )
    with op.batch_alter_table("comment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_comment_paper_id"), ["paper_id"], unique=False)

    op.create_table(
        "paper_question",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("skills", sa.JSON(), nullable=False),
        sa.Column("must_pass", sa.Boolean(), nullable=False),
        sa.Column("draw", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_paper_question_paper_id_paper")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper_question")),
        sa.UniqueConstraint("paper_id", "position", name=op.f("uq_paper_question_paper_id_position")),
    )
    op.create_table(
        "answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_question_id", sa.Integer(), nullable=False),
        sa.Column("typed", sa.String(), nullable=False),
        sa.Column("shown", sa.String(), nullable=False),
        sa.Column("right", sa.Boolean(), nullable=False),
        sa.Column("credit", sa.Double(), nullable=False),
        sa.Column("slip", sa.String(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.CheckConstraint("credit BETWEEN 0 AND 1", name=op.f("ck_answer_credit")),
        sa.ForeignKeyConstraint(
            ["paper_question_id"],
            ["paper_question.id"],
            name=op.f("fk_answer_paper_question_id_paper_question"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer")),
        sa.UniqueConstraint("form_token", name=op.f("uq_answer_form_token")),
        sa.UniqueConstraint("paper_question_id", name=op.f("uq_answer_paper_question_id")),
    )
    op.create_table(
        "grade_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_question_id", sa.Integer(), nullable=False),
        sa.Column("before", sa.Double(), nullable=False),
        sa.Column("after", sa.Double(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=True),
        sa.CheckConstraint("after BETWEEN 0 AND 1", name=op.f("ck_grade_change_credit")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_grade_change_by_id_person")),
        sa.ForeignKeyConstraint(
            ["paper_question_id"],
            ["paper_question.id"],
            name=op.f("fk_grade_change_paper_question_id_paper_question"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_grade_change")),
        sa.UniqueConstraint("form_token", name=op.f("uq_grade_change_form_token")),
    )
    with op.batch_alter_table("grade_change", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_grade_change_paper_question_id"), ["paper_question_id"], unique=False
        )

    # ### end Alembic commands ###
