"""Linked numbers: several parts, some computed from the answer of a part above; also the rows of a take-off.

The answer is one part a line. A part worked rightly from the person's own earlier wrong value earns its credit and is
told so; only an answer whose every part is right is right. Each part counts by its weight. A draw freezes for each
part, and for each of its slips, how it follows from the parts above, so that both can be worked again from the
person's own values with nothing but the core.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from trainer.calc import notation
from trainer.calc.units import unit_named
from trainer.errors import Refusal, Unreadable
from trainer.languages import Text
from trainer.questions import slips
from trainer.questions.drawn import (
    Body,
    Draw,
    DrawnSlip,
    Given,
    Grade,
    GradedPart,
    Solved,
    Tolerance,
    Unexplained,
    slips_from,
    text_from,
    tolerance_from,
)
from trainer.questions.kinds.kind import Kind, Note
from trainer.questions.kinds.linked_file import KEYS, Linked, Part, read
from trainer.questions.kinds.number import Solution, blank, mistaken, note_constant, note_unmet, solve
from trainer.questions.kinds.recipe import Recipe, recipe_from
from trainer.questions.model import Answer, Question, SlipRule
from trainer.questions.seeds import Seed
from trainer.questions.unit_slips import UNIT_SLIPS
from trainer.questions.writing import fill_both, written

PREFIX: Final = "part:"
TIMES: Final = {"half": 0.5, "double": 2.0}
# How far off a figure may be that a person rounded before writing it down.
ROUNDED: Final = 0.005
NOT_ALL: Final = Text(
    en="There are %(parts)s parts and %(given)s answers; write one answer a line.",
    es="Son %(parts)s partes y hay %(given)s respuestas; escriba una respuesta por línea.",
)
CARRIED: Final = Text(
    en="Worked rightly from your own figure above, so it earns its credit. From the right figure it would be %s.",
    es="Bien calculado con su propia cifra de arriba, así que cuenta. Con la cifra correcta sería %s.",
)


@dataclass(frozen=True, slots=True)
class DrawnPart:
    """One part. recipes: of those slips that follow from the parts above, by their id."""

    id: str
    text: Text
    weight: int
    recipe: Recipe
    expected: float
    unit: str
    tolerance: Tolerance
    slips: tuple[DrawnSlip, ...]
    recipes: dict[str, Recipe]


@dataclass(frozen=True, slots=True)
class DrawnLinked(Body):
    """The parts in the order asked."""

    layout: str
    parts: tuple[DrawnPart, ...]

    def answer(self, language: str) -> str:
        return "\n".join(written(part.expected, part.unit).in_language(language) for part in self.parts)

    def mistaken(self) -> str:
        """The first part by its first slip, the others right."""
        first = self.parts[0]
        rest = self.answer("en").split("\n")[1:]
        return "\n".join([mistaken(first.slips, first.expected, first.unit), *rest])

    def lines(self, language: str) -> list[str]:
        return [
            f"{place}. {part.text.in_language(language)} {blank(part.unit, language)}"
            for place, part in enumerate(self.parts, start=1)
        ]

    def texts(self) -> list[Text]:
        return [text for part in self.parts for text in (part.text, *(slip.text for slip in part.slips))]

    def solved(self) -> tuple[Solved, ...]:
        return tuple(
            Solved(
                part.recipe.calculation,
                part.recipe.inputs,
                part.recipe.result,
                part.expected,
                part.unit,
                part.text,
            )
            for part in self.parts
        )

    def unexplained(self, typed: str, language: str) -> tuple[Unexplained, ...]:
        try:
            values, readings, refused = _read(self.parts, read_lines(typed, len(self.parts)), language)
        except Unreadable:
            return ()
        if refused:
            return ()
        graded: list[GradedPart] = []
        found = []
        for part, solved in zip(self.parts, self.solved(), strict=True):
            graded.append(_graded(part, values, graded, readings[part.id], language))
            if graded[-1].state == "wrong" and graded[-1].slip is None:
                own = part.recipe.own(values)
                expected = part.recipe.value(values)
                if expected is not None:
                    solved = solved._replace(inputs=solved.inputs | own, expected=expected)
                found.append(Unexplained(solved, part.tolerance, values[part.id]))
        return tuple(found)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> DrawnLinked:
        return cls(data["layout"], tuple(_part_from(one) for one in data["parts"]))


def _part_from(data: Mapping[str, Any]) -> DrawnPart:
    return DrawnPart(
        data["id"],
        text_from(data["text"]),
        data["weight"],
        recipe_from(data["recipe"]),
        data["expected"],
        data["unit"],
        tolerance_from(data["tolerance"]),
        slips_from(data["slips"]),
        {id: recipe_from(one) for id, one in data["recipes"].items()},
    )


def draw(question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]) -> DrawnLinked:
    """The parts on these numbers, each from the right answers of those above; Rejected as `solve` says."""
    linked: Linked = question.body
    known = dict(givens)
    parts = []
    for place, part in enumerate(linked.parts):
        solution = solve(part.answer, part.slips, known, shop, within=("part", place))
        parts.append(_drawn(part, solution, known, shop))
        unit = part.answer.unit
        known[PREFIX + part.id] = Given(solution.expected, unit, written(solution.expected, unit))
    return DrawnLinked(linked.layout, tuple(parts))


def _drawn(part: Part, solution: Solution, known: Mapping[str, Given], shop: Mapping[str, Any]) -> DrawnPart:
    answer = part.answer
    carried = {
        feed.input: (feed.given.removeprefix(PREFIX), feed.factor)
        for feed in answer.feeds
        if feed.given.startswith(PREFIX)
    }
    recipe = Recipe(
        answer.calculation.name, solution.evaluation.inputs, answer.result, answer.factor, carried
    )
    recipes: dict[str, Recipe] = {}
    if carried:
        listed = {rule.id: rule for rule in part.slips}
        units = {id: factor for id, factor, _ in UNIT_SLIPS.get(answer.unit, ())}
        for slip in solution.slips:
            if slip.id in listed:
                recipes[slip.id] = _slip_recipe(listed[slip.id], answer, recipe, solution, known, shop)
            elif slip.id in units:
                recipes[slip.id] = replace(recipe, factor=recipe.factor * units[slip.id])
    return DrawnPart(
        part.id,
        fill_both(part.text, known),
        part.weight,
        recipe,
        solution.expected,
        answer.unit,
        answer.tolerance,
        tuple(solution.slips),
        {id: made for id, made in recipes.items() if made.carried},
    )


def _slip_recipe(
    rule: SlipRule,
    answer: Answer,
    recipe: Recipe,
    solution: Solution,
    known: Mapping[str, Given],
    shop: Mapping[str, Any],
) -> Recipe:
    """The slip as a recipe: what the slip leaves alone, halves or doubles still comes from the part above."""
    changed = slips.changed_inputs(rule, answer, solution.inputs, solution.evaluation, known) or {}
    inputs = rule.calculation.evaluate(changed or solution.inputs, shop).inputs
    carried = {name: source for name, source in recipe.carried.items() if name in inputs}
    for change in rule.changes:
        before = carried.pop(change.input, None)
        if change.feed is not None and change.feed.given.startswith(PREFIX):
            carried[change.input] = (change.feed.given.removeprefix(PREFIX), change.feed.factor)
        elif before is not None and change.kind in TIMES:
            carried[change.input] = (before[0], before[1] * TIMES[change.kind])
    return Recipe(rule.calculation.name, inputs, rule.result, rule.factor, carried)


def read_lines(typed: str, parts: int) -> list[str]:
    """The answers, one a line or parted by semicolons. Raises Unreadable when there are not as many as parts."""
    lines = [line.strip() for line in typed.strip().splitlines()]
    if len(lines) == 1:
        lines = [line.strip() for line in typed.split(";")]
    if len(lines) != parts:
        raise Unreadable(NOT_ALL, parts=parts, given=len(lines))
    return lines


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """Each part compared with the right answer, then with what the person's own earlier values lead to.

    When a part cannot be read the whole is "unreadable", and `parts` holds the parts that could not be.
    """
    body: DrawnLinked = draw.body
    try:
        lines = read_lines(typed, len(body.parts))
    except Unreadable as refusal:
        return Grade("unreadable", refusal=refusal.in_language(language))
    values, readings, refused = _read(body.parts, lines, language)
    if refused:
        return Grade("unreadable", refusal=refused[0].said, parts=tuple(refused))
    graded: list[GradedPart] = []
    for part in body.parts:
        graded.append(_graded(part, values, graded, readings[part.id], language))
    reading = "; ".join(f"{place}: {one.reading}" for place, one in enumerate(graded, start=1))
    if all(one.state == "right" for one in graded):
        return Grade("right", 1.0, reading, parts=tuple(graded))
    earned = sum(
        part.weight for part, one in zip(body.parts, graded, strict=True) if one.state in ("right", "carried")
    )
    slip = next((f"{one.id}:{one.slip}" for one in graded if one.slip), None)
    return Grade(
        "wrong", earned / sum(part.weight for part in body.parts), reading, slip=slip, parts=tuple(graded)
    )


def _read(
    parts: Sequence[DrawnPart], lines: Sequence[str], language: str
) -> tuple[dict[str, float], dict[str, str], list[GradedPart]]:
    """The value and the reading of each part by its id, and the parts that cannot be read."""
    values: dict[str, float] = {}
    readings: dict[str, str] = {}
    refused = []
    for part, line in zip(parts, lines, strict=True):
        try:
            reading = notation.read(line, part.unit, language)
        except Refusal as refusal:
            label = part.text.in_language(language)
            refused.append(GradedPart(part.id, "unreadable", label, said=refusal.in_language(language)))
        else:
            values[part.id], readings[part.id] = float(reading.value), reading.shown(language)
    return values, readings, refused


def _graded(
    part: DrawnPart,
    values: Mapping[str, float],
    above: Sequence[GradedPart],
    reading: str,
    language: str,
) -> GradedPart:
    value = values[part.id]
    answer = written(part.expected, part.unit).in_language(language)
    said = GradedPart(part.id, "right", part.text.in_language(language), reading, answer)
    if part.tolerance.accepts(part.expected, value):
        return said
    if part.recipe.carried and _follows(part, values, value):
        from_parts = {source for source, _ in part.recipe.carried.values()}
        if all(one.state == "right" for one in above if one.id in from_parts):
            return said  # rounded as the person rounded a right figure above
        return replace(said, state="carried", said=CARRIED.in_language(language) % answer)
    slip = slips.match([*part.slips, *_own_slips(part, values)], value, part.tolerance, part.unit)
    return replace(
        said,
        state="wrong",
        slip=slip.id if slip else None,
        said=slip.text.in_language(language) if slip else "",
    )


def _follows(part: DrawnPart, values: Mapping[str, float], value: float) -> bool:
    """Whether `value` is what the part's own calculation makes of the person's values above.

    A count may turn on how the person rounded what they wrote down above, so it is tried with that rounding too.
    """
    counts = unit_named(part.unit).kind == "count"
    for stretch in (1.0, 1 - ROUNDED, 1 + ROUNDED) if counts else (1.0,):
        own = part.recipe.value(values, stretch)
        if own is not None and part.tolerance.accepts(own, value):
            return True
    return False


def _own_slips(part: DrawnPart, values: Mapping[str, float]) -> list[DrawnSlip]:
    """Where the part's slips lead from the person's own values above."""
    found = []
    for slip in part.slips:
        value = part.recipes[slip.id].value(values) if slip.id in part.recipes else None
        if value is not None:
            found.append(slip._replace(value=value))
    return found


def check(question: Question, draws: Sequence[Draw], note: Note) -> None:
    """For each part: a slip that never has a value of its own, and an answer that never changes."""
    linked: Linked = question.body
    for place, part in enumerate(linked.parts):
        drawn = [one.body.parts[place] for one in draws]
        within = ("part", place)
        note_unmet(part.slips, {slip.id for one in drawn for slip in one.slips}, note, within)
        answers = {written(one.expected, one.unit).en for one in drawn}
        note_constant(question, answers, len(drawn), note, within)


KIND: Final = Kind(KEYS, read, draw, DrawnLinked, grade, check)
