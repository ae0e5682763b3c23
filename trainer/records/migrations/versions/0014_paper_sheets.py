"""A closed paper keeps its answers in one text too, so that a board of many people is read in few rows."""

from __future__ import annotations

import json
from itertools import groupby

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("paper", sa.Column("sheet", sa.String(), nullable=True))
    _fill(op.get_bind())
    with op.batch_alter_table("paper", schema=None) as batch_op:
        batch_op.create_check_constraint("sheet", "closed_at IS NULL OR sheet IS NOT NULL")


def _fill(store: sa.Connection) -> None:
    rows = store.execute(
        sa.text(
            "SELECT paper.id, question, CAST(skills AS TEXT), must_pass, credit, answer.right"
            " FROM paper LEFT JOIN paper_question ON paper_question.paper_id = paper.id"
            " LEFT JOIN answer ON answer.paper_question_id = paper_question.id"
            " WHERE closed_at IS NOT NULL ORDER BY paper.id, position"
        )
    ).all()
    sheets = [
        {"paper": paper, "sheet": "\n".join(_line(*row[1:]) for row in of_paper if row[1] is not None)}
        for paper, of_paper in groupby(rows, key=lambda row: row[0])
    ]
    if sheets:
        store.execute(sa.text("UPDATE paper SET sheet = :sheet WHERE id = :paper"), sheets)


def _line(question: str, skills: str, must_pass: object, credit: float | None, right: object) -> str:
    return json.dumps(
        [question, json.loads(skills), bool(must_pass), credit, None if right is None else bool(right)]
    )
