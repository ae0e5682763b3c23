"""What a kind of question is to the engine: one `Kind`, made at the end of the kind's own module."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trainer.questions.drawn import Body, Draw, Given, Grade
from trainer.questions.model import AnyGiven, Question
from trainer.questions.seeds import Seed
from trainer.questions.source import Source, Where

Note = Callable[[Where, str], None]


def nothing_more(question: Question, draws: Sequence[Draw], note: Note) -> None:
    """The check of a kind without rules of its own."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of question.

    keys     the tables of a question file that belong to the kind
    read     (source, tables, givens) → the body of a `Question`, None, with problems noted, when the file is wrong
    draw     (question, givens, seed, shop) → the body of a `Draw`; Rejected when the numbers will not do
    body     the class of a draw's body, which its JSON is read back into
    grade    (draw, typed, language) → `Grade`
    check    (question, draws, note) → what the bank check finds in many draws, beyond the rules for all kinds
    """

    keys: tuple[str, ...]
    read: Callable[[Source, Mapping[str, Any], list[AnyGiven]], Any]
    draw: Callable[[Question, Mapping[str, Given], Seed, Mapping[str, Any]], Body]
    body: type[Body]
    grade: Callable[[Draw, str, str], Grade]
    check: Callable[[Question, Sequence[Draw], Note], None] = nothing_more
