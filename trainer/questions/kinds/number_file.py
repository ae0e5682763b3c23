"""What a question file says of a number: the answer, its slips, the consequence on the job, the drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from trainer.calc import Calculation, Input, notation
from trainer.calc.units import UNITS
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.questions.drawn import Tolerance
from trainer.questions.givens_file import factor, find_calculation, quantity_unit, read_feed, read_feeds
from trainer.questions.model import Answer, AnyGiven, Change, Named, SlipRule
from trainer.questions.places import check_places
from trainer.questions.source import Source, Where

KEYS: Final = ("answer", "slip", "consequence", "field")
ANSWER_KEYS: Final = ("calculation", "result", "unit", "tolerance", "inputs")
SLIP_KEYS: Final = ("id", "change", "result", "calculation", "times", "en", "es")
CHANGES: Final = ("half", "double", "zero", "none")
CONSEQUENCE_PLACES: Final = frozenset({"difference", "given", "expected"})


@dataclass(frozen=True, slots=True)
class Number:
    """What the file holds. short, over: what too low or too high an answer does on the job."""

    answer: Answer
    slips: tuple[SlipRule, ...]
    short: Text | None
    over: Text | None


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> Number | None:
    """The number's parts of a question; None, with problems noted, when they cannot stand."""
    answer = read_answer(source, data, givens)
    if answer is None:
        return None
    slips = read_slips(source, data, answer, givens)
    short, over = _consequence(source, data, {given.name for given in givens})
    return Number(answer, slips, short, over)


def read_answer(
    source: Source, data: Mapping[str, Any], givens: Sequence[Named], within: Where = ()
) -> Answer | None:
    """The [answer] with the [field] of a table; None, with problems noted, when it cannot stand.

    givens: what its inputs may take; within: where the table stands in the file
    """
    where = (*within, "answer")
    table = source.take(data, "answer", dict, within)
    if table is None:
        return None
    source.known(table, ANSWER_KEYS, where)
    # A bare number (a factor) has the unit "", which is no missing text.
    bare = table.get("unit") == ""
    texts = {
        key: "" if bare and key == "unit" else source.take(table, key, str, where) for key in ANSWER_KEYS[:4]
    }
    if None in texts.values():
        return None
    calculation = find_calculation(source, texts["calculation"], (*where, "calculation"))
    if calculation is None:
        return None
    result_unit = quantity_unit(source, calculation, texts["result"], (*where, "result"))
    unit = texts["unit"]
    if result_unit is None or not _is_unit(source, unit, (*where, "unit")):
        return None
    change = factor(source, result_unit, unit, (*where, "unit"))
    tolerance = _tolerance(source, texts["tolerance"], unit, (*where, "tolerance"))
    if tolerance is None:
        return None
    feeds = read_feeds(source, calculation, table.get("inputs", {}), givens, (*where, "inputs"))
    low, high = _field(source, data, unit, within)
    return Answer(calculation, texts["result"], unit, change, tolerance, feeds, low, high)


def _is_unit(source: Source, unit: str, where: Where) -> bool:
    if unit in UNITS:
        return True
    source.problem(where, f"there is no unit {unit!r}; there are {', '.join(filter(None, UNITS))}.")
    return False


def _tolerance(source: Source, text: str, unit: str, where: Where) -> Tolerance | None:
    if text.strip() == "exact":
        return Tolerance("exact")
    percent = text.strip().endswith("%") and unit != "percent"
    try:
        amount = notation.read(text, "percent" if percent else unit).value
    except Refusal as refusal:
        source.problem(
            where, f'a tolerance is "exact", a percent such as "2 %" or an amount with its unit: {refusal}'
        )
        return None
    if amount <= 0 or (percent and amount > 25):
        source.problem(where, f'a tolerance of {text} cannot be; give "exact", over 0, at most 25 %.')
        return None
    return Tolerance("percent" if percent else "absolute", float(amount))


def _field(source: Source, data: Mapping[str, Any], unit: str, within: Where) -> tuple[float, float]:
    where = (*within, "field")
    ends = [float("-inf"), float("inf")]
    table = source.take(data, "field", dict, within, default={}) or {}
    source.known(table, ("low", "high"), where)
    for place, key in enumerate(("low", "high")):
        text = source.take(table, key, str, where, default="")
        if text:
            try:
                ends[place] = float(notation.read(text, unit).value)
            except Refusal as refusal:
                source.problem((*where, key), str(refusal))
    if ends[0] >= ends[1]:
        source.problem(where, "the field's range goes from low up to high.")
    return ends[0], ends[1]


