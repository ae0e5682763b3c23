"""How far a long command is: a bar where a person sits at a terminal, else a plain line every few seconds.

Both go to standard error, so that what a command prints can be read by another program.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Final, TypeVar

import click

Item = TypeVar("Item")
Clock = Callable[[], float]
SECONDS_BETWEEN_LINES: Final = 5.0


def passing(items: Sequence[Item], label: str, clock: Clock = time.monotonic) -> Iterator[Item]:
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


class Parts:
    """How far each part of a command is, told by whoever works at it: `parts(label, done, whole)`."""

    def __init__(self, clock: Clock = time.monotonic) -> None:
        self._clock, self._told = clock, clock()
        self._bars: dict[str, Any] = {}

    def __call__(self, label: str, done: int, whole: int) -> None:
        if sys.stderr.isatty():
            self._draw(label, done, whole)
        elif done < whole and self._clock() - self._told >= SECONDS_BETWEEN_LINES:
            self._told = self._clock()
            click.echo(f"{label}: {done} of {whole}", err=True)

    def _draw(self, label: str, done: int, whole: int) -> None:
        if not whole:
            return
        if label not in self._bars:
            self._bars[label] = click.progressbar(
                length=whole, label=f"{label:<24}", file=sys.stderr, show_pos=True
            )
        bar = self._bars[label]
        bar.update(done - bar.pos)
        if done >= whole:
            bar.render_finish()
