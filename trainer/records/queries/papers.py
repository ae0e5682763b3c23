"""Quizzes, the papers that wait for review, and one paper with everything on it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, bindparam, case, func, or_, select
from sqlalchemy.orm import Session, joinedload, selectinload

from trainer.errors import NotAllowed, UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_reviewer, need_self_or_reviewer
from trainer.records.deciding import DECIDED
from trainer.records.models import (
    Answer,
    Comment,
    GradeChange,
    Paper,
    PaperQuestion,
    Person,
    Quiz,
    QuizRepeat,
    SentBack,
)
from trainer.records.queries.next_go import may_follow, next_go
from trainer.records.queries.paging import slice_of
from trainer.records.queries.paper_rows import paper_query, paper_rows
from trainer.records.queries.regrades import sent_back
from trainer.records.queries.rows import (
    AnswerView,
    CommentRow,
    GradeChangeRow,
    HintRow,
    Page,
    PaperQuestionView,
    PaperRow,
    PaperView,
    QuizRow,
    QuizView,
    RepeatRow,
)
from trainer.records.review import STILL_TO_SIT, sitting


def quizzes(session: Session, actor: Actor, page: int = 1, per_page: int = 50) -> Page[QuizRow]:
    """Every quiz, newest first."""
    need_reviewer(actor)
    rows, page, pages, total = slice_of(session, _quiz_query().order_by(Quiz.id.desc()), page, per_page)
    return Page(tuple(_quiz_row(row) for row in rows), page, pages, total)


def quiz(session: Session, actor: Actor, quiz_id: int, now: datetime | None = None) -> QuizView:
    """One quiz and its papers, by name. now: an open paper past its due time counts as late, one before its quiz opens as shut. Raises UnknownName."""
    need_reviewer(actor)
    row = session.execute(_quiz_query().where(Quiz.id == quiz_id)).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such quiz.", es="No existe ese examen."))
    papers = session.execute(
        paper_query().where(Paper.quiz_id == quiz_id).order_by(Person.name, Person.id, Paper.go)
    ).all()
    found = row[0]
    return QuizView(
        _quiz_row(row), found.spec, found.deciding, tuple(found.must), paper_rows(session, papers, now)
    )


def for_review(session: Session, actor: Actor, page: int = 1, per_page: int = 50) -> Page[PaperRow]:
    """Papers handed in and not reviewed, oldest first; never one's own."""
    need_reviewer(actor)
    query = paper_query().where(*waiting_for(actor)).order_by(Paper.closed_at, Paper.id)
    rows, page, pages, total = slice_of(session, query, page, per_page)
    return Page(paper_rows(session, rows), page, pages, total)


def waiting_for(actor: Actor) -> tuple[ColumnElement[bool], ...]:
    """Which papers wait for this reviewer: not their own, and none of a quiz that they have still to sit."""
    return (
        Paper.reviewed_at.is_(None),
        Paper.closed_at.is_not(None),
        Paper.person_id != actor.id,
        Paper.quiz_id.not_in(sitting(actor)),
    )


def paper(session: Session, actor: Actor, paper_id: int, now: datetime | None = None) -> PaperView:
    """One paper: the person's own, or any for a trainer or owner. now: as for `quiz`

    While the paper is still out its grades are left out, for a reviewer too.
    Raises UnknownName; NotAllowed also for a paper of a quiz that the actor has still to sit.
    """
    asked = paper_query().add_columns(may_follow(), Paper.quiz_id.in_(sitting(actor)))
    query = asked.where(Paper.id == paper_id)
    found = session.execute(query).one_or_none()
    if found is None:
        raise UnknownName(Text(en="There is no such paper.", es="No existe ese examen."))
    *of_paper, may, still_to_sit = found
    own = of_paper[0].person_id == actor.id
    need_self_or_reviewer(actor, of_paper[0].person_id)
    if still_to_sit and not own:
        raise NotAllowed(STILL_TO_SIT)
    row = paper_rows(session, [of_paper], now)[0]
    questions = session.scalars(
        select(PaperQuestion)
        .where(PaperQuestion.paper_id == paper_id)
        .options(
            selectinload(PaperQuestion.answer),
            selectinload(PaperQuestion.hints),
            selectinload(PaperQuestion.changes).options(joinedload(GradeChange.by)),
        )
        .order_by(PaperQuestion.position)
    ).all()
    if of_paper[0].closed_how == DECIDED:
        questions = [one for one in questions if one.answer is not None]
    comments = _comments(session, paper_id)
    shows = row.closed_at is not None
    seconds = _seconds(row.opened_at, questions)
    return PaperView(
        row=row,
        questions=tuple(
            _question(one, comments.get(one.position, ()), shows, seconds.get(one.position))
            for one in questions
        ),
        comments=comments.get(None, ()),
        own=own,
        next_open=next((one.position for one in questions if one.answer is None), None),
        next_waiting=_next_waiting(session, actor, of_paper[0]) if actor.may_review else None,
        next_go=next_go(row, of_paper[1], may),
        again=sent_back(session, or_(SentBack.paper_id == paper_id, SentBack.again_id == paper_id)),
    )


