"""How far a long command is: a bar where a person sits at a terminal, else a plain line every few seconds.

Both go to standard error, so that what a command prints can be read by another program.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeVar

import click

Item = TypeVar("Item")
SECONDS_BETWEEN_LINES: Final = 5.0


def passing(items: Sequence[Item], label: str, clock: Callable[[], float] = time.monotonic) -> Iterator[Item]:
    """The items one after another, with how far they are: "questions: 40 of 150"."""
    if sys.stderr.isatty():
        with click.progressbar(items, label=label, file=sys.stderr, show_pos=True) as bar:
            yield from bar
        return
    told = clock()
    for done, item in enumerate(items):
        now = clock()
        if now - told >= SECONDS_BETWEEN_LINES:
            told = now
            click.echo(f"{label}: {done} of {len(items)}", err=True)
        yield item
