"""Drawing: one question with its numbers fixed by a seed.

Numbers that make no good question (a count on a knife edge, a slip that equals the right answer, an answer that does
not exist in the field, an answer that stands in the text) are drawn again with the next attempt of the same seed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.errors import Refusal
from trainer.languages import LANGUAGES, Text
from trainer.questions.drawn import Draw, Given
from trainer.questions.figures import draw_figure
from trainer.questions.givens import draw_given
from trainer.questions.kinds import KINDS
from trainer.questions.model import Question
from trainer.questions.seeds import Rejected, Seed
from trainer.questions.writing import fill_both, written

MOST_ATTEMPTS: Final = 200


class NoDraw(Refusal):
    """No attempt of a seed made a good question; `reason` is the commonest reason."""

    def __init__(self, question: Question, seed: int, reason: str) -> None:
        self.reason = reason
        super().__init__(
            Text(
                en="question %(question)s finds no good numbers for seed %(seed)s: %(reason)s.",
                es="la pregunta %(question)s no encuentra números buenos para la semilla %(seed)s: %(reason)s.",
            ),
            question=question.id,
            seed=seed,
            reason=reason,
        )


def draw(question: Question, seed: int, shop: Mapping[str, Any] = DEFAULT_SHOP) -> Draw:
    """The draw of `question` for `seed` in a shop with the standard `shop`; the same three give the same draw for ever.

    Raises NoDraw when no attempt makes a good question, which the bank check reports.
    """
    reasons: list[str] = []
    for attempt in range(MOST_ATTEMPTS):
        try:
            return attempt_draw(question, seed, attempt, shop)
        except Rejected as rejected:
            reasons.append(rejected.reason)
    raise NoDraw(question, seed, Counter(reasons).most_common(1)[0][0])


def attempt_draw(question: Question, seed: int, attempt: int, shop: Mapping[str, Any]) -> Draw:
    """One attempt; raises Rejected when its numbers make no good question."""
    chosen = Seed(question.id, question.version, seed, attempt)
    givens: dict[str, Given] = {}
    try:
        for given in question.givens:
            givens[given.name] = draw_given(given, chosen.pick, shop, givens)
        body = KINDS[question.kind].draw(question, givens, chosen, shop)
        figure = draw_figure(question, givens, body.solved(), shop)
    except Refusal as refusal:
        raise Rejected("refusal", f"the calculation refuses: {refusal}") from None
    text = fill_both(question.text, givens)
    if any(given_away(text, number.expected, number.unit) for number in body.solved()):
        raise Rejected("away", "the text gives the answer away")
    return Draw(
        question_id=question.id,
        version=question.version,
        hash=question.hash,
        seed=seed,
        kind=question.kind,
        level=question.level,
        must_pass=question.must_pass,
        skills=question.skills,
        sources=question.sources,
        text=text,
        givens=givens,
        hints=tuple(fill_both(hint, givens) for hint in question.hints),
        figure=figure,
        body=body,
    )


def given_away(text: Text, expected: float, unit: str) -> bool:
    """Whether the right answer, as the trade writes it, stands in the text of either language."""
    answer = written(expected, unit)
    for language in LANGUAGES:
        wanted, said = answer.in_language(language), text.in_language(language)
        # A bare count such as "6" is given away by "6" alone and not by "6 in" or "16".
        alone = r"(?! *[\w½¼¾(\"'])" if wanted.isdigit() else ""
        if wanted in said and re.search(rf"(?<![\w/.-]){re.escape(wanted)}(?![\w/])(?!\.\d){alone}", said):
            return True
    return False
