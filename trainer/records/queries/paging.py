"""One page of a list: a count and a slice."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

MOST_PER_PAGE = 200


def slice_of(
    session: Session, query: Select[*tuple[Any, ...]], page: int, per_page: int
) -> tuple[list[Any], int, int, int]:
    """(rows, page, pages, total). A page below the first or beyond the last gives the nearest there is."""
    per_page = min(max(per_page, 1), MOST_PER_PAGE)
    total = session.scalar(select(func.count()).select_from(query.order_by(None).subquery())) or 0
    pages = max(-(-total // per_page), 1)
    page = min(max(page, 1), pages)
    rows = session.execute(query.limit(per_page).offset((page - 1) * per_page)).all()
    return list(rows), page, pages, total
