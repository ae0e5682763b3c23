"""A person's own paper: open it, answer it, hand it in.

An answer is final once it is confirmed as read. It is committed before `answer` returns; the same form
sent again stores nothing twice, and a closed paper takes no answers. A hint that was opened takes its price off the
credit of the answer, never off whether it is right.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import case, func, select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import NotAllowed, Refusal, UnknownName, Unreadable
from trainer.languages import Text
from trainer.questions import Draw, Grade
from trainer.questions import grade as grade_answer
from trainer.records import history, paper_sheets
from trainer.records.actors import Actor
from trainer.records.deciding import DECIDED, is_clear
from trainer.records.fingerprints import first_score
from trainer.records.models import Answer, HintOpening, Paper, PaperQuestion, Quiz

MOST_TYPED = 500  # characters


@dataclass(frozen=True, slots=True)
class Given:
    """An answer as it stands in the store.

    repeated: this form was stored before; closed: the paper is closed now; left: questions not answered yet
    """

    position: int
    typed: str
    shown: str
    right: bool
    credit: float
    slip: str | None
    at: datetime
    repeated: bool
    closed: bool
    left: int


def grade_frozen(draw: Any, typed: str, language: str = "en") -> Grade:
    """Grade `typed` against a frozen draw with the question engine. Raises Unreadable."""
    graded = grade_answer(Draw.from_json(draw), typed, language)
    if graded.status == "unreadable":
        raise Unreadable(Text(en="%(said)s", es="%(said)s"), said=graded.refusal)
    return graded


def open_paper(session: Session, actor: Actor, now: datetime, paper_id: int) -> None:
    """Note the first opening of one's own paper. Opening it again changes nothing."""
    paper = own_paper(session, actor, paper_id)
    if paper.closed_at is None:
        note_opening(session, actor, now, paper)


def answer(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    position: int,
    typed: str,
    token: str,
    grade: Callable[[Any, str], Grade] = grade_frozen,
) -> Given:
    """Store one answer durably and return it as stored; the last answer closes the paper.

    The same form with the same answer is confirmed as stored; any other answer to a question that has one is refused.

    grade: from the frozen draw and the typed text to a grade; when it refuses, nothing is stored
    Raises NotAllowed on another's paper, UnknownName, Refusal when the paper is closed or the question answered.
    """
    paper = own_paper(session, actor, paper_id)
    repeat = session.scalars(
        select(Answer).where(Answer.form_token == token).options(selectinload(Answer.question))
    ).one_or_none()
    if repeat is not None:
        if (repeat.question.paper_id, repeat.question.position) != (paper_id, position):
            raise Refusal(
                Text(
                    en="This form was used for another question; open the question again.",
                    es="Este formulario se usó en otra pregunta; abra la pregunta de nuevo.",
                )
            )
        if repeat.typed == typed:
            return _given(session, paper, position, repeat, repeated=True)
    question = _question(session, paper, position)
    if paper.closed_at is not None:
        raise Refusal(
            Text(
                en="This paper is closed; it takes no more answers.",
                es="Este examen está cerrado; ya no acepta respuestas.",
            )
        )
    if len(typed) > MOST_TYPED:
        raise Refusal(
            Text(
                en="The answer has %(given)s characters; at most %(most)s are taken.",
                es="La respuesta tiene %(given)s caracteres; se aceptan como máximo %(most)s.",
            ),
            given=len(typed),
            most=MOST_TYPED,
        )
    quiz = session.get_one(Quiz, paper.quiz_id)
    decides = quiz.deciding
    if decides is not None:
        _need_next(session, paper, position)
    graded = grade(question.draw, typed)
    has_hints = quiz.hint_cost is not None
    credit = graded.credit * (share_left(session, question, paper.quiz_id) if has_hints else 1.0)
    note_opening(session, actor, now, paper)
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
    history.append(
        session,
        now,
        kind="answer given",
        actor_id=actor.id,
        person_id=actor.id,
        paper=paper.id,
        position=position,
        typed=typed,
        shown=graded.shown,
        credit=credit,
        right=stored.right,
        slip=stored.slip,
    )
    if _left(session, paper) == 0:
        _close(session, actor, now, paper, "all answered")
    elif decides is not None and is_clear(decides, *_right_and_answered(session, paper)):
        _close(session, actor, now, paper, DECIDED)
    given = _given(session, paper, position, stored, repeated=False)
    session.commit()
    return given


def hand_in(session: Session, actor: Actor, now: datetime, paper_id: int) -> None:
    """Close one's own paper; what is not answered is not right. Handing it in again changes nothing."""
    paper = own_paper(session, actor, paper_id)
    if paper.closed_at is None:
        _close(session, actor, now, paper, "handed in")


