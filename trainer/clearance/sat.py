"""A paper as it stood at the end of a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trainer.clearance.evidence import PaperEvidence, Sheet


@dataclass(frozen=True, slots=True)
class SatPaper:
    """One paper on one day. What follows from its answers alone is the sheet's."""

    paper: PaperEvidence
    sheet: Sheet
    on: date

    @property
    def is_clear(self) -> bool:
        """Whether a paper that decides early shows its mark to be reached; any other has nothing to show."""
        least = self.paper.least_right
        return least is None or sum(right for _, right in self.sheet.grades(self.on)) >= least

    @property
    def must_pass_right(self) -> bool:
        return self.sheet.must_pass_right(self.on)

    def score(self, skills: frozenset[str]) -> float:
        """As `Sheet.score`, on the day [percent]."""
        return self.sheet.score(skills, self.on)
