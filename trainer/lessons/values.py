"""What a lesson's `{{ }}` may ask for: the shop standard's figures, its examples' values, the sources' positions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer import calc
from trainer.calc import Evaluation, standard
from trainer.errors import Refusal
from trainer.lessons.library import Lesson
from trainer.questions.givens import shop_given
from trainer.questions.template import BadTemplate
from trainer.questions.writing import written, written_input


def work_examples(lesson: Lesson, shop: Mapping[str, Any]) -> dict[str, Evaluation | Refusal]:
    """Each example worked with the shop's figures, or why the core refuses it in this shop."""
    worked: dict[str, Evaluation | Refusal] = {}
    for name, example in lesson.examples.items():
        try:
            worked[name] = calc.work(example.calculation, example.inputs, shop)
        except Refusal as refusal:
            worked[name] = refusal
    return worked


def template_values(
    examples: Mapping[str, Evaluation | Refusal], shop: Mapping[str, Any], language: str
) -> dict[str, Any]:
    """The names that a lesson's text may use, every value as the trade writes it in `language`."""

    def position(field: str = "", source: str = "", *more: str) -> str:
        try:
            one = standard.field(field)
            return written(one.position(source).bound, one.unit).in_language(language)
        except Refusal as refusal:
            raise BadTemplate(refusal.in_language("en").rstrip(".")) from None

    values: dict[str, Any] = {
        "shop": {name: shop_given(name, shop[name]).text.in_language(language) for name in standard.FIELDS},
        "position": position,
    }
    for name, evaluation in examples.items():
        if not isinstance(evaluation, Refusal):
            values[name] = _texts(evaluation, language)
    return values


def _texts(evaluation: Evaluation, language: str) -> dict[str, str]:
    """Every input, intermediate and result of an example as text."""
    calculation = evaluation.calculation
    texts = {}
    for each in calculation.inputs:
        value = evaluation.inputs[each.name]
        if value is not None:
            texts[each.name] = written_input(each, value).in_language(language)
    for name, quantity in calculation.quantities.items():
        value = evaluation.values.get(name)
        if quantity.kind == "number" and value is not None:
            texts[name] = written(value, quantity.unit).in_language(language)
        elif value is not None:
            texts[name] = calc.working.shown(value, quantity, language)
    return texts
