"""Quizzes against the papers a person handed in: only the newest on all of the skills is judged."""

from __future__ import annotations

from datetime import date
from typing import Final

from trainer.clearance.asked import Asked, Met, Stands, last_day
from trainer.clearance.evidence import EXACT, Grades, PaperEvidence
from trainer.clearance.known import Known, SatPaper
from trainer.clearance.memo import Memo
from trainer.clearance.requirements import QuizRequirement, Rules
from trainer.clearance.words import Saying, joined, saying

NO_PAPER: Final = saying(
    "No paper on all of these handed in yet.",
    "Aún no entrega un examen sobre todo esto.",
)


class QuizAsked(Asked):
    def __init__(self, need: QuizRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.skills, self.score = frozenset(need.skills), need.score
        self.named = need.skills
        self.must_pass = self.skills & rules.must_pass
        self.scores: Memo[Grades, int | None] = Memo(self._score)

    def meets(self, known: Known, stands: Stands) -> Met | None:
        papers = self._newest(known)
        if not papers:
            return None
        for paper, sheet in papers:
            grades = sheet.grades(self.on)
            if not self._counts(paper, grades, known.person_id):
                return None
        paper, sheet = papers[0]
        assert paper.handed_in is not None
        score = self.scores[sheet.grades(self.on)]
        return last_day(paper.handed_in, self.span), (paper.title, score, paper.handed_in)

    def said(self, title: str, score: int, day: date) -> Saying:
        return saying(
            "{title}: {score} % on {day}", "{title}: {score} % el {day}", title=title, score=score, day=day
        )

    def fault(self, known: Known, stands: Stands) -> Saying:
        for paper, sheet in self._newest(known):
            grades = sheet.grades(self.on)
            if not self._counts(paper, grades, known.person_id):
                return self._fault(paper, grades, known.person_id)
        return NO_PAPER

    def _newest(self, known: Known) -> list[SatPaper]:
        """The papers that are judged."""
        return known.newest_papers(self.skills) if self.skills else []

    def _counts(self, paper: PaperEvidence, grades: Grades, person_id: int) -> bool:
        """Whether the newest paper on the right skills meets it; `_fault` says why not."""
        return (
            paper.handed_in is not None
            and paper.handed_in >= self.oldest
            and paper.assigned_by is not None
            and paper.assigned_by != person_id
            and person_id not in grades.changed_by
            and (
                paper.least_right is None
                or (grades.right >= paper.least_right and paper.mark is not None and paper.mark >= self.score)
            )
            and self.scores[grades] is not None
        )

    def _score(self, grades: Grades) -> int | None:
        """The whole percent that is said of grades with which a paper is passed; None when it is not passed."""
        if not grades.readable or not grades.must_pass_right or not self.must_pass <= grades.must_pass:
            return None
        score = grades.score(self.skills)
        return None if score < self.score - EXACT else int(score + EXACT)

    def _fault(self, paper: PaperEvidence, grades: Grades, person_id: int) -> Saying:
        """Why the newest paper on the right skills does not count."""
        if paper.handed_in is None:
            return saying(
                "It cannot be read when a paper was handed in.",
                "No se puede leer cuándo se entregó un examen.",
            )
        if paper.handed_in < self.oldest:
            last = last_day(paper.handed_in, self.span)
            return saying(
                "The last paper ran out on {last}.", "El último examen venció el {last}.", last=last
            )
        if not grades.readable:
            return saying(
                "The paper's grades cannot be read.", "No se pueden leer las calificaciones del examen."
            )
        if paper.assigned_by is None or paper.assigned_by == person_id:
            return saying(
                "A paper assigned by oneself does not count.", "No cuenta un examen asignado por uno mismo."
            )
        if person_id in grades.changed_by:
            return saying(
                "A paper graded by oneself does not count.", "No cuenta un examen calificado por uno mismo."
            )
        if paper.least_right is not None and grades.right < paper.least_right:
            return saying(
                "The paper of {day} did not show that its mark is reached.",
                "El examen del {day} no mostró que se alcanza la calificación.",
                day=paper.handed_in,
            )
        if paper.least_right is not None and (paper.mark is None or paper.mark < self.score):
            return saying(
                "The paper of {day} was to decide for {mark} %; {score} % is needed.",
                "El examen del {day} decidía sobre {mark} %; se necesita {score} %.",
                day=paper.handed_in,
                mark=paper.mark or 0,
                score=self.score,
            )
        if not self.must_pass <= grades.must_pass:
            unasked = [skill for skill in self.named if skill in self.must_pass - grades.must_pass]
            return saying(
                "The paper of {day} asked no must-pass question on {skills}.",
                "El examen del {day} no traía preguntas obligatorias sobre {skills}.",
                day=paper.handed_in,
                skills=joined(self.rules.skill_name(skill) for skill in unasked),
            )
        score = grades.score(self.skills)
        if score < self.score - EXACT:
            return saying(
                "{score} % on {day}; {mark} % is needed.",
                "{score} % el {day}; se necesita {mark} %.",
                score=int(score + EXACT),
                day=paper.handed_in,
                mark=self.score,
            )
        return saying(
            "A must-pass question was wrong on {day}.",
            "El {day} contestó mal una pregunta obligatoria.",
            day=paper.handed_in,
        )
