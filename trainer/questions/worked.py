"""The worked solution and the drawing of a draw, made from its frozen numbers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trainer import calc
from trainer.calc import Evaluation
from trainer.questions.drawn import Draw, Solved

if TYPE_CHECKING:
    from trainer.drawings import Drawing


def worked(draw: Draw) -> list[Evaluation]:
    """The calculation behind each number of the answer, with the steps that lead to it; empty when none does.

    The steps are written in a language where they are shown (`calc.working.as_html(evaluation, language)`).
    """
    return [_worked(number) for number in draw.body.solved()]


def _worked(number: Solved) -> Evaluation:
    evaluation = calc.work(number.calculation, number.inputs)
    return replace(evaluation, steps=calc.working.leading_to(evaluation.steps, number.result))


def figure(draw: Draw, language: str = "en", reveal: bool = False) -> Drawing | None:
    """The drawing of this draw, None when it has none; the answer's values stand on it only when revealed."""
    own: Drawing | None = draw.body.drawing(language, reveal)
    if own is not None or draw.figure is None:
        return own
    from trainer import drawings

    evaluation = calc.evaluate(draw.figure.calculation, draw.figure.inputs)
    return drawings.draw(draw.figure.name, evaluation, language, shown=None if reveal else draw.figure.shown)
