"""One requirement on one day, made ready for any number of people, and the line it gives for each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any, Final, NamedTuple

from trainer.clearance.known import Known
from trainer.clearance.memo import Memo
from trainer.clearance.needs import needed
from trainer.clearance.requirements import Requirement, Rules
from trainer.clearance.words import Saying, say, saying, until
from trainer.languages import Text

Fixed = tuple[str, str]
Stands = Callable[[str], tuple[bool, date | None, str] | None]
"""Of another clearance's id: (cleared, last good day, state); None when it leads in a circle."""

UNKNOWN: Final = ("A kind of requirement that is not known.", "Una clase de requisito que no se conoce.")


class Line(NamedTuple):
    """One requirement of a standing.

    until: the last good day, None when it does not run out or is not met
    seen: what it rests on, which `asked` puts in words when someone reads them: a board has thousands of lines
    """

    asked: Asked
    met: bool
    until: date | None
    seen: Saying | tuple[Any, ...]

    @property
    def requirement(self) -> Requirement:
        return self.asked.need

    @property
    def by_what(self) -> Text | None:
        """What meets it, None when nothing does."""
        return self._said if self.met else None

    @property
    def why_not(self) -> Text | None:
        """None when it is met."""
        return None if self.met else self._said

    @property
    def what(self) -> Text:
        """What is needed."""
        return needed(self.asked.need, self.asked.rules)

    @property
    def reason(self) -> Text:
        """Why it is met or not."""
        if not self.met:
            return self._said
        return say("{by_what}{until}.", "{by_what}{until}.", by_what=self._said, until=until(self.until))

    @property
    def _said(self) -> Text:
        seen = self.seen if isinstance(self.seen, Saying) else self.asked.said(*self.seen)
        return seen.text


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
    """One requirement on one day, made ready for any number of people."""

    def __init__(self, need: Requirement, rules: Rules, on: date) -> None:
        self.need, self.rules, self.on = need, rules, on
        self.not_met: Memo[Fixed, Line] = Memo(lambda fixed: self.unmet(saying(*fixed)))
        self.days: int | None = getattr(need, "within_days", None)
        self.oldest = first_day(on, self.days)

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Asked)
            and (self.need, self.on) == (other.need, other.on)
            and self.rules == other.rules
        )

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.need!r}, {self.on})"

    __hash__ = None  # type: ignore[assignment]

    def line(self, known: Known, stands: Stands) -> Line:
        """How the person stands on it. A kind of requirement that is not known is never met."""
        return self.not_met[UNKNOWN]

    def said(self, *seen: Any) -> Saying:
        """What a line rests on, in words. seen: as `line` put it there."""
        raise NotImplementedError

    def unmet(self, why: Saying) -> Line:
        return Line(self, False, None, why)
