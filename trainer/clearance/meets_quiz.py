"""Quizzes against the papers a person handed in: only the newest on all of the skills is judged."""

from __future__ import annotations

from datetime import date
from typing import Final

from trainer.clearance.asked import Asked, Line, Stands, first_day, last_day
from trainer.clearance.evidence import EXACT
from trainer.clearance.known import Known, SatPaper
from trainer.clearance.memo import Memo
from trainer.clearance.requirements import QuizRequirement, Rules
from trainer.clearance.words import joined, say
from trainer.languages import Text

NO_PAPER: Final = (
    "No paper on all of these handed in yet.",
    "Aún no entrega un examen sobre todo esto.",
)


class QuizAsked(Asked):
    def __init__(self, need: QuizRequirement, rules: Rules, on: date) -> None:
        super().__init__(need, rules, on)
        self.need, self.skills = need, frozenset(need.skills)
        self.must_pass = self.skills & rules.must_pass
        self.oldest = first_day(on, need.within_days)
        self.passed: Memo[tuple[str, int, date], Line] = Memo(self._passed)

    def line(self, known: Known, stands: Stands) -> Line:
        papers = known.newest_papers(self.skills) if self.skills else []
        if not papers:
            return self.not_met[NO_PAPER]
        for sat in papers:
            fault = self._fault(sat, known.person_id)
            if fault is not None:
                return self.unmet(fault)
        paper, sheet = papers[0]
        assert paper.handed_in is not None
        score = sheet.grades(self.on).score(self.skills)
        return self.passed[paper.title, int(score + EXACT), paper.handed_in]

    def _passed(self, seen: tuple[str, int, date]) -> Line:
        title, score, handed_in = seen
        by_what = say(
            "{title}: {score} % on {day}",
            "{title}: {score} % el {day}",
            title=title,
            score=score,
            day=handed_in,
        )
        return self.met(by_what, last_day(handed_in, self.need.within_days))

    def _fault(self, sat: SatPaper, person_id: int) -> Text | None:
        """Why the newest paper on the right skills does not count, None when it does."""
        paper, need, grades = sat.paper, self.need, sat.sheet.grades(self.on)
        if paper.handed_in is None:
            return say(
                "It cannot be read when a paper was handed in.",
                "No se puede leer cuándo se entregó un examen.",
            )
        if paper.handed_in < self.oldest:
            last = last_day(paper.handed_in, need.within_days)
            return say("The last paper ran out on {last}.", "El último examen venció el {last}.", last=last)
        if not grades.readable:
            return say(
                "The paper's grades cannot be read.", "No se pueden leer las calificaciones del examen."
            )
        if paper.assigned_by is None or paper.assigned_by == person_id:
            return say(
                "A paper assigned by oneself does not count.", "No cuenta un examen asignado por uno mismo."
            )
        if person_id in grades.changed_by:
            return say(
                "A paper graded by oneself does not count.", "No cuenta un examen calificado por uno mismo."
            )
        if paper.least_right is not None and grades.right < paper.least_right:
            return say(
                "The paper of {day} did not show that its mark is reached.",
                "El examen del {day} no mostró que se alcanza la calificación.",
                day=paper.handed_in,
            )
        if paper.least_right is not None and (paper.mark is None or paper.mark < need.score):
            return say(
                "The paper of {day} was to decide for {mark} %; {score} % is needed.",
                "El examen del {day} decidía sobre {mark} %; se necesita {score} %.",
                day=paper.handed_in,
                mark=paper.mark or 0,
                score=need.score,
            )
        if not self.must_pass <= grades.must_pass:
            unasked = [skill for skill in need.skills if skill in self.must_pass - grades.must_pass]
            return say(
                "The paper of {day} asked no must-pass question on {skills}.",
                "El examen del {day} no traía preguntas obligatorias sobre {skills}.",
                day=paper.handed_in,
                skills=joined(self.rules.skill_name(skill) for skill in unasked),
            )
        score = grades.score(self.skills)
        if score < need.score - EXACT:
            return say(
                "{score} % on {day}; {mark} % is needed.",
                "{score} % el {day}; se necesita {mark} %.",
                score=int(score + EXACT),
                day=paper.handed_in,
                mark=need.score,
            )
        if not grades.must_pass_right:
            return say(
                "A must-pass question was wrong on {day}.",
                "El {day} contestó mal una pregunta obligatoria.",
                day=paper.handed_in,
            )
        return None
