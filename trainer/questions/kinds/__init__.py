"""The kinds of question. A kind is a module with `KEYS` and three functions; one line here makes it known.

KEYS     the tables of a question file that belong to the kind
read     (source, tables, givens) → the kind's parts of a `Question`, None when the file is wrong
draw     (question, givens, seed, shop) → the kind's parts of a `Draw`; Rejected when the numbers will not do
grade    (draw, typed, language) → `Grade`
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.questions.drawn import Draw, Given, Grade
from trainer.questions.kinds import choose, number
from trainer.questions.model import AnyGiven, Question
from trainer.questions.seeds import Seed
from trainer.questions.source import Source


@dataclass(frozen=True, slots=True)
class Kind:
    keys: tuple[str, ...]
    read: Callable[[Source, Mapping[str, Any], list[AnyGiven]], dict[str, Any] | None]
    draw: Callable[[Question, Mapping[str, Given], Seed, Mapping[str, Any]], dict[str, Any]]
    grade: Callable[[Draw, str, str], Grade]


KINDS: Final[dict[str, Kind]] = {
    "number": Kind(number.KEYS, number.read, number.draw, number.grade),
    "choose": Kind(choose.KEYS, choose.read, choose.draw, choose.grade),
}
