"""Reading jobs.toml: which clearances a job needs, by rules that name its height, slope and tasks."""

from __future__ import annotations

from pathlib import Path

from trainer.clearance.job import JobRule
from trainer.clearance.requirements import Rules
from trainer.clearance.tables import File, Table
from trainer.paths import content_dir

KEYS = {"clearance", "why", "over_height", "over_rise", "up_to_rise", "tasks"}
MOST_HEIGHT, MOST_RISE = 1000, 48


def load_job_rules(rules: Rules, folder: Path | None = None) -> tuple[JobRule, ...]:
    """Every rule of the folder's jobs.toml (by default question_bank's), in its order. Raises ContentError."""
    file = File((folder or content_dir("question_bank")) / "jobs.toml")
    return tuple(_rule(table, rules) for table in file.tables())


def _rule(table: Table, rules: Rules) -> JobRule:
    table.only(KEYS)
    clearance = table.value("clearance", str, needed=True)
    if clearance not in rules.clearances:
        raise table.wrong(
            f"there is no clearance {clearance!r}; there are {', '.join(rules.clearances)}.", "clearance"
        )
    tasks = table.value("tasks", list, [])
    for task in tasks:
        if task not in rules.tasks:
            raise table.wrong(f"there is no task {task!r}; there are {', '.join(rules.tasks)}.", "tasks")
    if "tasks" in table.data and not tasks:
        raise table.wrong(f"tasks of {table.name} is empty; the rule would never hold.", "tasks")
    why = table.text("why")
    assert why is not None
    return JobRule(
        table.name,
        clearance,
        why,
        table.number_from("over_height", 0, MOST_HEIGHT),
        table.number_from("over_rise", 0, MOST_RISE),
        table.number_from("up_to_rise", 0, MOST_RISE),
        tuple(tasks),
    )
