"""The figures of question_bank/learning.toml, checked on reading."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from itertools import pairwise
from pathlib import Path
from typing import Any

HIGHEST = 0.98  # nobody is expected to get more than this right


class BadParameters(ValueError):
    """The file cannot be used; the message names the file, the entry and what it must be."""


@dataclass(frozen=True, slots=True)
class Estimating:
    """half_life [days]: in which an answer loses half its weight; practice_weight: 0 to 1, beside 1 for a paper."""

    half_life: float
    practice_weight: float


@dataclass(frozen=True, slots=True)
class Reviewing:
    """gaps [days]: growing; per_day: how many skills come back on one day at most."""

    gaps: tuple[float, ...]
    per_day: int


@dataclass(frozen=True, slots=True)
class Deciding:
    """margin [percent of questions right] below and above the mark; the error rates as `Terms` has them."""

    margin: float
    wrongly_above: float
    wrongly_below: float

    def ends(self, mark: float) -> tuple[float, float]:
        """(low, high) of `Terms` for a pass mark [percent]. ValueError when the mark leaves no room for them."""
        low, high = (mark - self.margin) / 100, min((mark + self.margin) / 100, HIGHEST)
        if low <= 0 or high <= mark / 100:
            raise ValueError(f"mark={mark} leaves no room below or above it")
        return low, high


@dataclass(frozen=True, slots=True)
class Parameters:
    estimate: Estimating
    review: Reviewing
    deciding: Deciding


def load_parameters(path: Path) -> Parameters:
    """Read the file. Raises BadParameters with one sentence about the first entry that cannot be."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeError, tomllib.TOMLDecodeError) as error:
        raise BadParameters(f"{path}: {error}") from error
    tables = {one.name: _table(path, data, one.name) for one in fields(Parameters)}
    estimate, review, deciding = tables["estimate"], tables["review"], tables["deciding"]
    gaps = review.get("gaps")
    if not isinstance(gaps, list) or not gaps or not all(map(_is_number, gaps)):
        gaps = [0]
    if gaps[0] <= 0 or any(later <= earlier for earlier, later in pairwise(gaps)):
        raise BadParameters(f"{path}: review.gaps must be days that grow, such as [1, 3, 7]")
    return Parameters(
        Estimating(
            _number(path, estimate, "estimate.half_life", 1, 3650),
            _number(path, estimate, "estimate.practice_weight", 0, 1),
        ),
        Reviewing(tuple(map(float, gaps)), int(_number(path, review, "review.per_day", 1, 20))),
        Deciding(
            _number(path, deciding, "deciding.margin", 1, 30),
            _number(path, deciding, "deciding.wrongly_above", 0.001, 0.2),
            _number(path, deciding, "deciding.wrongly_below", 0.001, 0.3),
        ),
    )


def _table(path: Path, data: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    table = data.get(name)
    if not isinstance(table, dict):
        raise BadParameters(f"{path}: the table [{name}] is missing")
    return table


def _number(path: Path, table: Mapping[str, Any], name: str, low: float, high: float) -> float:
    value: Any = table.get(name.partition(".")[2])
    if not _is_number(value) or not low <= value <= high:
        raise BadParameters(f"{path}: {name} must be a number from {low} to {high}")
    return float(value)


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
