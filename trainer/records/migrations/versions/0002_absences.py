"""From when to when a person was deactivated, kept after their return; filled from the history."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    absence = op.create_table(
        "absence",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("back_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_absence_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_absence")),
    )
    with op.batch_alter_table("absence", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_absence_person_id"), ["person_id"], unique=False)
    _fill(op.get_bind(), absence)


def _fill(store: sa.Connection, absence: sa.Table) -> None:
    moment = sa.DateTime(timezone=True)
    event = sa.table("event", *map(sa.column, ("number", "kind", "person_id")), sa.column("at", moment))
    person = sa.table("person", sa.column("id"), sa.column("left_at", moment))
    events = store.execute(
        sa.select(event.c.kind, event.c.person_id, event.c.at)
        .where(event.c.kind.in_(("person deactivated", "person reactivated")))
        .order_by(event.c.number)
    ).all()
    rows: list[dict[str, object]] = []
    away: dict[int, dict[str, object]] = {}
    for kind, who, at in events:
        if kind == "person deactivated":
            away[who] = {"person_id": who, "left_at": at, "back_at": None}
            rows.append(away[who])
        elif who in away:
            away.pop(who)["back_at"] = at
    for who, left_at in store.execute(sa.select(person).where(person.c.left_at.is_not(None))):
        if who not in away:
            rows.append({"person_id": who, "left_at": left_at, "back_at": None})
    if rows:
        store.execute(sa.insert(absence), rows)
