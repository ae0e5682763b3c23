"""What a trainer does with a paper: comment, change a grade with a reason, mark it reviewed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, checked_text, need_other, need_reviewer, need_self_or_reviewer
from trainer.records.models import Comment, GradeChange, Paper, PaperQuestion

REASON = Text(en="The reason", es="el motivo")
COMMENT = Text(en="The comment", es="el comentario")
OWN_PAPER = Text(en="Nobody reviews their own paper.", es="Nadie revisa su propio examen.")


def comment(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    position: int | None,
    text: str,
    token: str,
) -> None:
    """Remark on a paper or one of its questions: a trainer, an owner, or the person whose paper it is."""
    paper = _paper(session, paper_id)
    need_self_or_reviewer(actor, paper.person_id)
    if position is not None:
        _question(session, paper, position)
    written = checked_text(text, COMMENT)
    if session.scalar(select(Comment.id).where(Comment.form_token == token)) is not None:
        return
    session.add(
        Comment(paper_id=paper.id, position=position, text=written, by_id=actor.id, at=now, form_token=token)
    )
    history.append(
        session,
        now,
        kind="comment made",
        actor_id=actor.id,
        person_id=paper.person_id,
        paper=paper.id,
        position=position,
        text=written,
    )


def change_grade(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    position: int,
    credit: float,
    reason: str,
    token: str | None = None,
) -> None:
    """Change the grade of one answer, or of a question left unanswered. credit: 0 to 1.

    The first grade stays on record. Refusal: the paper is still out, no reason, nothing would change.
    """
    need_reviewer(actor)
    paper = _paper(session, paper_id)
    need_other(actor, paper.person_id, OWN_PAPER)
    _need_closed(paper)
    if (
        token is not None
        and session.scalar(select(GradeChange.id).where(GradeChange.form_token == token)) is not None
    ):
        return
    if not 0.0 <= credit <= 1.0:
        raise Refusal(
            Text(
                en="The grade %(given)s cannot be; it goes from 0 to 1.",
                es="La calificación %(given)s no puede ser; va de 0 a 1.",
            ),
            given=credit,
        )
    why = checked_text(reason, REASON)
    question = _question(session, paper, position)
    before = question.credit
    if before == credit and question.right == (credit >= 1.0):
        raise Refusal(Text(en="The grade is that already.", es="La calificación ya es esa."))
    session.add(
        GradeChange(
            paper_question_id=question.id,
            before=before,
            after=credit,
            reason=why,
            by_id=actor.id,
            at=now,
            form_token=token,
        )
    )
    history.append(
        session,
        now,
        kind="grade changed",
        actor_id=actor.id,
        person_id=paper.person_id,
        paper=paper.id,
        position=position,
        before=before,
        after=credit,
        reason=why,
    )


def finish(session: Session, actor: Actor, now: datetime, paper_id: int) -> None:
    """Mark a paper reviewed; it leaves the queue. Doing it again changes nothing."""
    need_reviewer(actor)
    paper = _paper(session, paper_id)
    need_other(actor, paper.person_id, OWN_PAPER)
    _need_closed(paper)
    if paper.reviewed_at is None:
        paper.reviewed_at, paper.reviewed_by_id = now, actor.id
        history.append(
            session, now, kind="paper reviewed", actor_id=actor.id, person_id=paper.person_id, paper=paper.id
        )


def _paper(session: Session, paper_id: int) -> Paper:
    paper = session.scalars(select(Paper).where(Paper.id == paper_id).with_for_update()).one_or_none()
    if paper is None:
        raise UnknownName(Text(en="There is no such paper.", es="No existe ese examen."))
    return paper


def _need_closed(paper: Paper) -> None:
    if paper.closed_at is None:
        raise Refusal(
            Text(en="This paper is not handed in yet.", es="Este examen todavía no se ha entregado.")
        )


def _question(session: Session, paper: Paper, position: int) -> PaperQuestion:
    question = session.scalars(
        select(PaperQuestion)
        .where(PaperQuestion.paper_id == paper.id, PaperQuestion.position == position)
        .options(selectinload(PaperQuestion.answer), selectinload(PaperQuestion.changes))
    ).one_or_none()
    if question is None:
        raise UnknownName(
            Text(
                en="This paper has no question %(given)s.", es="Este examen no tiene la pregunta %(given)s."
            ),
            given=position,
        )
    return question
