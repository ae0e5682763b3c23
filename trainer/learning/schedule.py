"""When a skill comes back: gaps that grow with each day it was remembered, and start again when it was not.

Basis: recalling something keeps it better than reading it again, and a gap before recalling it better than none
(H. L. Roediger and J. D. Karpicke, Psychological Science 17 (2006) 249-255); the best gap is some 5 to 40 per cent of
the time it is to be kept, so it must grow as the time does (N. J. Cepeda and others, Psychological Science 19 (2008)
1095-1102); moving up a box when right and back to the first when wrong is S. Leitner's way (So lernt man lernen,
1972; from memory). The gaps themselves are the shop's, in question_bank/learning.toml.

Only the first answer of a day on a skill counts here: it shows what was remembered; what follows has had help.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.learning.parameters import Reviewing

REMEMBERED = 0.99  # the credit from which on an answer shows that it was remembered


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a skill stands. box: which gap it waits for, from 0; last: when it was last recalled; due: when next."""

    box: int
    last: date
    due: date

    def overdue(self, on: date) -> float:
        """How many of its own gaps it is past due; below 0 before it is due."""
        gap = max((self.due - self.last).days, 1)
        return (on - self.due).days / gap


def standing(answers: Iterable[tuple[date, float]], given: Reviewing) -> Standing | None:
    """answers: (day, credit) on one skill in the order they were given; None when there are none.

    Right before it was due proves nothing about the longer gap and changes nothing; wrong always starts again.
    """
    box = -1
    seen = last = due = date.min
    gaps = [timedelta(days=round(gap)) for gap in given.gaps]
    for day, credit in answers:
        if day == seen:
            continue
        seen = day
        if box < 0 or credit < REMEMBERED:
            box = 0
        elif day < due:
            continue
        else:
            box = min(box + 1, len(gaps) - 1)
        last, due = day, day + gaps[box]
    return None if box < 0 else Standing(box, last, due)


def due_today(standings: Mapping[str, Standing], on: date, given: Reviewing) -> tuple[str, ...]:
    """The skills to bring back on a day, the most faded first; at most `per_day`, less what was recalled that day."""
    left = given.per_day - sum(one.last == on for one in standings.values())
    due = [name for name, one in standings.items() if one.due <= on]
    due.sort(key=lambda name: (-standings[name].overdue(on), standings[name].box, name))
    return tuple(due[: max(left, 0)])
