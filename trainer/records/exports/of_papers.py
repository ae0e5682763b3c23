"""Quizzes, papers and what was answered."""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import case, select
from sqlalchemy.orm import aliased

from trainer.languages import Text
from trainer.records.exports.export import Export
from trainer.records.held_rows import text_of
from trainer.records.models import (
    Answer,
    Comment,
    GradeChange,
    HintOpening,
    Paper,
    PaperQuestion,
    Person,
    Quiz,
    QuizRepeat,
)

_who, _by = aliased(Person), aliased(Person)


def _shown(column: Any) -> Any:
    """A grade: nothing of a paper that is still out."""
    return case((Paper.closed_at.is_not(None), column), else_=None)


QUIZZES: Final = Export(
    "quizzes", "quiz",
    Text(en="Quizzes", es="Exámenes asignados"),
    Text(en="What was assigned, by whom and on which terms.", es="Lo que se asignó, quién lo asignó y en qué condiciones."),
    select(
        Quiz.id, Quiz.title, Quiz.pass_mark, Quiz.opens, Quiz.due, Quiz.goes, Quiz.wait_hours, Quiz.hint_cost, text_of(Quiz.deciding).label("decides_early"),
        text_of(Quiz.spec).label("asked_for"), Quiz.by_id, _by.name.label("by"), Quiz.at.label("assigned_at"),
        Quiz.ended_at.label("taken_back_at"), Quiz.ended_by_id.label("taken_back_by_id"), Quiz.repeat_id, Quiz.week,
    ).join(_by, _by.id == Quiz.by_id).order_by(Quiz.id),
)  # fmt: skip

REPEATS: Final = Export(
    "weekly-quizzes", "quiz_repeat",
    Text(en="Weekly quizzes", es="Exámenes semanales"),
    Text(en="Quizzes that come again each week: for whom, until when.", es="Exámenes que se repiten cada semana: para quién y hasta cuándo."),
    select(
        QuizRepeat.id, text_of(QuizRepeat.crews).label("crews"), text_of(QuizRepeat.people).label("people"), QuizRepeat.until,
        QuizRepeat.by_id, _by.name.label("by"), QuizRepeat.at.label("set_up_at"), QuizRepeat.next_at,
        text_of(QuizRepeat.trouble).label("not_made_because"), QuizRepeat.stopped_at, QuizRepeat.stopped_by_id,
    ).join(_by, _by.id == QuizRepeat.by_id).order_by(QuizRepeat.id),
)  # fmt: skip

PAPERS: Final = Export(
    "papers", "paper",
    Text(en="Papers", es="Exámenes"),
    Text(
        en="Each person's copy of each quiz: opened, handed in, reviewed, the score and whether it was passed.",
        es="La copia de cada persona de cada examen: cuándo se abrió, se entregó y se revisó, el resultado y si se aprobó.",
    ),
    select(
        Paper.id, Paper.quiz_id, Quiz.title.label("quiz"), Paper.person_id, _who.name.label("person"), Paper.go,
        Paper.opened_at, Paper.closed_at, Paper.closed_how, Paper.reviewed_at, Paper.reviewed_by_id,
    ).join(Quiz, Quiz.id == Paper.quiz_id).join(_who, _who.id == Paper.person_id).order_by(Paper.id),
    scored=True, quiz=Paper.quiz_id,
)  # fmt: skip

DRAWN: Final = Export(
    "drawn-questions", "paper_question",
    Text(en="Questions as drawn", es="Preguntas como se sortearon"),
    Text(
        en="Each question of each paper with its text, numbers and right answer.",
        es="Cada pregunta de cada examen con su texto, sus números y la respuesta correcta.",
    ),
    select(
        PaperQuestion.id, PaperQuestion.paper_id, PaperQuestion.position, PaperQuestion.question,
        PaperQuestion.version, PaperQuestion.hash, PaperQuestion.seed, text_of(PaperQuestion.skills).label("skills"),
        PaperQuestion.must_pass, text_of(PaperQuestion.draw).label("drawn"),
    ).order_by(PaperQuestion.id),
    alone=True,
)  # fmt: skip

ANSWERS: Final = Export(
    "answers", "answer",
    Text(en="Answers", es="Respuestas"),
    Text(
        en="Every answer on a paper with its first grade; grades of papers still out are left empty.",
        es="Cada respuesta de un examen con su primera calificación; si el examen sigue abierto, queda vacía.",
    ),
    select(
        Answer.id, PaperQuestion.paper_id, Quiz.title.label("quiz"), Paper.person_id, _who.name.label("person"),
        PaperQuestion.position, PaperQuestion.question, PaperQuestion.version,
        text_of(PaperQuestion.skills).label("skills"), PaperQuestion.must_pass, Answer.typed,
        Answer.shown.label("read_as"), _shown(Answer.right).label("right"), _shown(Answer.credit).label("credit"),
        _shown(Answer.slip).label("slip"), Answer.at.label("answered_at"),
    )
    .join(PaperQuestion, PaperQuestion.id == Answer.paper_question_id).join(Paper, Paper.id == PaperQuestion.paper_id)
    .join(Quiz, Quiz.id == Paper.quiz_id).join(_who, _who.id == Paper.person_id).order_by(Answer.id),
    quiz=Paper.quiz_id,
)  # fmt: skip

HINTS: Final = Export(
    "hints", "hint_opening",
    Text(en="Hints opened", es="Pistas abiertas"),
    Text(en="Which hints were opened on papers.", es="Qué pistas se abrieron en los exámenes."),
    select(
        HintOpening.id, PaperQuestion.paper_id, PaperQuestion.position, HintOpening.number, HintOpening.text,
        HintOpening.at.label("opened_at"),
    )
    .join(PaperQuestion, PaperQuestion.id == HintOpening.paper_question_id)
    .join(Paper, Paper.id == PaperQuestion.paper_id).order_by(HintOpening.id),
    quiz=Paper.quiz_id,
)  # fmt: skip

GRADE_CHANGES: Final = Export(
    "grade-changes", "grade_change",
    Text(en="Grade changes", es="Cambios de calificación"),
    Text(en="Every change of a grade, with its reason.", es="Cada cambio de una calificación, con su motivo."),
    select(
        GradeChange.id, PaperQuestion.paper_id, PaperQuestion.position, GradeChange.before, GradeChange.after,
        GradeChange.left_out, GradeChange.reason, GradeChange.by_id, _by.name.label("by"), GradeChange.at.label("changed_at"),
    )
    .join(PaperQuestion, PaperQuestion.id == GradeChange.paper_question_id)
    .join(Paper, Paper.id == PaperQuestion.paper_id)
    .join(_by, _by.id == GradeChange.by_id).order_by(GradeChange.id),
    quiz=Paper.quiz_id,
)  # fmt: skip

COMMENTS: Final = Export(
    "comments", "comment",
    Text(en="Comments", es="Comentarios"),
    Text(en="Remarks on papers and on single answers.", es="Comentarios sobre exámenes y sobre respuestas."),
    select(
        Comment.id, Comment.paper_id, Comment.position, Comment.text, Comment.by_id, _by.name.label("by"),
        Comment.at.label("made_at"),
    )
    .join(Paper, Paper.id == Comment.paper_id).join(_by, _by.id == Comment.by_id).order_by(Comment.id),
    quiz=Paper.quiz_id,
)  # fmt: skip
