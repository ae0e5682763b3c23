"""A quiz may open later than it is assigned."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("quiz", sa.Column("opens", sa.DateTime(timezone=True), nullable=True))
