"""Reading tasks.toml: practical tasks with criteria, at-once fails and measures held against the core."""

from __future__ import annotations

from pathlib import Path

from trainer import calc
from trainer.calc import notation
from trainer.clearance.requirements import Measure, Task
from trainer.clearance.tables import File, Table
from trainer.errors import Refusal

MEASURE_KEYS = {
    "unit",
    "meaning",
    "against",
    "at_least",
    "at_most",
    "within",
    "calculation",
    "result",
    "inputs",
}
MEASURED = "measured:"


def load_tasks(path: Path) -> dict[str, Task]:
    """Every task of the file by id, in its order. Raises ContentError on the first mistake."""
    return {table.name: read_task(table) for table in File(path).tables()}


def read_task(table: Table) -> Task:
    """One task. Raises ContentError on the first mistake."""
    table.only({"version", "accepts", "name", "criteria", "fails", "caution", "measures"})
    version = table.number_from("version", 1, 10**6, needed=True)
    name = table.text("name")
    assert name is not None
    measures = table.value("measures", dict, {})
    return Task(
        table.name,
        version,
        table.number_from("accepts", 1, version, version),
        name,
        table.texts("criteria", needed=True),
        table.texts("fails"),
        table.text("caution", needed=False),
        tuple(_measure(table, name, data, measures) for name, data in measures.items()),
    )


def _measure(task: Table, name: str, data: object, all_of: dict[str, object]) -> Measure:
    table = Table(task.file, f"{task.name}.measures.{name}", data if isinstance(data, dict) else {})
    table.only(MEASURE_KEYS)
    meaning = table.text("meaning")
    assert meaning is not None
    unit = table.value("unit", str, needed=True)
    inputs = {key: str(value) for key, value in table.value("inputs", dict, {}).items()}
    measure = Measure(
        name,
        unit,
        meaning,
        table.value("against", str),
        table.value("at_least", bool, False),
        table.value("at_most", bool, False),
        _within(table, unit),
        table.value("calculation", str),
        table.value("result", str),
        inputs,
        {key: _unit_of(source, all_of) for key, source in inputs.items() if source.startswith(MEASURED)},
    )
    _check_shop_field(table, measure)
    _check_calculation(table, measure, all_of)
    return measure


def _unit_of(source: str, all_of: dict[str, object]) -> str:
    """The unit of the measure that `source` names; "" when there is none, which is refused later."""
    other = all_of.get(source.removeprefix(MEASURED))
    return str(other.get("unit", "")) if isinstance(other, dict) else ""


def _within(table: Table, unit: str) -> float | None:
    text = table.value("within", str)
    try:
        # Read even when there is nothing to read, so that an unknown unit is found here.
        value = notation.read(text if text is not None else "1", unit).value
    except (Refusal, KeyError, ValueError) as error:
        key = "within" if text is not None else "unit"
        raise table.wrong(f"{key} of {table.name}: {error}", key) from None
    return float(value) if text is not None else None


def _check_shop_field(table: Table, measure: Measure) -> None:
    if measure.against is None:
        if measure.at_least or measure.at_most:
            raise table.wrong(f"{table.name} has at_least or at_most but nothing that it is held against.")
        return
    if measure.against not in calc.standard.FIELDS:
        raise table.wrong(f"the shop standard has no {measure.against!r}.", "against")
    if (measure.at_least + measure.at_most + (measure.within is not None)) != 1 or measure.calculation:
        raise table.wrong(f"{table.name} needs exactly one of at_least, at_most and within.", "against")


def _check_calculation(table: Table, measure: Measure, all_of: dict[str, object]) -> None:
    if measure.calculation is None:
        if measure.result or measure.inputs:
            raise table.wrong(f"{table.name} has a result or inputs but no calculation.")
        return
    if measure.calculation not in calc.names():
        raise table.wrong(f"there is no calculation {measure.calculation!r}.", "calculation")
    calculation = calc.get(measure.calculation)
    results = [quantity.name for quantity in calculation.results]
    if measure.result not in results:
        raise table.wrong(f"result of {table.name} must be one of {', '.join(results)}.", "result")
    if measure.within is None:
        raise table.wrong(f"{table.name} lacks within: how far off the calculation is still taken.")
    inputs = [one.name for one in calculation.inputs]
    for name, source in measure.inputs.items():
        if name not in inputs:
            raise table.wrong(f"{measure.calculation} has no input {name!r}.", "inputs")
        if source.startswith(MEASURED) and source.removeprefix(MEASURED) not in all_of:
            raise table.wrong(f"{source!r} is no measure of this task.", "inputs")
