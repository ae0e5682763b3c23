"""Questions graded anew, papers sent back, and answers typed in from paper."""

from __future__ import annotations

from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import aliased

from trainer.languages import Text
from trainer.records.exports.export import Export
from trainer.records.models import (
    Answer,
    AnswerEntry,
    Grant,
    GrantDoubt,
    Paper,
    PaperQuestion,
    Person,
    Regrade,
    RegradedPaper,
    SentBack,
)

_who, _by = aliased(Person), aliased(Person)

REGRADES: Final = Export(
    "questions-graded-anew", "regrade",
    Text(en="Questions graded anew", es="Preguntas calificadas de nuevo"),
    Text(en="Each question that was wrong, and how it was mended.", es="Cada pregunta que estaba mal y cómo se corrigió."),
    select(
        Regrade.id, Regrade.question, Regrade.version, Regrade.how, Regrade.by_version, Regrade.by_hash, Regrade.reason,
        Regrade.by_id, _by.name.label("by"), Regrade.at.label("done_at"),
    ).join(_by, _by.id == Regrade.by_id).order_by(Regrade.id),
)  # fmt: skip

REGRADED: Final = Export(
    "papers-graded-anew", "regraded_paper",
    Text(en="Papers graded anew", es="Exámenes calificados de nuevo"),
    Text(
        en="The score of each such paper before and after, and whether it was passed.",
        es="El resultado de cada uno de esos exámenes antes y después, y si estaba aprobado.",
    ),
    select(
        RegradedPaper.id, RegradedPaper.regrade_id, RegradedPaper.paper_id, Paper.person_id, _who.name.label("person"),
        RegradedPaper.change_id, RegradedPaper.before, RegradedPaper.after, RegradedPaper.passed_before,
        RegradedPaper.passed_after,
    )
    .join(Paper, Paper.id == RegradedPaper.paper_id).join(_who, _who.id == Paper.person_id).order_by(RegradedPaper.id),
    quiz=Paper.quiz_id,
)  # fmt: skip

DOUBTS: Final = Export(
    "grants-in-doubt", "grant_doubt",
    Text(en="Clearances looked at again", es="Autorizaciones revisadas de nuevo"),
    Text(
        en="Grants that rested on a paper graded anew, and what an owner decided.",
        es="Autorizaciones otorgadas con un examen calificado de nuevo, y lo que decidió un dueño.",
    ),
    select(
        GrantDoubt.id, GrantDoubt.grant_id, Grant.person_id, _who.name.label("person"), Grant.clearance,
        GrantDoubt.regrade_id, GrantDoubt.at.label("raised_at"), GrantDoubt.settled_at, GrantDoubt.settled_by_id,
        GrantDoubt.settled_note,
    )
    .join(Grant, Grant.id == GrantDoubt.grant_id).join(_who, _who.id == Grant.person_id).order_by(GrantDoubt.id),
)  # fmt: skip

SENT_BACK: Final = Export(
    "papers-sent-back", "sent_back",
    Text(en="Papers sent back", es="Exámenes devueltos"),
    Text(
        en="Each paper that is to be done again, the person's new paper, and why.",
        es="Cada examen que se debe hacer de nuevo, el examen nuevo de la persona, y por qué.",
    ),
    select(
        SentBack.id, SentBack.paper_id, Paper.person_id, _who.name.label("person"), SentBack.again_id, SentBack.reason,
        SentBack.by_id, _by.name.label("by"), SentBack.at.label("sent_back_at"),
    )
    .join(Paper, Paper.id == SentBack.paper_id).join(_who, _who.id == Paper.person_id)
    .join(_by, _by.id == SentBack.by_id).order_by(SentBack.id),
)  # fmt: skip

ENTRIES: Final = Export(
    "answers-typed-in", "answer_entry",
    Text(en="Answers typed in from paper", es="Respuestas pasadas desde el papel"),
    Text(
        en="Which answers were given on a printed sheet, and who typed them in.",
        es="Qué respuestas se dieron en una hoja impresa y quién las pasó.",
    ),
    select(
        AnswerEntry.id, AnswerEntry.answer_id, PaperQuestion.paper_id, PaperQuestion.position, AnswerEntry.by_id,
        _by.name.label("by"),
    )
    .join(Answer, Answer.id == AnswerEntry.answer_id)
    .join(PaperQuestion, PaperQuestion.id == Answer.paper_question_id)
    .join(_by, _by.id == AnswerEntry.by_id).order_by(AnswerEntry.id),
)  # fmt: skip
