"""Samples taken over one shift."""

from __future__ import annotations

from typing import Any

from trainer.calc.algebra import plain
from trainer.errors import Refusal
from trainer.languages import Text


def check_day(sampled: Any, day: float, unit: str) -> None:
    """Refusal when the samples of one shift are longer than a day, `day` [unit]."""
    if sampled > day + 1e-9:
        raise Refusal(
            Text(
                en="sample times make %(sampled)g %(unit)s, more than a day; give %(day)g %(unit)s at most.",
                es="los tiempos de sample suman %(sampled)g %(unit)s, más de un día; dé %(day)g %(unit)s como máximo.",
            ),
            sampled=float(plain(sampled)),
            day=day,
            unit=unit,
        )
