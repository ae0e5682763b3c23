"""The reference: calculations found by words, and what stands round one: drawings, lessons, practice, sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer import calc, drawings
from trainer.calc import Calculation, Evaluation
from trainer.calc.groups import Group, grouped
from trainer.calc.sources import source
from trainer.calc.spec import Shop
from trainer.calc.standard import FIELDS, StandardField
from trainer.drawings import Drawing
from trainer.languages import folded
from trainer.lessons import Lesson, Library
from trainer.questions import Bank, Skill


def found(bank: Bank, wanted: str) -> dict[Group, list[Calculation]]:
    """The calculations by topic in which every word of `wanted` occurs, in either language; all of them for no word.

    Looked through: name, title, purpose, topic, and the skills that compute with it.
    """
    words = folded(wanted).split()
    by_group = grouped(calc.get(name) for name in calc.names())
    matching = {
        group: [each for each in those if all(word in _text(bank, group, each) for word in words)]
        for group, those in by_group.items()
    }
    return {group: those for group, those in matching.items() if those}


def skills_with(bank: Bank, name: str) -> list[Skill]:
    """The skills that compute with the calculation."""
    return [skill for skill in bank.skills.values() if name in skill.calculations]


def lessons_with(library: Library, bank: Bank, name: str, language: str) -> list[Lesson]:
    """The lessons that work the calculation or teach a skill that computes with it, in the order of the course."""
    taught = {skill.lesson for skill in skills_with(bank, name)}
    return [
        lesson
        for lesson in library.lessons(language)
        if lesson.id in taught or any(example.calculation == name for example in lesson.examples.values())
    ]


def practice_with(bank: Bank, name: str) -> dict[str, Skill]:
    """One question to practice for each skill that computes with the calculation, by the question's id."""
    return {
        questions[0].id: skill for skill in skills_with(bank, name) if (questions := bank.of_skill(skill.id))
    }


def figures(evaluation: Evaluation, shop: Mapping[str, Any], language: str) -> list[Drawing]:
    """Every drawing that is made of the calculation."""
    return [
        drawings.draw(figure.name, evaluation, language, projection=shop["projection"])
        for figure in drawings.figures_of(evaluation.calculation.name)
    ]


def disputed(calculation: Calculation) -> list[StandardField]:
    """The figures of the shop standard that the calculation takes and on which sources differ."""
    fields = [FIELDS[each.default.field] for each in calculation.inputs if isinstance(each.default, Shop)]
    return [field for field in fields if len({position.bound for position in field.positions}) > 1]


def from_memory(calculation: Calculation) -> bool:
    """Whether a figure of the calculation was not seen in the text of its source."""
    return any("from memory" in source(id).title.en for id in calculation.sources)


def _text(bank: Bank, group: Group, calculation: Calculation) -> str:
    told = [group.title, calculation.title, calculation.purpose]
    told += [text for skill in skills_with(bank, calculation.name) for text in (skill.name, skill.purpose)]
    return folded(" ".join([calculation.name, *(f"{text.en} {text.es}" for text in told)]))
