"""What a table to take out is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Select

from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Export:
    """One table to take out.

    name: of its file; of: the table of the store; title, what: for people; query: labelled columns, in order
    owner: for an owner alone; scored: the score of each paper is added; alone: in the archive only, as it tells what
    is right; quiz: the column that says to which quiz a row belongs, for whoever has still to sit one
    """

    name: str
    of: str
    title: Text
    what: Text
    query: Select[*tuple[Any, ...]]
    owner: bool = False
    scored: bool = False
    alone: bool = False
    quiz: Any = None
