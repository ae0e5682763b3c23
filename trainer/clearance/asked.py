"""One requirement on one day, made ready for any number of people, and the line it gives for each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

from trainer.clearance.known import Known
from trainer.clearance.memo import Memo
from trainer.clearance.needs import needed
from trainer.clearance.requirements import Requirement, Rules
from trainer.clearance.words import say, until
from trainer.languages import Text

Saying = tuple[str, str]
Stands = Callable[[str], tuple[bool, date | None, Text] | None]
"""Of another clearance's id: (cleared, last good day, state in words); None when it leads in a circle."""

UNKNOWN: Final = ("A kind of requirement that is not known.", "Una clase de requisito que no se conoce.")


@dataclass(frozen=True, slots=True)
class Line:
    """One requirement of a standing.

    until: the last good day, None when it does not run out or is not met
    by_what: what meets it, None when nothing does; why_not: None when it is met
    """

    requirement: Requirement
    met: bool
    until: date | None
    by_what: Text | None
    why_not: Text | None
    rules: Rules = field(repr=False, compare=False)

    @property
    def what(self) -> Text:
        """What is needed. Put in words only when asked: a board has thousands of lines that nobody reads."""
        return needed(self.requirement, self.rules)

    @property
    def reason(self) -> Text:
        """Why it is met or not."""
        if self.by_what is None:
            return self.why_not or self.what
        return say("{by_what}{until}.", "{by_what}{until}.", by_what=self.by_what, until=until(self.until))


def last_day(start: date, days: int | None) -> date | None:
    """The last day on which what happened on `start` still counts, None when it does not run out."""
    if days is None:
        return None
    try:
        return start + timedelta(days=days)
    except OverflowError:
        return date.max


def first_day(on: date, days: int | None) -> date:
    """The first day of which what happened still counts on `on`."""
    try:
        return date.min if days is None else on - timedelta(days=days)
    except OverflowError:
        return date.min


class Asked:
    """One requirement on one day, made ready for any number of people. Equal answers are one and the same line."""

    def __init__(self, need: Requirement, rules: Rules, on: date) -> None:
        self.rules, self.on, self._need = rules, on, need
        self.not_met: Memo[Saying, Line] = Memo(lambda saying: self.unmet(say(*saying)))

    def line(self, known: Known, stands: Stands) -> Line:
        """How the person stands on it. A kind of requirement that is not known is never met."""
        return self.not_met[UNKNOWN]

    def unmet(self, why: Text) -> Line:
        return Line(self._need, False, None, None, why, self.rules)

    def met(self, by_what: Text, last: date | None = None) -> Line:
        return Line(self._need, True, last, by_what, None, self.rules)
