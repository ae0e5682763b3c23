"""Sitting a quiz again: the next go, from when it may begin, and the act that begins it.

A go is one more paper of the same quiz with the same questions and new numbers, each person their own, even where the
first go has the same numbers for all: whoever has seen a paper's right answers would prove nothing with them.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.clearance.words import clock
from trainer.errors import Refusal
from trainer.languages import Text
from trainer.questions import Question
from trainer.records import history
from trainer.records.actors import Actor, active_person_of
from trainer.records.choosing import Drawer, demanded, draw_all, rows_of
from trainer.records.fingerprints import of_question
from trainer.records.models import Paper, PaperQuestion, Quiz
from trainer.records.papers import own_paper
from trainer.records.queries.next_go import may_follow, next_go
from trainer.records.queries.paper_rows import paper_query, paper_rows
from trainer.records.shop import the_shop, zone_in_shop

MOST_GOES = 5
OUT = Text(en="This paper is not handed in yet.", es="Este examen todavía no se ha entregado.")
PASSED = Text(
    en="You passed this quiz; there is nothing to sit again.",
    es="Usted aprobó este examen; no hay nada que repetir.",
)
NO_MORE = Text(
    en="There is no further go at this quiz. Ask your trainer if you need one.",
    es="Este examen ya no tiene más intentos. Si necesita otro, pídaselo a su instructor.",
)
NOT_YET = Text(
    en="The next go opens on %(opens)s; it cannot be started before.",
    es="El siguiente intento abre el %(opens)s; no se puede empezar antes.",
)
GONE = Text(
    en="A question of this quiz is no longer in the bank, so it cannot be sat again. Tell your trainer.",
    es="Una pregunta de este examen ya no está en el banco, así que no se puede repetir. Avise a su instructor.",
)


def go_again(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    bank: Mapping[str, Question],
    draw: Drawer,
) -> int:
    """Begin the go that follows one's own closed paper; returns the new paper's id, once begun always the same.

    Raises NotAllowed, UnknownName; Refusal when the paper is out, passed, the last go, or the wait is not over.
    """
    paper = own_paper(session, actor, paper_id)
    begun = session.scalar(
        select(Paper.id).where(
            Paper.quiz_id == paper.quiz_id, Paper.person_id == actor.id, Paper.go == paper.go + 1
        )
    )
    if begun is not None:
        return begun
    if paper.closed_at is None:
        raise Refusal(OUT)
    *of_paper, may = session.execute(
        paper_query().add_columns(may_follow()).where(Paper.id == paper.id)
    ).one()
    (row,) = paper_rows(session, [of_paper])
    if row.passed:
        raise Refusal(PASSED)
    quiz: Quiz = of_paper[1]
    following = next_go(row, quiz, may)
    if following is None:
        raise Refusal(NO_MORE)
    if now < following.opens:
        raise Refusal(NOT_YET, opens=clock(following.opens.astimezone(zone_in_shop(session))))
    active_person_of(session, actor.id)
    asked = again_asked(session, paper, quiz, bank, GONE)
    source = random.Random(f"{quiz.spec['seed']} {following.number} {actor.id}")
    rows = rows_of(draw_all(asked, the_shop(session).standard, draw, source))
    again = Paper(
        quiz_id=quiz.id,
        person_id=actor.id,
        go=following.number,
        questions=[PaperQuestion(**one) for one in rows],
    )
    session.add(again)
    session.flush()
    history.append(
        session,
        now,
        kind="quiz sat again",
        actor_id=actor.id,
        person_id=actor.id,
        quiz=quiz.id,
        paper=again.id,
        title=quiz.title,
        go=again.go,
        **frozen_facts(again),
    )
    return again.id


def again_asked(
    session: Session, paper: Paper, quiz: Quiz, bank: Mapping[str, Question], gone: Text
) -> list[Question]:
    """The questions of a paper, to be drawn anew; what had to be right still must. Refusal, with `gone`, when one is gone."""
    asked = session.scalars(
        select(PaperQuestion.question)
        .where(PaperQuestion.paper_id == paper.id)
        .order_by(PaperQuestion.position)
    ).all()
    for question in asked:
        if question not in bank:
            raise Refusal(gone, question=question)
    return [demanded(bank[question], quiz.must) for question in asked]


def frozen_facts(paper: Paper) -> dict[str, object]:
    """What an event tells of the questions that were frozen on a paper."""
    return {
        "questions": [[row.question, row.version, row.hash, row.seed] for row in paper.questions],
        "frozen": [of_question(row.skills, row.must_pass, row.draw) for row in paper.questions],
    }
