"""One page of a list that is already here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from trainer.records.queries import Page

T = TypeVar("T")


def sliced(items: Sequence[T], page: int, per_page: int) -> Page[T]:
    """A page below the first or beyond the last gives the nearest there is."""
    pages = max(-(-len(items) // per_page), 1)
    page = min(max(page, 1), pages)
    return Page(tuple(items[(page - 1) * per_page : page * per_page]), page, pages, len(items))
