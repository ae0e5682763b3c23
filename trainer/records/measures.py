"""A measured value of a practical task: read as the trade writes it, held against the standard or a calculation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from fractions import Fraction
from math import inf
from typing import Any, NamedTuple

from trainer import calc
from trainer.calc import notation, units
from trainer.clearance import Measure, Task
from trainer.clearance.task_file import MEASURED
from trainer.clearance.words import say
from trainer.errors import Refusal
from trainer.languages import Text

SLACK = 1e-9  # a measure exactly on the edge is still good


@dataclass(frozen=True, slots=True)
class Measured:
    """One measure taken.

    typed, shown: as typed, and as it was read; value [the measure's unit]
    ok: what the core says, None when there is nothing to hold it against; verdict: that in words
    asked: what it is held against; off: by how much it misses that, None when it does not (older records lack both)
    """

    typed: str
    shown: str
    value: float
    ok: bool | None
    verdict: Text | None
    asked: Text | None = None
    off: Text | None = None

    def to_json(self) -> dict[str, Any]:
        return asdict(self)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Measured:
        texts = {name: Text(**data[name]) if data.get(name) else None for name in ("verdict", "asked", "off")}
        return cls(data["typed"], data["shown"], data["value"], data["ok"], **texts)


class Judgement(NamedTuple):
    """What the core says of a measure; see `Measured` for the parts."""

    ok: bool | None = None
    verdict: Text | None = None
    asked: Text | None = None
    off: Text | None = None


def check_measures(
    task: Task, typed: Mapping[str, str], standard: Mapping[str, Any], language: str = "en"
) -> dict[str, Measured]:
    """Every measure of the task that was typed. Refusal on one that cannot be read or is not the task's."""
    known = {measure.name: measure for measure in task.measures}
    for name in typed:
        if name not in known:
            raise Refusal(
                Text(en="The task has no measure %(given)s.", es="La tarea no tiene la medida %(given)s."),
                given=repr(name),
            )
    values: dict[str, float] = {}
    given = {name: typed[name] for name in known if typed.get(name, "").strip()}
    for name, text in given.items():
        values[name] = float(notation.read(text, known[name].unit, language).value)
    return {
        name: check_measure(known[name], text, standard, language, values) for name, text in given.items()
    }


def check_measure(
    measure: Measure,
    typed: str,
    standard: Mapping[str, Any],
    language: str = "en",
    measured: Mapping[str, float] | None = None,
) -> Measured:
    """Read `typed` and hold it against the shop standard or the calculation.

    measured: the task's other measures by name [their unit], for a calculation that needs them
    Raises Unreadable when it is no measure in the trade's notation, Refusal when the calculation cannot be made.
    """
    reading = notation.read(typed, measure.unit, language)
    value = float(reading.value)
    return Measured(typed, reading.shown(language), value, *_judge(measure, value, standard, measured or {}))


def _judge(
    measure: Measure, value: float, standard: Mapping[str, Any], measured: Mapping[str, float]
) -> Judgement:
    if measure.against is not None:
        field = calc.standard.field(measure.against)
        bound = _convert(float(standard[measure.against]), field.unit, measure.unit)
        if measure.at_least:
            asked = say(
                "The shop standard is at least {x}",
                "El estándar del taller es de al menos {x}",
                x=_written(bound, measure),
            )
            return _said(measure, value - bound, 0.0, inf, asked)
        if measure.at_most:
            asked = say(
                "The shop standard is at most {x}",
                "El estándar del taller es de {x} como máximo",
                x=_written(bound, measure),
            )
            return _said(measure, value - bound, -inf, 0.0, asked)
        return _near(
            measure,
            value,
            bound,
            say("The shop standard is {x}", "El estándar del taller es {x}", x=_written(bound, measure)),
        )
    if measure.calculation is not None:
        target = _calculated(measure, measured)
        if target is None:
            return Judgement()
        return _near(
            measure,
            value,
            target,
            say("The calculation gives {x}", "El cálculo da {x}", x=_written(target, measure)),
        )
    if measure.within is not None:
        asked = say("At most {x} is taken", "Se acepta {x} como máximo", x=_written(measure.within, measure))
        return _said(measure, value - measure.within, -measure.within, 0.0, asked)
    return Judgement()


def _near(measure: Measure, value: float, target: float, asked: Text) -> Judgement:
    assert measure.within is not None
    off = _written(measure.within, measure)
    give = say("{asked}, give or take {off}", "{asked}, con {off} de tolerancia", asked=asked, off=off)
    return _said(measure, value - target, -measure.within, measure.within, give)


def _said(measure: Measure, off: float, low: float, high: float, asked: Text) -> Judgement:
    """Whether `off`, the distance from what is asked, lies between the two ends; and that in one sentence."""
    if low - SLACK <= off <= high + SLACK:
        return Judgement(True, say("{asked}: met.", "{asked}: se cumple.", asked=asked), asked)
    by = _written(abs(off), measure)
    missed = (
        say("short by {by}", "por debajo en {by}", by=by)
        if off < low
        else say("over by {by}", "por encima en {by}", by=by)
    )
    verdict = say("{asked}: {missed}.", "{asked}: {missed}.", asked=asked, missed=missed)
    return Judgement(False, verdict, asked, missed)


def _written(value: float, measure: Measure) -> Text:
    """The value as the trade writes it; what would be rounded to nothing, in decimals."""
    text = Text(en=notation.write(value, measure.unit, "en"), es=notation.write(value, measure.unit, "es"))
    if value and not notation.read(text.en, measure.unit).value:
        decimals = f"{notation.write_number(value, 2)} {measure.unit}"
        return Text(en=decimals, es=decimals)
    return text


def _calculated(measure: Measure, measured: Mapping[str, float]) -> float | None:
    """The calculation's result [the measure's unit], None while a measure that it needs is missing."""
    assert measure.calculation is not None and measure.result is not None
    calculation = calc.get(measure.calculation)
    units = {one.name: one.unit for one in calculation.inputs}
    inputs: dict[str, Any] = {}
    for name, source in measure.inputs.items():
        if source.startswith(MEASURED):
            other = source.removeprefix(MEASURED)
            if other not in measured:
                return None
            inputs[name] = _convert(measured[other], measure.input_units.get(name, units[name]), units[name])
        else:
            inputs.update(calc.read_inputs(measure.calculation, {name: [source]}))
    unit = next(quantity.unit for quantity in calculation.results if quantity.name == measure.result)
    return _convert(
        float(calc.evaluate(measure.calculation, inputs).results[measure.result]), unit, measure.unit
    )


def _convert(value: float, from_unit: str, to_unit: str) -> float:
    return value if from_unit == to_unit else float(units.convert(Fraction(value), from_unit, to_unit))
