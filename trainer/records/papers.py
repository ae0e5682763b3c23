"""A person's own paper: open it, answer it, hand it in.

An answer is final once it is confirmed as read. It is committed before `answer` returns; the same form
sent again stores nothing twice, and a closed paper takes no answers. A hint that was opened takes its price off the
credit of the answer, never off whether it is right.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NoReturn, TypeVar, cast

from sqlalchemy import ColumnElement, Table, and_, bindparam, case, exists, func, insert, select
from sqlalchemy.orm import Session, aliased

from trainer.clearance.words import clock
from trainer.errors import NotAllowed, Refusal, UnknownName, Unreadable
from trainer.languages import Text
from trainer.questions import Draw, Grade
from trainer.questions import grade as grade_answer
from trainer.records import history, paper_sheets
from trainer.records.actors import Actor
from trainer.records.deciding import DECIDED, is_clear
from trainer.records.fingerprints import first_score
from trainer.records.models import Answer, HintOpening, Paper, PaperQuestion, Quiz
from trainer.records.shop import zone_in_shop

MOST_TYPED = 500  # characters
Owned = TypeVar("Owned", bound=Any)  # a paper, or a row that says whose it is


@dataclass(frozen=True, slots=True)
class Given:
    """An answer as it stands in the store.

    repeated: this form was stored before; closed: the paper is closed now; left: questions not answered yet, the first
    of them at `following`
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
    following: int | None


Sent, Other = aliased(Answer), aliased(PaperQuestion)


def _open(what: ColumnElement[Any]) -> ColumnElement[Any]:
    """Of the paper's other questions that have no answer."""
    answered = aliased(Answer)
    return (
        select(what)
        .select_from(Other)
        .outerjoin(answered, answered.paper_question_id == Other.id)
        .where(
            Other.paper_id == Paper.id,
            Other.position != bindparam("position"),
            answered.id.is_(None),
        )
        .scalar_subquery()
    )


# Made once, as every answer sends them: making a statement costs more than sending it. Columns, not objects, for the same
# reason.
_FOR_ANSWER = (
    select(
        Paper.person_id,
        Paper.opened_at,
        Paper.closed_at,
        PaperQuestion.id.label("question_id"),
        PaperQuestion.draw,
        Quiz.deciding,
        Quiz.hint_cost,
        select(func.count())
        .select_from(HintOpening)
        .where(HintOpening.paper_question_id == PaperQuestion.id)
        .scalar_subquery()
        .label("hints"),
        Answer.typed,
        Answer.shown,
        Answer.right,
        Answer.credit,
        Answer.slip,
        Answer.at,
        Answer.form_token,
        exists().where(Sent.form_token == bindparam("token")).label("was_sent"),
        _open(func.count()).label("left"),
        _open(func.min(Other.position)).label("following"),
    )
    .join(Quiz, Quiz.id == Paper.quiz_id)
    .outerjoin(
        PaperQuestion,
        and_(PaperQuestion.paper_id == Paper.id, PaperQuestion.position == bindparam("position")),
    )
    .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
    .where(Paper.id == bindparam("paper_id"))
    .with_for_update(of=Paper)
)
_KEEP = insert(cast(Table, Answer.__table__))


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
    wanted = {"paper_id": paper_id, "position": position, "token": token}
    found = _own(actor, session.connection().execute(_FOR_ANSWER, wanted).one_or_none())
    decides, left, following = found.deciding, found.left, found.following
    stands = None if found.form_token is None else found
    if found.was_sent and found.form_token != token:
        raise Refusal(
            Text(
                en="This form was used for another question; open the question again.",
                es="Este formulario se usó en otra pregunta; abra la pregunta de nuevo.",
            )
        )
    if found.question_id is None:
        raise UnknownName(
            Text(
                en="This paper has no question %(given)s.", es="Este examen no tiene la pregunta %(given)s."
            ),
            given=position,
        )
    if stands is not None and (stands.form_token, stands.typed) == (token, typed):
        return Given(
            position,
            typed,
            stands.shown,
            stands.right,
            stands.credit,
            stands.slip,
            stands.at,
            repeated=True,
            closed=found.closed_at is not None,
            left=left,
            following=following,
        )
    _need_room(found.closed_at, position, stands, typed)
    if decides is not None and following is not None and following < position:
        _refuse_order(following)
    graded = grade(found.draw, typed)
    if found.opened_at is None:
        note_opening(session, actor, now, session.get_one(Paper, paper_id))
    stored: dict[str, Any] = {
        "typed": typed,
        "shown": graded.shown,
        "right": graded.right,
        "credit": graded.credit * left_after(found.hint_cost, found.hints or 0),
        "slip": graded.slip or None,
    }
    session.connection().execute(
        _KEEP, {**stored, "paper_question_id": found.question_id, "at": now, "form_token": token}
    )
    history.append(
        session,
        now,
        kind="answer given",
        actor_id=actor.id,
        person_id=actor.id,
        paper=paper_id,
        position=position,
        **stored,
    )
    ends = "all answered" if left == 0 else None
    if ends is None and decides is not None and is_clear(decides, *_right_and_answered(session, paper_id)):
        ends = DECIDED
    if ends is not None:
        close_paper(session, actor, now, session.get_one(Paper, paper_id), ends)
    session.commit()
    return Given(
        position=position,
        at=now,
        repeated=False,
        closed=ends is not None,
        left=left,
        following=following,
        **stored,
    )


