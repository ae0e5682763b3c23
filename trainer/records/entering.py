"""Answers given on a printed sheet, typed in by a trainer or owner for the person; recorded as typed in by them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.questions import Grade
from trainer.records import history
from trainer.records.actors import Actor, need_other, need_reviewer
from trainer.records.models import Answer, AnswerEntry, Paper, PaperQuestion, Quiz
from trainer.records.papers import close_paper, grade_frozen, left_after, note_opening
from trainer.records.review import need_not_sitting

OWN = Text(en="Nobody types in their own paper.", es="Nadie pasa su propio examen.")
NO_PAPER = Text(en="There is no such paper.", es="No existe ese examen.")
CLOSED = Text(
    en="This paper is closed; it takes no more answers.",
    es="Este examen está cerrado; ya no acepta respuestas.",
)
EARLY = Text(
    en="A quiz that decides early cannot be done on paper: which question comes next depends on the answers.",
    es="Un examen que decide pronto no se puede hacer en papel: la pregunta que sigue depende de las respuestas.",
)
ANSWERED = Text(
    en="Question %(position)s was answered already: %(stands)s stands.",
    es="La pregunta %(position)s ya fue contestada: queda %(stands)s.",
)


def enter(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    answers: Mapping[int, str],
    hand_in: bool,
    token: str,
    language: str = "en",
    grade: Callable[[Any, str, str], Grade] = grade_frozen,
) -> int:
    """Store answers by position, all or none; with hand_in the paper closes, as it does with the last answer.

    Returns how many were stored; the same form again stores nothing twice. Never one's own paper, nor one of a quiz that
    one has still to sit. Refusal: closed, answered already with something else, a quiz that decides early; Unreadable.
    """
    need_reviewer(actor)
    paper = session.scalars(select(Paper).where(Paper.id == paper_id).with_for_update()).one_or_none()
    if paper is None:
        raise UnknownName(NO_PAPER)
    need_other(actor, paper.person_id, OWN)
    need_not_sitting(session, actor, paper)
    quiz = session.get_one(Quiz, paper.quiz_id)
    if quiz.deciding is not None:
        raise Refusal(EARLY)
    questions = {
        one.position: one
        for one in session.scalars(
            select(PaperQuestion)
            .where(PaperQuestion.paper_id == paper.id)
            .options(selectinload(PaperQuestion.answer), selectinload(PaperQuestion.hints))
        )
    }
    if answers.keys() - questions.keys():
        raise UnknownName(NO_PAPER)
    new = {}
    for position, typed in sorted(answers.items()):
        stands = questions[position].answer
        if stands is not None and stands.typed != typed:
            raise Refusal(ANSWERED, position=position, stands=stands.shown or stands.typed)
        if stands is None:
            new[position] = typed
    if paper.closed_at is not None:
        if new:
            raise Refusal(CLOSED)
        return 0
    note_opening(session, actor, now, paper)
    for position, typed in new.items():
        graded = grade(questions[position].draw, typed, language)
        credit = graded.credit * left_after(quiz.hint_cost, len(questions[position].hints))
        _store(session, actor, now, paper, questions[position], typed, f"{token}-{position}", graded, credit)
    session.flush()
    if all(one.answer is not None or position in new for position, one in questions.items()):
        close_paper(session, actor, now, paper, "all answered")
    elif hand_in:
        close_paper(session, actor, now, paper, "handed in")
    return len(new)


def _store(
    session: Session,
    actor: Actor,
    now: datetime,
    paper: Paper,
    question: PaperQuestion,
    typed: str,
    token: str,
    graded: Grade,
    credit: float,
) -> None:
    stored = Answer(
        paper_question_id=question.id,
        typed=typed,
        shown=graded.shown,
        right=graded.right,
        credit=credit,
        slip=graded.slip or None,
        at=now,
        form_token=token,
    )
    session.add(stored)
    session.flush()
    session.add(AnswerEntry(answer_id=stored.id, by_id=actor.id))
    history.append(
        session,
        now,
        kind="answer typed in",
        actor_id=actor.id,
        person_id=paper.person_id,
        paper=paper.id,
        position=question.position,
        typed=typed,
        shown=graded.shown,
        credit=credit,
        right=stored.right,
        slip=stored.slip,
    )
