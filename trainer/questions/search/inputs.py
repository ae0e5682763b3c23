"""Each input of a calculation changed in every way that a person may change it without meaning to.

An input counts as given when its value stands in the question; one that the calculation fills in by itself is touched
less often, and only in the ways its own kind suggests.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Final, NamedTuple

from trainer.calc import DEFAULT_SHOP, Calculation, Flue, Input
from trainer.calc.entries import Entry, Part
from trainer.calc.inputs import Shop
from trainer.calc.units import convert, unit_named
from trainer.languages import Text
from trainer.questions.search.causes import WAYS, Cause, Told

# Which units a number is taken for, or turned into, by mistake.
MISTAKEN_UNITS: Final[Mapping[str, tuple[str, ...]]] = {
    "in": ("ft", "cm", "mm"),
    "ft": ("in", "yd", "m"),
    "in2": ("ft2",),
    "ft2": ("in2", "yd2"),
    "in3": ("ft3",),
    "ft3": ("yd3", "gal", "in3"),
    "yd3": ("ft3",),
    "gal": ("qt", "ft3", "pt", "L"),
    "lb": ("kg", "ton"),
    "day": ("hour", "week"),
    "hour": ("minute", "day"),
    "minute": ("hour",),
    "psi": ("ksi",),
    "ksi": ("psi",),
    "degF": ("degC",),
    "deltaF": ("deltaC",),
    "lb/ft3": ("kg/m3",),
    "ug/m3": ("mg/m3",),
}
# A percentage used as a bare number, and a fraction read as percent.
HUNDRED: Final = 100.0
# How far a tape is misread [in], the likeliest first; any other number by its last figure.
TAPE: Final = (1.0, 0.5, 0.25, 0.125, 12.0)
LAST_FIGURE: Final = (1, 5, 2)
# What is not in the question is seldom what went wrong.
NOT_TOLD: Final = 0.25
FAR_ROW: Final = 0.6
# The smallest step is the likeliest misreading of each.
LATER_MISREADING: Final = 0.8

Run = Callable[[Mapping[str, Any]], float | None]


class Atom(NamedTuple):
    """One number of an input: the input itself, one of several, or a part of an entry.

    put: the input's whole value with this number replaced
    """

    told: Told
    value: float
    unit: str
    name: str
    put: Callable[[float], Any]
    given: bool


def changed_inputs(
    calculation: Calculation, inputs: Mapping[str, Any], given: Callable[[Any, str], bool], run: Run
) -> Iterator[Cause]:
    """Every cause that changes an input. given: whether a value [unit] stands in the question; run: the core."""
    atoms = list(_atoms(calculation, inputs, given))
    expected = run({})
    counting = [atom for atom in atoms if _counts(atom, run, expected)]
    for atom in counting:
        yield from _one(atom, run)
        yield from _usual(atom, run)
    for place, atom in enumerate(atoms):
        for other in atoms[place + 1 :]:
            if atom in counting or other in counting:
                yield from _two(atom, other, run)
    for each in calculation.inputs:
        value = inputs[each.name]
        called = _called(calculation, each)
        if each.many:
            yield from _several(each, called, list(value), given, run)
        if each.kind == "choice" and value is not None:
            yield from _rows(each, called, value, given, run)


def _counts(atom: Atom, run: Run, expected: float | None) -> bool:
    """Whether the answer rests on this number at all."""
    tried = (run({atom.told.input.name: atom.put(new)}) for new in (atom.value * 2, atom.value / 2, 0.0))
    return any(value is not None and value != expected for value in tried)


def _called(calculation: Calculation, each: Input) -> Text:
    """What the input is called: its meaning up to the first comma where that tells it from the others."""
    short = _short(each.meaning)
    alone = all(_short(other.meaning) != short for other in calculation.inputs if other is not each)
    return short if alone else each.meaning


def _short(meaning: Text) -> Text:
    return Text(en=re.split("[,;(]", meaning.en)[0].strip(), es=re.split("[,;(]", meaning.es)[0].strip())


def _atoms(
    calculation: Calculation, inputs: Mapping[str, Any], given: Callable[[Any, str], bool]
) -> Iterator[Atom]:
    for each in calculation.inputs:
        value = inputs[each.name]
        if value is None:
            continue
        called = _called(calculation, each)
        for place, one in enumerate(value if each.many else [value]):
            name = f"{each.name}[{place}]" if each.many else each.name
            if isinstance(one, Entry):
                for part in each.parts:
                    put = _put(each, value, place, _with(one, part))
                    number = one.numbers()[part.name]
                    told = Told(each, one, called, (number, part.unit))
                    yield Atom(told, number, part.unit, f"{name}.{part.name}", put, given(one, each.unit))
            elif each.kind == "number":
                put = _put(each, value, place, lambda new: new)
                yield Atom(Told(each, one, called), one, each.unit, name, put, given(one, each.unit))


def _with(entry: Entry, part: Part) -> Callable[[float], Any]:
    return lambda new: Entry(**(entry.numbers() | {part.name: new}))


def _put(each: Input, value: Any, place: int, make: Callable[[float], Any]) -> Callable[[float], Any]:
    if not each.many:
        return make
    return lambda new: [*value[:place], make(new), *value[place + 1 :]]


def _cause(way: str, atom: Atom, number: float, run: Run, share: float = 1.0, **more: Any) -> Iterator[Cause]:
    if number == atom.value:
        return
    value = run({atom.told.input.name: atom.put(number)})
    if value is not None:
        weight = WAYS[way].weight * share * (1.0 if atom.given else NOT_TOLD)
        yield Cause(way, value, weight, (atom.name, *more.pop("about", ())), it=atom.told, **more)


def _one(atom: Atom, run: Run) -> Iterator[Cause]:
    yield from _cause("left out", atom, 0.0, run)
    yield from _cause("counted twice", atom, atom.value * 2, run)
    yield from _cause("taken at half", atom, atom.value / 2, run)
    if not atom.given:
        return  # a person cannot misread what is nowhere written
    for unit in MISTAKEN_UNITS.get(atom.unit, ()):
        yield from _cause(
            "taken as", atom, convert(atom.value, unit, atom.unit), run, unit=unit, about=(unit,)
        )
        yield from _cause(
            "turned into", atom, convert(atom.value, atom.unit, unit), run, unit=unit, about=(unit,)
        )
    share = 1.0
    for step in _misreadings(atom):
        for new in (atom.value + step, atom.value - step):
            if new > 0:
                yield from _cause(
                    "misread", atom, new, run, share, new=_new(atom, new), about=(f"{new:.9g}",)
                )
        share *= LATER_MISREADING
    if atom.unit == "percent":
        for new in (atom.value / HUNDRED, atom.value * HUNDRED):
            yield from _cause("misread", atom, new, run, new=_new(atom, new), about=(f"{new:g}",))


def _misreadings(atom: Atom) -> tuple[float, ...]:
    if atom.unit == "in":
        return TAPE
    digits = f"{Decimal(repr(atom.value)).normalize():f}".lstrip("-")
    whole, _, part = digits.partition(".")
    last = 10.0 ** -len(part) if part else 10.0 ** (len(whole) - len(whole.rstrip("0")))
    return tuple(last * times for times in LAST_FIGURE)


def _new(atom: Atom, value: float) -> Any:
    """The new value as the input is written, whole entry or number."""
    whole = atom.put(value)
    if not atom.told.input.many:
        return whole
    before = int(atom.name.partition("[")[2].partition("]")[0])
    return whole[before]


def _usual(atom: Atom, run: Run) -> Iterator[Cause]:
    """The figure that the calculation itself would take, in place of the one that was given."""
    default = atom.told.input.default
    if isinstance(default, Shop):
        default = DEFAULT_SHOP[default.field]
    if atom.given and isinstance(default, int | float) and not atom.told.input.many:
        yield from _cause("usual figure", atom, float(default), run, new=float(default))


def _two(atom: Atom, other: Atom, run: Run) -> Iterator[Cause]:
    """Two numbers of one kind taken for each other, and one used in place of the other."""
    if unit_named(atom.unit).kind != unit_named(other.unit).kind or not (atom.given and other.given):
        return
    there, back = (
        convert(atom.value, atom.unit, other.unit),
        convert(other.value, other.unit, atom.unit),
    )
    if there == other.value:
        return
    first, second = atom.told.input.name, other.told.input.name
    if first != second:
        value = run({first: atom.put(back), second: other.put(there)})
        if value is not None:
            yield Cause(
                "mixed up",
                value,
                WAYS["mixed up"].weight,
                (atom.name, other.name),
                it=atom.told,
                other=other.told,
            )
    for one, two, new in ((atom, other, back), (other, atom, there)):
        yield from _cause("another's number", one, new, run, other=two.told, about=(two.name,))


def _several(
    each: Input, called: Text, values: Sequence[Any], given: Callable[[Any, str], bool], run: Run
) -> Iterator[Cause]:
    """One of several left out, counted twice, or turned round."""
    for place, one in enumerate(values):
        told, name = Told(each, one, called), f"{each.name}[{place}]"
        share = 1.0 if given(one, each.unit) else NOT_TOLD
        rest = [*values[:place], *values[place + 1 :]]
        changes = [("left out", rest), ("counted twice", [*values, one])]
        if isinstance(one, Flue) and one.length != one.width:
            turned = Flue(one.shape, one.width, one.length)
            changes.append(("turned round", [*values[:place], turned, *values[place + 1 :]]))
        for way, new in changes:
            value = run({each.name: new})
            if value is not None:
                yield Cause(way, value, WAYS[way].weight * share, (name,), it=told)


def _rows(
    each: Input, called: Text, value: Any, given: Callable[[Any, str], bool], run: Run
) -> Iterator[Cause]:
    place = each.choices.index(value)
    told = Told(each, value, called)
    for row, choice in enumerate(each.choices):
        number = run({each.name: choice}) if row != place else None
        if number is not None:
            share = (1.0 if abs(row - place) == 1 else FAR_ROW) * (1.0 if given(value, "") else NOT_TOLD)
            yield Cause(
                "wrong row",
                number,
                WAYS["wrong row"].weight * share,
                (each.name, choice),
                it=told,
                new=choice,
            )