# Made once, as every answer sends it.
_TO_ANSWER = (
    select(PaperQuestion.draw)
    .join(Paper, Paper.id == PaperQuestion.paper_id)
    .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
    .where(
        PaperQuestion.paper_id == bindparam("paper_id"),
        PaperQuestion.position == bindparam("position"),
        Paper.person_id == bindparam("person_id"),
        Paper.opened_at.is_not(None),
        Paper.closed_at.is_(None),
        Answer.id.is_(None),
    )
)


def to_answer(session: Session, actor: Actor, paper_id: int, position: int) -> Any | None:
    """The frozen draw of a question of one's own open paper that has no answer yet; None when there is none, and the
    whole paper (`paper`) says why. One statement, whatever the paper holds.
    """
    wanted = {"paper_id": paper_id, "position": position, "person_id": actor.id}
    return session.connection().execute(_TO_ANSWER, wanted).scalar_one_or_none()


def _next_waiting(session: Session, actor: Actor, here: Paper) -> int | None:
    """The one after it in the queue, so that a paper can be passed over; from the end of the queue, its first."""
    query = select(Paper.id).where(*waiting_for(actor), Paper.id != here.id)
    if here.closed_at is None:
        return session.scalars(query.order_by(Paper.closed_at, Paper.id).limit(1)).first()
    after = or_(Paper.closed_at > here.closed_at, and_(Paper.closed_at == here.closed_at, Paper.id > here.id))
    order = case((after, 0), else_=1), Paper.closed_at, Paper.id
    return session.scalars(query.order_by(*order).limit(1)).first()


def _seconds(opened: datetime | None, questions: Sequence[PaperQuestion]) -> dict[int, float]:
    """By position, how long each answer took: from the one before it, or from the opening."""
    answers = sorted(
        (one.answer.id, one.answer.at, one.position) for one in questions if one.answer is not None
    )
    found, before = {}, opened
    for _, at, position in answers:
        if before is not None:
            found[position] = (at - before).total_seconds()
        before = at
    return found


def _comments(session: Session, paper_id: int) -> dict[int | None, tuple[CommentRow, ...]]:
    grouped: dict[int | None, tuple[CommentRow, ...]] = {}
    rows = session.scalars(
        select(Comment)
        .where(Comment.paper_id == paper_id)
        .options(joinedload(Comment.by))
        .order_by(Comment.id)
    )
    for row in rows:
        one = CommentRow(row.by_id, row.by.name, row.text, row.at)
        grouped[row.position] = (*grouped.get(row.position, ()), one)
    return grouped


def _question(
    row: PaperQuestion, comments: tuple[CommentRow, ...], shows: bool, seconds: float | None
) -> PaperQuestionView:
    answer = None
    if row.answer is not None:
        given = row.answer
        answer = AnswerView(
            given.typed,
            given.shown,
            given.right if shows else None,
            given.credit if shows else None,
            given.slip if shows else None,
            given.at,
        )
    return PaperQuestionView(
        position=row.position,
        question=row.question,
        version=row.version,
        hash=row.hash,
        seed=row.seed,
        draw=row.draw,
        skills=tuple(row.skills),
        must_pass=row.must_pass,
        answer=answer,
        hints=tuple(HintRow(one.number, one.text, one.at) for one in row.hints),
        credit=row.credit if shows else None,
        right=row.right if shows else None,
        changes=tuple(
            GradeChangeRow(
                change.before, change.after, change.left_out, change.reason, change.by.name, change.at
            )
            for change in row.changes
        ),
        comments=comments,
        left_out=row.left_out and shows,
        seconds=seconds,
    )


def _quiz_query() -> Select[*tuple[Any, ...]]:
    counts = (
        select(
            Paper.quiz_id,
            func.count(Paper.id).label("papers"),
            func.count(Paper.closed_at).label("handed_in"),
            func.count(Paper.reviewed_at).label("reviewed"),
        )
        .group_by(Paper.quiz_id)
        .subquery()
    )
    return (
        select(Quiz, QuizRepeat, Person.name, counts.c.papers, counts.c.handed_in, counts.c.reviewed)
        .join(Person, Person.id == Quiz.by_id)
        .outerjoin(QuizRepeat, QuizRepeat.id == Quiz.repeat_id)
        .outerjoin(counts, counts.c.quiz_id == Quiz.id)
    )


def _quiz_row(row: Any) -> QuizRow:
    one, repeat, by, papers, handed_in, reviewed = row
    return QuizRow(
        one.id,
        one.title,
        one.pass_mark,
        one.opens,
        one.due,
        one.hint_cost,
        by,
        one.at,
        papers or 0,
        handed_in or 0,
        reviewed or 0,
        one.goes,
        one.wait_hours,
        one.ended_at,
        None if repeat is None else _repeat_row(repeat, one.week),
    )


def _repeat_row(repeat: QuizRepeat, week: int) -> RepeatRow:
    trouble = repeat.trouble
    return RepeatRow(repeat.id, week + 1, repeat.until, repeat.next_at, repeat.stopped_at, trouble)
