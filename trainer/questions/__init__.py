"""The question engine: bank → draw → grade. Pure but for reading the bank's files.

load_bank        read question_bank/, each file checked; what is wrong is listed and left out
draw             one question with its numbers fixed by a seed
grade            an answer compared with a draw, and only with the draw
corrected        a frozen draw as the mended question would have it
worked, figure   the worked solution and the drawing with the draw's numbers
check_bank       every question drawn hundreds of times, every broken rule reported
"""

from __future__ import annotations

from trainer.questions.bank import Bank, load_bank
from trainer.questions.corrected import corrected
from trainer.questions.draw import NoDraw, draw
from trainer.questions.drawn import Draw, Grade, GradedPart
from trainer.questions.grading import grade
from trainer.questions.model import Question, Skill
from trainer.questions.worked import figure, worked

__all__ = [
    "Bank",
    "Draw",
    "Grade",
    "GradedPart",
    "NoDraw",
    "Question",
    "Skill",
    "corrected",
    "draw",
    "figure",
    "grade",
    "load_bank",
    "worked",
]