def own_paper(session: Session, actor: Actor, paper_id: int) -> Paper:
    """One's own paper, held until the act is done. Raises UnknownName, NotAllowed."""
    paper = session.scalars(select(Paper).where(Paper.id == paper_id).with_for_update()).one_or_none()
    if paper is None:
        raise UnknownName(Text(en="There is no such paper.", es="No existe ese examen."))
    if paper.person_id != actor.id:
        raise NotAllowed(Text(en="This paper is someone else's.", es="Este examen es de otra persona."))
    return paper


def _question(session: Session, paper: Paper, position: int) -> PaperQuestion:
    """The question to answer. Refusal, saying what stands, when it was answered by another form."""
    question = session.scalars(
        select(PaperQuestion)
        .where(PaperQuestion.paper_id == paper.id, PaperQuestion.position == position)
        .options(selectinload(PaperQuestion.answer))
    ).one_or_none()
    if question is None:
        raise UnknownName(
            Text(
                en="This paper has no question %(given)s.", es="Este examen no tiene la pregunta %(given)s."
            ),
            given=position,
        )
    if question.answer is not None:
        raise Refusal(
            Text(
                en="Question %(position)s was answered already: %(stands)s stands.",
                es="La pregunta %(position)s ya fue contestada: queda %(stands)s.",
            ),
            position=position,
            stands=question.answer.shown or question.answer.typed,
        )
    return question


def note_opening(session: Session, actor: Actor, now: datetime, paper: Paper) -> None:
    """Note the first opening; a later one changes nothing."""
    if paper.opened_at is None:
        paper.opened_at = now
        history.append(
            session, now, kind="paper opened", actor_id=actor.id, person_id=actor.id, paper=paper.id
        )


def left_after(cost: int | None, opened: int) -> float:
    """The share of a question's credit that is left after so many hints. cost: of each [percent]."""
    return max(0.0, 1.0 - (cost or 0) * opened / 100)


def share_left(session: Session, question: PaperQuestion, quiz_id: int) -> float:
    """The share of its credit that a question can still earn after the hints that were opened."""
    opened, cost = session.execute(
        select(
            select(func.count())
            .select_from(HintOpening)
            .where(HintOpening.paper_question_id == question.id)
            .scalar_subquery(),
            Quiz.hint_cost,
        ).where(Quiz.id == quiz_id)
    ).one()
    return left_after(cost, opened)


def _close(session: Session, actor: Actor, now: datetime, paper: Paper, how: str) -> None:
    paper_sheets.close(session, paper, now, how)
    history.append(
        session,
        now,
        kind="paper handed in",
        actor_id=actor.id,
        person_id=actor.id,
        paper=paper.id,
        how=how,
        score=score_at_hand_in(session, paper.id, how == DECIDED),
    )


def score_at_hand_in(session: Session, paper_id: int, decided: bool = False) -> float:
    """The score [percent] before any grade was changed. decided: what was not asked is left out."""
    credit, questions, answered = session.execute(
        select(func.sum(Answer.credit), func.count(PaperQuestion.id), func.count(Answer.id))
        .outerjoin_from(PaperQuestion, Answer)
        .where(PaperQuestion.paper_id == paper_id)
    ).one()
    return first_score(credit or 0.0, answered if decided else questions)


def _right_and_answered(session: Session, paper: Paper) -> tuple[int, int]:
    right, answered = session.execute(
        select(func.sum(case((Answer.right, 1), else_=0)), func.count(Answer.id))
        .join(PaperQuestion, PaperQuestion.id == Answer.paper_question_id)
        .where(PaperQuestion.paper_id == paper.id)
    ).one()
    return right or 0, answered


def _need_next(session: Session, paper: Paper, position: int) -> None:
    """A paper that decides early is answered in order: nobody picks the questions it rests on."""
    following = session.scalar(
        select(func.min(PaperQuestion.position))
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
        .where(PaperQuestion.paper_id == paper.id, Answer.id.is_(None))
    )
    if position != following:
        raise Refusal(
            Text(
                en="This paper is answered in order; question %(following)s comes next.",
                es="Este examen se contesta en orden; sigue la pregunta %(following)s.",
            ),
            following=following,
        )


def _left(session: Session, paper: Paper) -> int:
    return (
        session.scalar(
            select(func.count())
            .select_from(PaperQuestion)
            .outerjoin(Answer)
            .where(PaperQuestion.paper_id == paper.id, Answer.id.is_(None))
        )
        or 0
    )


def _given(session: Session, paper: Paper, position: int, stored: Answer, *, repeated: bool) -> Given:
    return Given(
        position,
        stored.typed,
        stored.shown,
        stored.right,
        stored.credit,
        stored.slip,
        stored.at,
        repeated,
        paper.closed_at is not None,
        _left(session, paper),
    )