def _need_room(closed_at: datetime | None, position: int, stands: Any, typed: str) -> None:
    """Refuse what cannot be stored: a second answer, saying what stands; one to a closed paper; one too long.

    stands: the answer that the question has, if any
    """
    if stands is not None:
        raise Refusal(
            Text(
                en="Question %(position)s was answered already: %(stands)s stands.",
                es="La pregunta %(position)s ya fue contestada: queda %(stands)s.",
            ),
            position=position,
            stands=stands.shown or stands.typed,
        )
    if closed_at is not None:
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


def hand_in(session: Session, actor: Actor, now: datetime, paper_id: int) -> None:
    """Close one's own paper; what is not answered is not right. Handing it in again changes nothing."""
    paper = own_paper(session, actor, paper_id)
    if paper.closed_at is None:
        if paper.opened_at is None:
            need_open(session, paper, now)
        close_paper(session, actor, now, paper, "handed in")


def own_paper(session: Session, actor: Actor, paper_id: int) -> Paper:
    """One's own paper, held until the act is done. Raises UnknownName, NotAllowed."""
    query = select(Paper).where(Paper.id == paper_id).with_for_update()
    return _own(actor, session.scalars(query).one_or_none())


def _own(actor: Actor, paper: Owned | None) -> Owned:
    if paper is None:
        raise UnknownName(Text(en="There is no such paper.", es="No existe ese examen."))
    if paper.person_id != actor.id:
        raise NotAllowed(Text(en="This paper is someone else's.", es="Este examen es de otra persona."))
    return paper


def note_opening(session: Session, actor: Actor, now: datetime, paper: Paper) -> None:
    """Note the first opening; a later one changes nothing. Refusal before the quiz opens."""
    if paper.opened_at is None:
        need_open(session, paper, now)
        paper.opened_at = now
        history.append(
            session, now, kind="paper opened", actor_id=actor.id, person_id=paper.person_id, paper=paper.id
        )


def need_open(session: Session, paper: Paper, now: datetime) -> None:
    """Refuse what is done to a paper before its quiz opens."""
    opens = session.scalar(select(Quiz.opens).where(Quiz.id == paper.quiz_id))
    if opens is not None and now < opens:
        raise Refusal(
            Text(
                en="This quiz opens on %(opens)s; it cannot be started before.",
                es="Este examen abre el %(opens)s; no se puede empezar antes.",
            ),
            opens=clock(opens.astimezone(zone_in_shop(session))),
        )


def left_after(cost: int | None, opened: int) -> float:
    """The share of a question's credit that is left after so many hints. cost: of each [percent]."""
    return max(0.0, 1.0 - (cost or 0) * opened / 100)


def close_paper(session: Session, actor: Actor, now: datetime, paper: Paper, how: str) -> None:
    """Close a paper as it stands. how: as `Paper.closed_how`"""
    paper_sheets.close(session, paper, now, how)
    history.append(
        session,
        now,
        kind="paper handed in",
        actor_id=actor.id,
        person_id=paper.person_id,
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


def _right_and_answered(session: Session, paper_id: int) -> tuple[int, int]:
    right, answered = session.execute(
        select(func.sum(case((Answer.right, 1), else_=0)), func.count(Answer.id))
        .join(PaperQuestion, PaperQuestion.id == Answer.paper_question_id)
        .where(PaperQuestion.paper_id == paper_id)
    ).one()
    return right or 0, answered


def _refuse_order(following: int) -> NoReturn:
    """A paper that decides early is answered in order: nobody picks the questions it rests on."""
    raise Refusal(
        Text(
            en="This paper is answered in order; question %(following)s comes next.",
            es="Este examen se contesta en orden; sigue la pregunta %(following)s.",
        ),
        following=following,
    )