def read_slips(
    source: Source, data: Mapping[str, Any], answer: Answer, givens: Sequence[Named], within: Where = ()
) -> tuple[SlipRule, ...]:
    """The [[slip]] tables beside an answer, without those that cannot stand."""
    where = (*within, "slip")
    tables = source.take(data, "slip", list, within, default=[]) or []
    found = [_slip(source, table, (*where, place), answer, givens) for place, table in enumerate(tables)]
    rules = tuple(rule for rule in found if rule is not None)
    ids = [rule.id for rule in rules]
    for place, id in enumerate(ids):
        if id in ids[:place]:
            source.problem(
                (*where, place, "id"), f"two slips are called {id!r}; each needs a name of its own."
            )
    return rules


def _slip(
    source: Source, table: Any, where: Where, answer: Answer, givens: Sequence[Named]
) -> SlipRule | None:
    if not isinstance(table, Mapping):
        source.problem(where, "a slip must be a table headed [[slip]].")
        return None
    source.known(table, SLIP_KEYS, where)
    id, text = source.take(table, "id", str, where), source.both(table, where)
    calculation: Calculation | None = answer.calculation
    if "calculation" in table:
        calculation = find_calculation(source, table["calculation"], (*where, "calculation"))
    result = source.take(table, "result", str, where, default=answer.result)
    times = _times(source, source.take(table, "times", str, where, default="1"), (*where, "times"))
    if id is None or text is None or calculation is None or result is None:
        return None
    if not any(key in table for key in ("change", "result", "calculation", "times")):
        source.problem(where, f"the slip {id} changes nothing; give change, result, calculation or times.")
    check_places(source, text, {given.name for given in givens}, where)
    # An input given back as the answer (the height for the length) is a slip too.
    taken = next(
        (
            each
            for each in calculation.inputs
            if (each.name, each.kind, each.many) == (result, "number", False)
        ),
        None,
    )
    unit = taken.unit if taken is not None else quantity_unit(source, calculation, result, (*where, "result"))
    if unit is None:
        return None
    changes = _changes(source, table.get("change", {}), calculation, givens, (*where, "change"))
    # A slip that takes another kind of quantity (an area for a volume) gives its bare number as the answer.
    to_asked = 1.0
    if unit != answer.unit:
        quiet = Source(source.path, "")
        to_asked = factor(quiet, unit, answer.unit, where)
    return SlipRule(id, text, calculation, result, changes, to_asked * times, source.line(where))


def _times(source: Source, text: str | None, where: Where) -> float:
    try:
        return float(Fraction(text or "1"))
    except (ValueError, ZeroDivisionError):
        source.problem(
            where, f'times must be a number or a fraction in quotes, such as "12" or "1/27", not {text!r}.'
        )
        return 1.0


def _changes(
    source: Source, table: Any, calculation: Calculation, givens: Sequence[Named], where: Where
) -> tuple[Change, ...]:
    if not isinstance(table, Mapping):
        source.problem(where, 'change must be a table such as { overhang = "half" }.')
        return ()
    inputs = {each.name: each for each in calculation.inputs}
    units = {given.name: given.unit for given in givens}
    changes = []
    for name, text in table.items():
        place = (*where, name)
        if name not in inputs:
            source.problem(place, f"{calculation.name} has no input {name!r}; it takes {', '.join(inputs)}.")
        elif text in CHANGES:
            if not _fits(text, inputs[name]):
                source.problem(place, f"{name} cannot be changed to {text}; write the wrong value itself.")
                continue
            changes.append(Change(name, text))
        elif (feed := read_feed(source, inputs[name], text, units, place)) is not None:
            changes.append(Change(name, "given" if feed.given or feed.each else "literal", feed))
    return tuple(changes)


def _fits(change: str, each: Input) -> bool:
    """Whether a change makes sense for an input."""
    if change == "none":
        return each.many
    return each.kind == "number" or (each.kind == "flue" and change != "zero")


def _consequence(
    source: Source, data: Mapping[str, Any], givens: set[str]
) -> tuple[Text | None, Text | None]:
    table = source.take(data, "consequence", dict, default={}) or {}
    source.known(table, ("short", "over"), ("consequence",))
    found: list[Text | None] = []
    for side in ("short", "over"):
        text = source.both(table[side], ("consequence", side)) if side in table else None
        if text is not None:
            check_places(source, text, givens | CONSEQUENCE_PLACES, ("consequence", side))
        found.append(text)
    return found[0], found[1]
