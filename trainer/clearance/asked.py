"""One requirement on one day, made ready for any number of people: whether each meets it, and the line that says why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Any, Final, NamedTuple

from trainer.clearance.known import Known
from trainer.clearance.needs import needed
from trainer.clearance.requirements import Requirement, Rules
from trainer.clearance.words import Saying, say, saying, until
from trainer.languages import Text

Met = tuple[date | None, tuple[Any, ...]]
"""(last good day, None when it does not run out; what it rests on, which `Asked.said` puts in words)."""
Stands = Callable[[str], tuple[bool, date | None, str] | None]
"""Of another clearance's id: (cleared, last good day, state); None when it leads in a circle."""

UNKNOWN: Final = saying(
    "A kind of requirement that is not known.", "Una clase de requisito que no se conoce."
)


class Line(NamedTuple):
    """One requirement of a standing.

    until: the last good day, None when it does not run out or is not met
    saying: by what it is met, or why it is not
    """

    asked: Asked
    met: bool
    until: date | None
    saying: Saying

    @property
    def requirement(self) -> Requirement:
        return self.asked.need

    @property
    def by_what(self) -> Text | None:
        """What meets it, None when nothing does."""
        return self.saying.text if self.met else None

    @property
    def why_not(self) -> Text | None:
        """None when it is met."""
        return None if self.met else self.saying.text

    @property
    def what(self) -> Text:
        """What is needed."""
        return needed(self.asked.need, self.asked.rules)

    @property
    def reason(self) -> Text:
        """Why it is met or not."""
        said = self.saying.text
        if not self.met:
            return said
        return say("{by_what}{until}.", "{by_what}{until}.", by_what=said, until=until(self.until))


class Lines(Sequence[Line]):
    """The lines of one person on one clearance, made when someone reads them: of a board of thousands hardly any are."""

    __slots__ = ("_asked", "_known", "_lines", "_stands")

    def __init__(self, asked: Sequence[Asked], known: Known, stands: Stands) -> None:
        self._asked, self._known, self._stands = asked, known, stands

    def __len__(self) -> int:
        return len(self._asked)

    def __getitem__(self, place: Any) -> Any:
        if not hasattr(self, "_lines"):
            self._lines = tuple([need.line(self._known, self._stands) for need in self._asked])
        return self._lines[place]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and tuple(self) == tuple(other)

    def __repr__(self) -> str:
        return repr(tuple(self))

    __hash__ = None  # type: ignore[assignment]


def last_day(start: date, span: timedelta | None) -> date | None:
    """The last day on which what happened on `start` still counts, None when it does not run out."""
    if span is None:
        return None
    try:
        return start + span
    except OverflowError:
        return date.max


def first_day(on: date, span: timedelta | None) -> date:
    """The first day of which what happened still counts on `on`."""
    try:
        return date.min if span is None else on - span
    except OverflowError:
        return date.min


class Asked:
    """One requirement on one day, made ready for any number of people.

    span: how long what meets it counts, None for ever; oldest: the first day of what still counts on the day
    """

    def __init__(self, need: Requirement, rules: Rules, on: date) -> None:
        self.need, self.rules, self.on = need, rules, on
        days: int | None = getattr(need, "within_days", None)
        self.span = None if days is None else timedelta(days=min(days, timedelta.max.days))
        self.oldest = first_day(on, self.span)

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
        """How the person stands on it, in words."""
        met = self.meets(known, stands)
        if met is None:
            return Line(self, False, None, self.fault(known, stands))
        last, seen = met
        return Line(self, True, last, self.said(*seen))

    def meets(self, known: Known, stands: Stands) -> Met | None:
        """None when it is not met. A kind of requirement that is not known never is."""
        return None

    def said(self, *seen: Any) -> Saying:
        """By what it is met. seen: as `meets` gives it"""
        raise NotImplementedError

    def fault(self, known: Known, stands: Stands) -> Saying:
        """Why it is not met."""
        return UNKNOWN
