"""What is next for a person, and the counts of the navigation."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import func, literal, or_, select
from sqlalchemy.orm import Session

from trainer.clearance import Rules, standings
from trainer.records.actors import Actor
from trainer.records.evidence import evidence_of
from trainer.records.models import Paper, Quiz
from trainer.records.queries.learning import going_on, lessons_of
from trainer.records.queries.next_go import may_follow, next_go
from trainer.records.queries.paper_rows import paper_query, paper_rows
from trainer.records.queries.papers import waiting_for
from trainer.records.queries.regrades import TOLD_FOR, regraded_of, sent_back
from trainer.records.queries.rows import Counts, Home
from trainer.records.rules import in_force
from trainer.records.shop import today_in_shop

LATEST = 5


def home(session: Session, actor: Actor, now: datetime, rules: Rules) -> Home:
    """What is next for the actor: papers, unread lessons, and what is missing for each clearance."""
    reviewed = select(Paper.id).where(Paper.person_id == actor.id, Paper.reviewed_at.is_not(None))
    latest = reviewed.order_by(Paper.reviewed_at.desc()).limit(LATEST)
    found = session.execute(
        paper_query()
        .add_columns(may_follow())
        .where(
            Paper.person_id == actor.id,
            or_(Paper.reviewed_at.is_(None), Paper.id.in_(latest), may_follow()),
        )
        .order_by(Quiz.due.is_(None), Quiz.due, Paper.id)
    ).all()
    papers = paper_rows(session, [of_paper for *of_paper, _may in found], now)
    goes = [next_go(row, quiz, may) for row, (_, quiz, _, may) in zip(papers, found, strict=True)]
    done = [row for row in papers if row.state == "reviewed"]
    on = today_in_shop(session, now)
    evidence = evidence_of(session, actor.id)
    rows = lessons_of(session, actor.id, rules, evidence.acceptances)
    unread = tuple(row for row in rows if not row.settled)
    return Home(
        goes=tuple(sorted((one for one in goes if one is not None), key=lambda one: one.opens)),
        due=tuple(sorted((row for row in papers if row.closed_at is None), key=lambda row: row.shut)),
        waiting=tuple(row for row in papers if row.state == "handed in"),
        done=tuple(sorted(done, key=lambda row: row.reviewed_at or now, reverse=True)[:LATEST]),
        going_on=going_on(unread),
        unread=unread,
        standings=standings(actor.id, evidence, on, in_force(session, on, rules)),
        regraded=regraded_of(session, actor.id, since=now - TOLD_FOR),
        again={
            row.again_id: row
            for row in sent_back(session, Paper.person_id == actor.id, Paper.closed_at.is_(None))
        },
    )


def counts(session: Session, actor: Actor) -> Counts:
    """How much waits for the actor: one statement."""
    due = select(func.count()).where(Paper.person_id == actor.id, Paper.closed_at.is_(None)).scalar_subquery()
    waiting = select(func.count()).where(*waiting_for(actor)).scalar_subquery()
    for_review, own = session.execute(select(waiting if actor.may_review else literal(0), due)).one()
    return Counts(for_review, own)
