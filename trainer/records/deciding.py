"""What a quiz that decides early keeps of its terms, and what they make of a paper.

The terms are frozen with the quiz: a later change of question_bank/learning.toml changes no paper. Every question it
may ask is frozen on the paper too; those it did not come to count only where the paper ended otherwise, so whoever
hands in before it is clear has not passed.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from random import Random
from typing import Any, Final

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.learning import Course, Deciding, Terms, course
from trainer.questions import Question

DECIDED: Final = "decided"
_NAMES: Final = ("low", "high", "wrongly_above", "wrongly_below")


def terms_for(pass_mark: int, given: Deciding) -> Terms:
    """The terms for a pass mark [percent]. Refusal when the mark leaves no room for them."""
    try:
        low, high = given.ends(pass_mark)
        return Terms(low, high, given.wrongly_above, given.wrongly_below)
    except ValueError:
        raise Refusal(
            Text(
                en="A quiz that decides early cannot have the pass mark %(given)s %%: there must be room below and above.",
                es="Un examen que decide pronto no puede tener la calificación mínima de %(given)s %%: debe haber margen abajo y arriba.",
            ),
            given=pass_mark,
        ) from None


def kept(terms: Terms, first: int) -> dict[str, Any]:
    """What the quiz keeps. first: how many questions are asked in any case."""
    return {**{name: getattr(terms, name) for name in _NAMES}, "first": first}


def terms_of(deciding: Mapping[str, Any]) -> Terms | None:
    """The terms that a quiz kept; None when they cannot be read, which counts against."""
    try:
        return _terms(*(float(deciding[name]) for name in _NAMES))
    except (KeyError, TypeError, ValueError):
        return None


@lru_cache(maxsize=64)
def _terms(*figures: float) -> Terms:
    return Terms(*figures)


def is_clear(deciding: Mapping[str, Any], right: int, answered: int) -> bool:
    """Whether the paper ends here: everything that is always asked was asked, and the evidence suffices."""
    terms = terms_of(deciding)
    first = deciding.get("first")
    if terms is None or not isinstance(first, int):
        return False
    return answered >= first and terms.verdict(right, answered) is not None


def least_right(deciding: Mapping[str, Any] | None, counted: int) -> int | None:
    """How many of the counted questions must be right for the paper to be above the mark; None for an ordinary quiz."""
    if deciding is None:
        return None
    terms = terms_of(deciding)
    return counted + 1 if terms is None else terms.least_right(counted)


def expected_courses(deciding: Mapping[str, Any] | None, most: int) -> tuple[tuple[float, Course], ...]:
    """(share known, how a paper then goes) for someone at either end of the terms; empty for an ordinary quiz."""
    terms = terms_of(deciding) if deciding is not None else None
    if deciding is None or terms is None:
        return ()
    first = int(deciding.get("first", 0))
    return tuple((share, course(terms, share, most, first)) for share in (terms.low, terms.high))


def in_order(
    asked: Sequence[Question], source: Random, must: Collection[str] = ()
) -> tuple[list[Question], int]:
    """(the questions in the order they are asked, how many of them are asked in any case).

    First those that the trainer chose as having to be right (`must`), and for each skill one question on it: one that
    must be right when there is one. Then the others, mixed.
    """
    first = {question.id: question for question in asked if question.id in must}
    for skill in dict.fromkeys(skill for question in asked for skill in question.skills):
        of_skill = [question for question in asked if skill in question.skills]
        wanted = [question for question in of_skill if question.must_pass] or of_skill
        if not any(question.id in first for question in wanted):
            first[wanted[0].id] = wanted[0]
    others = [question for question in asked if question.id not in first]
    source.shuffle(others)
    return [*first.values(), *others], len(first)


def need_enough(terms: Terms, most: int) -> None:
    """Refuse a paper too short ever to be above the mark."""
    if most < terms.shortest:
        raise Refusal(
            Text(
                en="A quiz that decides early at this mark needs at least %(least)s questions to choose from; there are %(given)s.",
                es="Un examen que decide pronto con esta calificación necesita al menos %(least)s preguntas de dónde tomar; hay %(given)s.",
            ),
            least=terms.shortest,
            given=most,
        )
