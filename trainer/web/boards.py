"""What an address asks for of the board: all of it, or one page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from trainer.records import queries
from trainer.records.queries import Board, Page, PersonRow
from trainer.records.queries.board_parts import part_of
from trainer.web.content import content
from trainer.web.current import person, store
from trainer.web.forms.board import BoardForm
from trainer.web.sliced import sliced

# People; some third of a second, and some three seconds of work: tests/web/test_board_benchmark.py measures both.
PEOPLE_ON_PAGE: Final = 500
MOST_ON_ROSTER: Final = 150


@dataclass(frozen=True, slots=True)
class PageOfBoard:
    """board: of this page; listing: its people among all that are asked for; all: people on that day

    whole: everyone's standings, None in a shop where not everyone is judged
    """

    board: Board
    listing: Page[PersonRow]
    all: int
    whole: Board | None


def all_of(form: BoardForm, on: date) -> tuple[Board, int]:
    """(what is asked for, how many people there are on that day)."""
    with store.read() as reading:
        everyone = queries.people_on(reading, person(), on)
        people = form.those(everyone)
        found = queries.board(reading, person(), on, content.rules, people)
    return form.part(found, people), len(everyone)


def page_of(form: BoardForm, on: date, page: int) -> PageOfBoard:
    """One page of what is asked for. What ends soon is not cut into pages, as it is shown by its days."""
    with store.read() as reading:
        everyone = queries.people_on(reading, person(), on)
        people = form.those(everyone)
        listing = sliced(people, page, PEOPLE_ON_PAGE)
        few = len(everyone) <= PEOPLE_ON_PAGE
        # Where standings do not decide who is shown, only the people on the page are judged.
        judged = everyone if few else people if form.by_standing else listing.items
        found = queries.board(reading, person(), on, content.rules, judged)
    board = form.part(found, people)
    if form.by_standing:
        listing = sliced([row.person for row in board.rows], page, PEOPLE_ON_PAGE)
    if form.ending is None:
        board = part_of(board, listing.items)
    return PageOfBoard(board, listing, len(everyone), found if few else None)
