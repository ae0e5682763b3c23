"""What a question file says of an order: the steps, written in one right order, and the rules between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.languages import Text
from trainer.questions.model import AnyGiven
from trainer.questions.places import check_places
from trainer.questions.source import Source

KEYS: Final = ("step", "rule")
STEP_KEYS: Final = ("id", "en", "es")
RULE_KEYS: Final = ("step", "before", "why")
FEWEST_STEPS: Final = 4
MOST_STEPS: Final = 8
FEWEST_RULES: Final = 2
FEWEST_LETTERS: Final = 2


@dataclass(frozen=True, slots=True)
class Step:
    id: str
    text: Text


@dataclass(frozen=True, slots=True)
class Rule:
    """The step of id `first` comes before the one of id `then`."""

    first: str
    then: str
    why: Text


@dataclass(frozen=True, slots=True)
class Order:
    """The steps in one right order, and the rules that make an order right."""

    steps: tuple[Step, ...]
    rules: tuple[Rule, ...]

    @property
    def pairs(self) -> list[tuple[str, str]]:
        return [(rule.first, rule.then) for rule in self.rules]


def read(source: Source, data: Mapping[str, Any], givens: list[AnyGiven]) -> Order | None:
    """The steps and rules; None, with problems noted, when they cannot stand."""
    known = {given.name for given in givens}
    tables = source.take(data, "step", list) or []
    found = [_step(source, table, place, known) for place, table in enumerate(tables)]
    steps = [step for step in found if step is not None]
    if len(steps) < len(found):
        return None
    ids = [step.id for step in steps]
    twice = next((place for place, id in enumerate(ids) if id in ids[:place]), None)
    if twice is not None:
        source.problem(
            ("step", twice, "id"), f"two steps are called {ids[twice]!r}; each needs its own name."
        )
        return None
    if not FEWEST_STEPS <= len(steps) <= MOST_STEPS:
        source.problem(
            ("step",), f"an order has {FEWEST_STEPS} to {MOST_STEPS} steps; here there are {len(steps)}."
        )
        return None
    tables = source.take(data, "rule", list) or []
    rules = [rule for place, table in enumerate(tables) for rule in _rules(source, table, place, ids, known)]
    pairs = [(rule.first, rule.then) for rule in rules]
    for first, then in sorted({pair for pair in pairs if pairs.count(pair) > 1}):
        source.problem(("rule",), f"that {first} comes before {then} is said twice; say it once.")
    if len(rules) < FEWEST_RULES:
        source.problem(("rule",), f"an order needs at least {FEWEST_RULES} rules of what comes before what.")
    return Order(tuple(steps), tuple(rules))


def _step(source: Source, table: Any, place: int, known: set[str]) -> Step | None:
    where = ("step", place)
    if not isinstance(table, Mapping):
        source.problem(where, "a step must be a table headed [[step]].")
        return None
    source.known(table, STEP_KEYS, where)
    id, text = source.take(table, "id", str, where), source.both(table, where)
    if id is None or text is None:
        return None
    if len(id) < FEWEST_LETTERS:
        source.problem((*where, "id"), f"the id {id!r} reads like the letter of a step; give it a word.")
    check_places(source, text, known, where)
    return Step(id, text)


def _rules(source: Source, table: Any, place: int, ids: list[str], known: set[str]) -> list[Rule]:
    where = ("rule", place)
    if not isinstance(table, Mapping):
        source.problem(where, "a rule must be a table headed [[rule]].")
        return []
    source.known(table, RULE_KEYS, where)
    first, thens = source.take(table, "step", str, where), source.texts(table, "before", where)
    why = source.both(table.get("why"), (*where, "why"))
    if first is None or why is None:
        return []
    check_places(source, why, known, (*where, "why"))
    for key, named in (("step", [first]), ("before", thens)):
        for unknown in [id for id in named if id not in ids]:
            source.problem((*where, key), f"there is no step {unknown!r}; there are {', '.join(ids)}.")
            return []
    # The steps stand in a right order in the file, so rules that run in a circle are found here too.
    for then in thens:
        if ids.index(first) >= ids.index(then):
            source.problem(
                (*where, "before"),
                f"{first} must come before {then}, but the steps of the file stand the other way round; "
                "write them in an order that keeps every rule.",
            )
            return []
    return [Rule(first, then, why) for then in thens]
