"""What boards of many people are read from: the marks alone on a closed paper's copy, so that those of many papers are
one and the same text, with which of them had to be right only because a trainer chose so; and with a sign-off whether
nothing in it contradicts that it was passed."""

from __future__ import annotations

import json
from itertools import groupby
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017c"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("sign_off", sa.Column("sound", sa.Boolean(), nullable=False, server_default=sa.false()))
    store = op.get_bind()
    _note_the_sound(store)
    _write_the_marks(store)


def _note_the_sound(store: sa.Connection) -> None:
    seen = sa.text(
        "SELECT id, CAST(criteria AS TEXT), CAST(fails AS TEXT), CAST(measures AS TEXT) FROM sign_off"
    )
    rows = [
        {"row": id, "sound": True} for id, *parts in store.execute(seen) if _sound(*map(json.loads, parts))
    ]
    if rows:
        store.execute(sa.text("UPDATE sign_off SET sound = :sound WHERE id = :row"), rows)


def _sound(criteria: list[Any], fails: list[Any], measures: dict[str, Any]) -> bool:
    met = bool(criteria) and all(one is True for one in criteria)
    measured_well = all(isinstance(one, dict) and one.get("ok") is not False for one in measures.values())
    return met and not fails and measured_well


def _write_the_marks(store: sa.Connection) -> None:
    rows = store.execute(
        sa.text(
            "SELECT paper.id, CAST(skills AS TEXT), must_pass, question, CAST(spec AS TEXT), credit, answer.right"
            " FROM paper JOIN quiz ON quiz.id = paper.quiz_id LEFT JOIN paper_question ON paper_question.paper_id = paper.id"
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


def _line(
    skills: str, must_pass: object, question: str, spec: str, credit: float | None, right: object
) -> str:
    chosen = question in json.loads(spec).get("must", ())
    return json.dumps(
        [json.loads(skills), bool(must_pass), chosen, credit, None if right is None else bool(right)]
    )
