"""Photographs of sign-offs, and papers of certificates."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "stored_file",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("form_token", sa.String(), nullable=False),
        sa.Column("media", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=True),
        sa.Column("height", sa.Integer(), nullable=True),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.Column("small", sa.LargeBinary(), nullable=True),
        sa.CheckConstraint("media IN ('image/jpeg', 'application/pdf')", name=op.f("ck_stored_file_media")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_stored_file_person_id_person")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_stored_file_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stored_file")),
        sa.UniqueConstraint(
            "by_id",
            "person_id",
            "form_token",
            "sha256",
            name=op.f("uq_stored_file_by_id_person_id_form_token_sha256"),
        ),
    )
    with op.batch_alter_table("stored_file", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_stored_file_person_id"), ["person_id"], unique=False)
    op.create_table(
        "sign_off_photo",
        sa.Column("sign_off_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("file_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["sign_off_id"], ["sign_off.id"], name=op.f("fk_sign_off_photo_sign_off_id_sign_off")
        ),
        sa.ForeignKeyConstraint(
            ["file_id"], ["stored_file.id"], name=op.f("fk_sign_off_photo_file_id_stored_file")
        ),
        sa.PrimaryKeyConstraint("sign_off_id", "position", name=op.f("pk_sign_off_photo")),
    )
    with op.batch_alter_table("sign_off_photo", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_off_photo_file_id"), ["file_id"], unique=False)
    with op.batch_alter_table("certificate", schema=None) as batch_op:
        batch_op.add_column(sa.Column("file_id", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(
            batch_op.f("fk_certificate_file_id_stored_file"), "stored_file", ["file_id"], ["id"]
        )
        batch_op.create_index(batch_op.f("ix_certificate_file_id"), ["file_id"], unique=False)
