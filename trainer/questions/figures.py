"""The drawing of a question: which one, with which values written on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from trainer import calc
from trainer.questions.drawn import DrawnFigure, Given, Solved
from trainer.questions.givens_file import read_feeds
from trainer.questions.model import AnyGiven, FigureRule, Question
from trainer.questions.source import Source

KEYS: Final = ("name", "shown")


def read_figure(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> FigureRule | None:
    """The file's [figure]; None when it has none or, with problems noted, when it cannot stand."""
    if "figure" not in data:
        return None
    from trainer.drawings import FIGURES

    where = ("figure",)
    table = source.take(data, "figure", dict)
    if table is None:
        return None
    source.known(table, KEYS, where)
    name, shown = source.take(table, "name", str, where), source.texts(table, "shown", where)
    if name is None:
        return None
    if name not in FIGURES:
        source.problem((*where, "name"), f"there is no drawing {name!r}; there are {', '.join(FIGURES)}.")
        return None
    calculation = calc.get(FIGURES[name].calculation)
    known = {each.name for each in calculation.inputs} | set(calculation.quantities)
    for unknown in sorted(set(shown) - known):
        source.problem(
            (*where, "shown"), f"{calculation.name} has no {unknown!r}; it has {', '.join(sorted(known))}."
        )
    same = [answer for answer in _answers(data) if answer.get("calculation") == calculation.name]
    for answer in same:
        if answer.get("result") in shown:
            source.problem(
                (*where, "shown"), f"the drawing shows {answer['result']}, which is the answer; leave it out."
            )
    feeds = () if same else read_feeds(source, calculation, {}, givens, where)
    return FigureRule(name, calculation, tuple(shown), feeds)


def _answers(data: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The [answer] tables of the file: its own, or one in each part."""
    parts = data.get("part")
    tables = [data, *(parts if isinstance(parts, list) else [])]
    answers = [table.get("answer") for table in tables if isinstance(table, Mapping)]
    return [answer for answer in answers if isinstance(answer, Mapping)]


def draw_figure(
    question: Question,
    givens: Mapping[str, Given],
    solved: Sequence[Solved],
    shop: Mapping[str, Any],
) -> DrawnFigure | None:
    """The drawing's inputs on these numbers, every default filled in.

    solved: the numbers of the answer; the drawing shares the inputs of one of the same calculation
    Raises Refusal when the core refuses the drawing's inputs.
    """
    rule = question.figure
    if rule is None:
        return None
    shared = (number.inputs for number in solved if number.calculation == rule.calculation.name)
    inputs = next(shared, None)
    if inputs is None:
        fed = {feed.input: feed.value(givens) for feed in rule.feeds}
        inputs = rule.calculation.evaluate(fed, shop).inputs
    return DrawnFigure(rule.name, rule.calculation.name, inputs, rule.shown)
