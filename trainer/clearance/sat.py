"""A paper as it stood at the end of a day, worked out once however many requirements look at it."""

from __future__ import annotations

from datetime import date
from functools import cached_property

from trainer.clearance.evidence import PaperEvidence


class SatPaper:
    """One paper on one day. skills: all that it could ask about, whether it came to them or not."""

    def __init__(self, paper: PaperEvidence, on: date) -> None:
        self.paper, self.on = paper, on
        self.skills = frozenset(skill for answer in paper.answers for skill in answer.skills)
        self.asked = tuple(answer for answer in paper.answers if answer.asked)

    @cached_property
    def must_pass(self) -> frozenset[str]:
        """The skills on which it asked a must-pass question."""
        return frozenset(skill for answer in self.asked if answer.must_pass for skill in answer.skills)

    @cached_property
    def readable(self) -> bool:
        return self.paper.readable

    @cached_property
    def grades(self) -> list[tuple[float, bool]]:
        """(credit, right) of each question asked."""
        return [answer.grade(self.on) for answer in self.asked]

    @cached_property
    def is_clear(self) -> bool:
        """Whether a paper that decides early shows its mark to be reached; any other has nothing to show."""
        least = self.paper.least_right
        return least is None or sum(right for _, right in self.grades) >= least

    @cached_property
    def must_pass_right(self) -> bool:
        return all(
            right or not answer.must_pass for answer, (_, right) in zip(self.asked, self.grades, strict=True)
        )

    def score(self, skills: frozenset[str]) -> float:
        """The lower of the score of the whole paper and of its questions on `skills` [percent].

        Strong answers on other skills must not carry weak ones on these.
        """
        whole = [credit for credit, _ in self.grades]
        named = [
            credit
            for credit, answer in zip(whole, self.asked, strict=True)
            if not skills.isdisjoint(answer.skills)
        ]
        if not whole or not named:
            return 0.0
        return 100.0 * min(sum(whole) / len(whole), sum(named) / len(named))
