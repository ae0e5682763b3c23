"""Hints on a paper: opened one after another, each for what the quiz asks, and never shut again.

A question that must be right has no hints on a paper: what it shows is that the person knows without help.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.questions.hints import opened as frozen_hint
from trainer.records import history
from trainer.records.actors import Actor
from trainer.records.models import HintOpening, PaperQuestion, Quiz
from trainer.records.papers import note_opening, own_paper

MUST_PASS = Text(
    en="A question that must be right has no hints on a paper.",
    es="Una pregunta obligatoria no lleva pistas en el examen.",
)
NO_HINTS = Text(en="This quiz gives no hints.", es="Este examen no da pistas.")
CLOSED = Text(
    en="This paper is closed; no hint can be opened any more.",
    es="Este examen está cerrado; ya no se puede abrir ninguna pista.",
)
ANSWERED = Text(
    en="This question is answered; a hint would change nothing.",
    es="Esta pregunta ya está contestada; una pista no cambiaría nada.",
)


def open_hint(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    position: int,
    number: int,
    language: str = "en",
    hint: Callable[[Any, int], Text | None] = frozen_hint,
) -> None:
    """Open hint `number` of a question of one's own paper. Opening it again changes nothing and costs nothing.

    hint: from the frozen draw and the number to the hint; None when there is no such hint
    Raises NotAllowed on another's paper, UnknownName; Refusal when the quiz gives no hints or the question none,
    it is answered, the paper is closed, or the hint before is still shut.
    """
    paper = own_paper(session, actor, paper_id)
    question = session.scalars(
        select(PaperQuestion)
        .where(PaperQuestion.paper_id == paper.id, PaperQuestion.position == position)
        .options(selectinload(PaperQuestion.answer), selectinload(PaperQuestion.hints))
    ).one_or_none()
    text = hint(question.draw, number) if question is not None else None
    if question is None or text is None:
        raise UnknownName(Text(en="There is no such hint.", es="No existe esa pista."))
    if any(one.number == number for one in question.hints):
        return
    cost = session.scalars(select(Quiz.hint_cost).where(Quiz.id == paper.quiz_id)).one()
    if cost is None:
        raise Refusal(NO_HINTS)
    if question.must_pass:
        raise Refusal(MUST_PASS)
    if paper.closed_at is not None:
        raise Refusal(CLOSED)
    if question.answer is not None:
        raise Refusal(ANSWERED)
    if number != len(question.hints) + 1:
        raise Refusal(
            Text(en="Open hint %(next)s first.", es="Abra primero la pista %(next)s."),
            next=len(question.hints) + 1,
        )
    note_opening(session, actor, now, paper)
    said = text.in_language(language)
    session.add(HintOpening(paper_question_id=question.id, number=number, text=said, at=now))
    history.append(
        session,
        now,
        kind="hint opened",
        actor_id=actor.id,
        person_id=actor.id,
        paper=paper.id,
        position=position,
        hint=number,
        text=said,
        hint_cost=cost,
    )
