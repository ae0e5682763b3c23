"""What a question file says of its givens: a range with a step, a list, the shop's figure, or computed from others.

A given's unit is the unit of the input it is passed to, so the same text means the same everywhere in a question.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from trainer import calc
from trainer.calc import Calculation, Input, notation, reading, standard
from trainer.calc.entries import entry_of
from trainer.calc.units import convert
from trainer.errors import Refusal
from trainer.questions.drawn import Given
from trainer.questions.model import AnyGiven, Computed, Feed, FromShop, Listed, Named, Stepped
from trainer.questions.source import Source
from trainer.questions.writing import written, written_input

FORMS: Final = {
    "low": ("low", "high", "step"),
    "list": ("list",),
    "value": ("value",),
    "shop": ("shop",),
    "calculation": ("calculation", "result", "inputs", "round"),
}
# Units tried, in this order, for a given that stands in the text only.
TEXT_UNITS: Final = (
    "in",
    "ft",
    "in2",
    "ft2",
    "ft3",
    "yd3",
    "lb",
    "gal",
    "percent",
    "day",
    "degree",
    "in/ft",
    "count",
)
MOST_STEPS: Final = 100_000


def find_calculation(source: Source, name: Any, where: tuple[str | int, ...]) -> Calculation | None:
    """The calculation of that name; None, with the names there are noted, when there is none."""
    if isinstance(name, str) and name in calc.names():
        return calc.get(name)
    source.problem(where, f"there is no calculation {name!r}; there are {', '.join(calc.names())}.")
    return None


def factor(source: Source, before: str, after: str, where: tuple[str | int, ...]) -> float:
    """What turns a number in `before` into one in `after`; 1, with a problem noted, when the units differ in kind."""
    if before == after:
        return 1.0
    try:
        return float(convert(Fraction(1), before, after))
    except Refusal:
        source.problem(
            where, f"{before or 'a bare number'} cannot be turned into {after or 'a bare number'}."
        )
        return 1.0


def uses(data: Mapping[str, Any]) -> dict[str, Input]:
    """The input that each given is passed to, found from the raw tables of a question."""
    found: dict[str, Input] = {}
    tables = data.get("given")
    givens: Mapping[str, Any] = tables if isinstance(tables, Mapping) else {}
    asked = (data, *_tables(data.get("part")))
    users: list[Any] = [*(one.get("answer") for one in asked), *givens.values()]
    users += [
        {"calculation": slip.get("calculation", _calculation_of(one)), "inputs": slip.get("change")}
        for one in asked
        for slip in _tables(one.get("slip"))
    ]
    for user in users:
        name = user.get("calculation") if isinstance(user, Mapping) else None
        if name not in calc.names():
            continue
        inputs = {each.name: each for each in calc.get(str(name)).inputs}
        mapping = user.get("inputs")
        for name, text in (mapping if isinstance(mapping, Mapping) else {}).items():
            if name in inputs:
                several = isinstance(text, list)
                use = replace(inputs[name], many=False) if several else inputs[name]
                for one in text if isinstance(text, list) else [text]:
                    if _names_given(one):
                        found.setdefault(_given_of(one), use)
        for name in givens:
            if name in inputs:
                found.setdefault(name, inputs[name])
    return found


def _names_given(text: Any) -> bool:
    return isinstance(text, str) and text.removeprefix("-").startswith("given:")


def _given_of(text: str) -> str:
    return text.removeprefix("-").removeprefix("given:")


def _calculation_of(data: Mapping[str, Any]) -> Any:
    answer = data.get("answer")
    return answer.get("calculation") if isinstance(answer, Mapping) else None


def _tables(value: Any) -> list[Mapping[str, Any]]:
    return [one for one in value if isinstance(one, Mapping)] if isinstance(value, list) else []


def read_givens(source: Source, data: Mapping[str, Any]) -> tuple[AnyGiven, ...]:
    """The givens of a question in the order of the file; what is wrong is noted and left out."""
    tables = source.take(data, "given", dict, default={}) or {}
    used = uses(data)
    found: list[AnyGiven] = []
    for name, table in tables.items():
        where = ("given", name)
        if not isinstance(table, Mapping):
            source.problem(where, f"given {name} must be a table such as [given.{name}].")
            continue
        forms = [form for form in FORMS if form in table]
        if len(forms) != 1:
            source.problem(where, f"[given.{name}] needs one of low, list, value, shop or calculation.")
            continue
        form = forms[0]
        source.known(table, FORMS[form], where)
        given = _read_given(source, form, name, table, used.get(name), found)
        if given is not None:
            found.append(given)
    return tuple(found)


def _read_given(
    source: Source, form: str, name: str, table: Mapping[str, Any], use: Input | None, above: list[AnyGiven]
) -> AnyGiven | None:
    where = ("given", name)
    if form == "low":
        return _stepped(source, name, table, use)
    if form == "shop":
        return _from_shop(source, name, table, use)
    if form == "calculation":
        return _computed(source, name, table, above)
    if form == "value":
        items = [table["value"]]
    else:
        items = source.take(table, "list", list, where) or []
        if not items:
            source.problem((*where, "list"), f"the list of {name} is empty; give at least one value.")
    made = [given for item in items if (given := _one(source, item, use, (*where, form))) is not None]
    return Listed(name, made[0].unit, tuple(made)) if made and len(made) == len(items) else None


def _stepped(source: Source, name: str, table: Mapping[str, Any], use: Input | None) -> AnyGiven | None:
    where = ("given", name)
    texts = {key: source.take(table, key, str, where) for key in FORMS["low"]}
    if None in texts.values():
        return None
    unit = use.unit if use is not None else _unit_of(texts["low"])
    if use is not None and use.kind != "number":
        source.problem(where, f"{name} is passed to {use.name}, which is not a number; give it as a list.")
        return None
    ends = {key: _fraction(source, text, unit, (*where, key)) for key, text in texts.items()}
    low, high, step = ends["low"], ends["high"], ends["step"]
    if low is None or high is None or step is None:
        return None
    if step <= 0 or high <= low or (high - low) / step > MOST_STEPS:
        source.problem(
            where, f"{name} must go up from low to high in steps over 0, at most {MOST_STEPS} of them."
        )
        return None
    if ((high - low) / step).denominator != 1:
        source.problem(
            (*where, "step"), f"{name} does not reach {texts['high']} from {texts['low']} in whole steps."
        )
        return None
    return Stepped(name, unit, low, step, int((high - low) / step) + 1, _in_feet(texts["low"]))


def _from_shop(source: Source, name: str, table: Mapping[str, Any], use: Input | None) -> AnyGiven | None:
    where = ("given", name, "shop")
    field = table["shop"]
    if field not in standard.FIELDS:
        source.problem(where, f"the shop standard has no {field!r}; it has {', '.join(standard.FIELDS)}.")
        return None
    unit = standard.FIELDS[field].unit
    if use is not None:
        factor(source, unit, use.unit, where)
    return FromShop(name, unit, field)


def _computed(source: Source, name: str, table: Mapping[str, Any], above: list[AnyGiven]) -> AnyGiven | None:
    where = ("given", name)
    calculation = find_calculation(source, table["calculation"], (*where, "calculation"))
    result = source.take(table, "result", str, where)
    if calculation is None or result is None:
        return None
    unit = quantity_unit(source, calculation, result, (*where, "result"))
    feeds = read_feeds(source, calculation, table.get("inputs", {}), above, (*where, "inputs"))
    rounded = source.take(table, "round", str, where, default="")
    step = _fraction(source, rounded, unit or "", (*where, "round")) if rounded else Fraction(0)
    if unit is None or step is None:
        return None
    if rounded and step <= 0:
        source.problem((*where, "round"), f"{name} cannot be rounded to {rounded}; give a step over 0.")
        return None
    return Computed(name, unit, calculation, result, feeds, step)


def quantity_unit(
    source: Source, calculation: Calculation, name: str, where: tuple[str | int, ...]
) -> str | None:
    """The unit of a number that the calculation makes; None, with what there is noted, when there is none."""
    quantity = calculation.quantities.get(name)
    if quantity is not None and quantity.kind == "number":
        return quantity.unit
    known = ", ".join(one.name for one in calculation.quantities.values() if one.kind == "number")
    source.problem(where, f"{calculation.name} makes no number {name!r}; it makes {known}.")
    return None


def read_feeds(
    source: Source,
    calculation: Calculation,
    mapping: Any,
    givens: Sequence[Named],
    where: tuple[str | int, ...],
) -> tuple[Feed, ...]:
    """How a calculation's inputs are fed: every given of an input's name, and what the file's table says."""
    feeds: dict[str, Feed] = {}
    units = {given.name: given.unit for given in givens}
    inputs = {each.name: each for each in calculation.inputs}
    for given in givens:
        if given.name in inputs:
            each = inputs[given.name]
            change = factor(source, given.unit, each.unit, where) if each.kind == "number" else 1.0
            feeds[given.name] = Feed(given.name, given.name, factor=change)
    if not isinstance(mapping, Mapping):
        source.problem(where, "the inputs must be a table of input names.")
        return tuple(feeds.values())
    for name, text in mapping.items():
        if name not in inputs:
            source.problem(
                (*where, name), f"{calculation.name} has no input {name!r}; it takes {', '.join(inputs)}."
            )
        elif (feed := read_feed(source, inputs[name], text, units, (*where, name))) is not None:
            feeds[name] = feed
    return tuple(feeds.values())


