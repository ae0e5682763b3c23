"""What a figure is, and what comes of drawing one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trainer.drawings.sheet import Sheet
from trainer.drawings.words import Words
from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing that can be made of one calculation's inputs and results.

    make: draws on a fresh sheet and returns it with the description, one text in the words' language
    """

    name: str
    calculation: str
    title: Text
    make: Callable[[Words], tuple[Sheet, str]]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing: the SVG with its title and its description in words."""

    svg: str
    title: str
    description: str
