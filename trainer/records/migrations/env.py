"""Runs the migrations on the connection handed over by trainer.records.schema."""

from __future__ import annotations

from typing import Any, Literal

from alembic import context

from trainer.records.models import Base
from trainer.records.models.base import Moment


def render_item(kind: str, item: Any, _context: Any) -> str | Literal[False]:
    """Migrations must not change when the models do: a `Moment` is written as what it is in the store."""
    return "sa.DateTime(timezone=True)" if kind == "type" and isinstance(item, Moment) else False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
    render_item=render_item,
)
with context.begin_transaction():
    context.run_migrations()