def read_feed(
    source: Source, each: Input, text: Any, units: Mapping[str, str], where: tuple[str | int, ...]
) -> Feed | None:
    """One input's value: "given:NAME", "part:ID" of a part above, a literal text, or a list with givens in it.

    In a list "-given:NAME" takes the given away.
    """
    if each.many and isinstance(text, list) and any(_names_given(one) for one in text):
        alone = replace(each, many=False)
        feeds = [read_feed(source, alone, one, units, (*where, place)) for place, one in enumerate(text)]
        return None if None in feeds else Feed(each.name, each=tuple(feed for feed in feeds if feed))
    if _names_given(text) or (isinstance(text, str) and text.startswith("part:")):
        kind, _, id = text.removeprefix("-").partition(":")
        name = id if kind == "given" else text
        if name not in units:
            source.problem(where, f"there is no {kind} {id!r}; there are {', '.join(units) or 'none'}.")
            return None
        change = factor(source, units[name], each.unit, where) if each.kind == "number" else 1.0
        return Feed(each.name, name, factor=-change if text.startswith("-") else change)
    given = _one(source, text, each, where)
    return None if given is None else Feed(each.name, literal=given.value)


def _one(source: Source, item: Any, use: Input | None, where: tuple[str | int, ...]) -> Given | None:
    """One value of a list as the input it is for reads it; a text-only given may be words in both languages."""
    if use is not None and use.many:
        items = [item] if isinstance(item, str) else item
        if not isinstance(items, list) or not all(isinstance(one, str) for one in items):
            source.problem(where, f"{use.name} takes several values; give a list of texts, not {item!r}.")
            return None
        values = [_input_value(source, use, one, where) for one in items]
        if None in values:
            return None
        return Given(values, use.unit, written_input(use, values, any(_in_feet(one) for one in items)))
    if use is None and isinstance(item, Mapping):
        words = source.both(item, where)
        return None if words is None else Given(words.en, "", words)
    if not isinstance(item, str):
        source.problem(where, f"a value must be a text in quotes with its unit, not {item!r}.")
        return None
    if use is not None:
        value = _input_value(source, use, item, where)
        return None if value is None else Given(value, use.unit, written_input(use, value, _in_feet(item)))
    unit = _unit_of(item)
    if not unit:
        source.problem(where, f'{item!r} is no quantity; write words as {{ en = "...", es = "..." }}.')
        return None
    exact = notation.read(item, unit).value
    return Given(float(exact), unit, written(exact, unit, _in_feet(item)))


