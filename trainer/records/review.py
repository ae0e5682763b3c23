"""What a trainer does with a paper: comment, change a grade with a reason, mark it reviewed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Select, select
from sqlalchemy.orm import Session, aliased, selectinload

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, checked_text, need_other, need_reviewer, need_self_or_reviewer
from trainer.records.models import Comment, GradeChange, Paper, PaperQuestion
from trainer.records.submissions import ChangedMeanwhile, stored_before

REASON = Text(en="The reason", es="el motivo")
COMMENT = Text(en="The comment", es="el comentario")
STILL_TO_SIT = Text(
    en="You have a paper of this quiz yourself; hand it in before you look at another's.",
    es="Usted también tiene este examen; entréguelo antes de ver el de otra persona.",
)
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
    need_not_sitting(session, actor, paper)
    if position is not None:
        _question(session, paper, position)
    said = {
        "paper_id": paper.id,
        "position": position,
        "text": checked_text(text, COMMENT),
        "by_id": actor.id,
    }
    if stored_before(session, Comment, token, said) is not None:
        return
    session.add(Comment(**said, at=now, form_token=token))
    history.append(
        session,
        now,
        kind="comment made",
        actor_id=actor.id,
        person_id=paper.person_id,
        paper=paper.id,
        position=position,
        text=said["text"],
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
    made_from: str | None = None,
) -> None:
    """Change the grade of one answer, or of a question left unanswered. credit: 0 to 1.

    made_from: the `grade_mark` of what the form showed; None asks nothing
    The first grade stays on record. Refusal: the paper is still out, no reason, nothing would change.
    SentBefore; ChangedMeanwhile, saying what stands now.
    """
    need_reviewer(actor)
    paper = _paper(session, paper_id)
    need_other(actor, paper.person_id, OWN_PAPER)
    need_not_sitting(session, actor, paper)
    _need_closed(paper)
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
    change = {"paper_question_id": question.id, "after": credit, "reason": why, "by_id": actor.id}
    if token is not None and stored_before(session, GradeChange, token, change) is not None:
        return
    before = question.credit
    if made_from is not None and made_from != grade_mark(question.changes):
        raise _changed(question)
    if before == credit and question.right == (credit >= 1.0) and not question.left_out:
        raise Refusal(Text(en="The grade is that already.", es="La calificación ya es esa."))
    session.add(GradeChange(**change, before=before, at=now, form_token=token))
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
    need_not_sitting(session, actor, paper)
    _need_closed(paper)
    if paper.reviewed_at is None:
        paper.reviewed_at, paper.reviewed_by_id = now, actor.id
        history.append(
            session, now, kind="paper reviewed", actor_id=actor.id, person_id=paper.person_id, paper=paper.id
        )


def need_not_sitting(session: Session, actor: Actor, paper: Paper) -> None:
    """Refuse another's paper of a quiz that the actor has still to sit: it holds the answers."""
    if paper.person_id != actor.id and paper.quiz_id in session.scalars(sitting(actor)).all():
        raise NotAllowed(STILL_TO_SIT)


def sitting(actor: Actor) -> Select[int]:
    """The quizzes of which the actor has a paper that is still out."""
    own = aliased(Paper)
    return select(own.quiz_id).where(own.person_id == actor.id, own.closed_at.is_(None))


def grade_mark(changes: Sequence[object]) -> str:
    """A mark of the grade that a form was made from: grades are only ever added to, so their number says it."""
    return str(len(changes))


def _changed(question: PaperQuestion) -> ChangedMeanwhile:
    last = question.changes[-1] if question.changes else None
    return ChangedMeanwhile(
        Text(
            en="This grade was changed after you opened the page: %(by)s gave %(percent)s %%. That stands; yours was "
            "not stored. Look again, and send yours once more if it should count instead.",
            es="Esta calificación cambió después de que usted abrió la página: %(by)s puso %(percent)s %%. Esa queda; la suya "
            "no se guardó. Revise de nuevo y envíe la suya otra vez si debe contar en su lugar.",
        ),
        by=last.by.name if last else "–",
        percent=round(100 * question.credit),
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
        .options(
            selectinload(PaperQuestion.answer), selectinload(PaperQuestion.changes).joinedload(GradeChange.by)
        )
    ).one_or_none()
    if question is None:
        raise UnknownName(
            Text(
                en="This paper has no question %(given)s.", es="Este examen no tiene la pregunta %(given)s."
            ),
            given=position,
        )
    return question
