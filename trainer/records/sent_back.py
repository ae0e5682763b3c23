"""A paper that is to be done again: the person gets a new one with the same questions and other numbers, told why.

The paper that was sent back stays as it is, graded and on record, and leaves the queue.
"""

from __future__ import annotations

import random
import secrets
from collections.abc import Mapping
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.questions import Question
from trainer.records import history
from trainer.records.actors import Actor, active_person_of, checked_text, need_other, need_reviewer
from trainer.records.choosing import SEED_BITS, Choice, Drawer, draw_all, rows_of
from trainer.records.goes import again_asked
from trainer.records.models import Paper, PaperQuestion, Quiz, SentBack
from trainer.records.queries.next_go import followed
from trainer.records.quizzes import tell_assigned
from trainer.records.review import OWN_PAPER, finish, need_not_sitting
from trainer.records.shop import the_shop
from trainer.records.submissions import SentBefore

REASON = Text(en="The reason", es="el motivo")
NO_PAPER = Text(en="There is no such paper.", es="No existe ese examen.")
OUT = Text(en="This paper is not handed in yet.", es="Este examen todavía no se ha entregado.")
FOLLOWED = Text(
    en="A later go at this quiz was begun; send that one back instead.",
    es="Ya se empezó otro intento de este examen; devuelva ese en su lugar.",
)
ALREADY = Text(
    en="This paper was sent back before; the reason given then stands.",
    es="Este examen ya se devolvió antes; vale el motivo que se dio entonces.",
)
GONE = Text(
    en="%(question)s is no longer in the bank, so this paper cannot be asked again. Assign another quiz.",
    es="%(question)s ya no está en el banco, así que este examen no se puede repetir. Asigne otro examen.",
)


def send_back(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    paper_id: int,
    reason: str,
    bank: Mapping[str, Question],
    draw: Drawer,
    seed: int | None = None,
) -> int:
    """Send a paper back to be done again; returns the id of the person's new paper.

    Never one's own. Refusal: still out, no reason, a question of it is gone. A paper is sent back once: the same again
    changes nothing, another reason raises SentBefore.
    """
    need_reviewer(actor)
    paper = session.scalars(select(Paper).where(Paper.id == paper_id).with_for_update()).one_or_none()
    if paper is None:
        raise UnknownName(NO_PAPER)
    need_other(actor, paper.person_id, OWN_PAPER)
    need_not_sitting(session, actor, paper)
    if paper.closed_at is None:
        raise Refusal(OUT)
    why = checked_text(reason, REASON)
    before = session.scalars(select(SentBack).where(SentBack.paper_id == paper.id)).one_or_none()
    if before is not None:
        if (before.reason, before.by_id) != (why, actor.id):
            raise SentBefore(ALREADY)
        return before.again_id
    if session.scalar(select(followed()).where(Paper.id == paper.id)):
        raise Refusal(FOLLOWED)
    active_person_of(session, paper.person_id)
    again = _again(
        session, actor, now, paper, bank, draw, secrets.randbits(SEED_BITS) if seed is None else seed
    )
    session.add(SentBack(paper_id=paper.id, again_id=again.id, reason=why, by_id=actor.id, at=now))
    history.append(
        session,
        now,
        kind="paper sent back",
        actor_id=actor.id,
        person_id=paper.person_id,
        paper=paper.id,
        again=again.id,
        reason=why,
    )
    finish(session, actor, now, paper.id)
    return again.id


def _again(
    session: Session,
    actor: Actor,
    now: datetime,
    paper: Paper,
    bank: Mapping[str, Question],
    draw: Drawer,
    seed: int,
) -> Paper:
    """The new paper, in a quiz of its own on the same terms: no due time, as the first one has passed.

    It is one go more than the quiz gave: those that were left may follow it.
    """
    old = session.get_one(Quiz, paper.quiz_id)
    questions = again_asked(session, paper, old, bank, GONE)
    asked = [question.id for question in questions]
    choice = Choice(tuple(asked), {}, tuple(one for one in old.must if one in asked))
    quiz = Quiz(
        title=old.title,
        pass_mark=old.pass_mark,
        due=None,
        hint_cost=old.hint_cost,
        spec={**choice.kept(), "seed": seed, "asked": list(asked)},
        deciding=old.deciding,
        goes=old.goes - paper.go + 1,
        wait_hours=old.wait_hours,
        by_id=actor.id,
        at=now,
        form_token=f"again-{paper.id}",
    )
    rows = rows_of(draw_all(questions, the_shop(session).standard, draw, random.Random(seed)))
    again = Paper(quiz=quiz, person_id=paper.person_id, questions=[PaperQuestion(**row) for row in rows])
    session.add_all([quiz, again])
    session.flush()
    tell_assigned(session, actor, now, quiz, again)
    return again