def _input_value(source: Source, use: Input, text: str, where: tuple[str | int, ...]) -> Any:
    """`text` as the input takes it, its range checked; None with a problem noted."""
    try:
        value = reading.read_input(use, text)
    except Refusal as refusal:
        source.problem(where, str(refusal))
        return None
    if use.kind == "choice" and value not in use.choices:
        source.problem(where, f"{use.name} cannot be {text!r}; choose one of {', '.join(use.choices)}.")
        return None
    if use.parts:
        return entry_of(use.parts, value)
    if use.kind != "number":
        return value
    if not use.low <= value <= use.high:
        source.problem(
            where, f"{use.name} cannot be {text}; it goes from {use.low:g} to {use.high:g} {use.unit}."
        )
        return None
    return float(value)


def _fraction(source: Source, text: str, unit: str, where: tuple[str | int, ...]) -> Fraction | None:
    try:
        return notation.read(text, unit).value
    except Refusal as refusal:
        source.problem(where, str(refusal))
        return None


def _unit_of(text: str) -> str:
    """The unit a text-only quantity is written in; empty when the text is no quantity."""
    for unit in TEXT_UNITS:
        try:
            notation.read(text, unit)
        except Refusal:
            continue
        return unit
    return ""


def _in_feet(text: str) -> bool:
    return any(mark in text for mark in ("ft", "foot", "feet", "'", "′"))
