"""Grading a question anew on every paper that asked it, and settling the doubt that this casts on grants.

The first grades and every change since stay on record; the people concerned are told on their own pages; no grant is
changed, but each that rested on such a paper is shown to the owners until one of them has looked at it.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.questions import Question
from trainer.records import history
from trainer.records.actors import Actor, checked_text, need_other, need_owner, need_reviewer
from trainer.records.models import GradeChange, Grant, GrantDoubt, Regrade, RegradedPaper
from trainer.records.regrade_plan import CORRECTED, HOW, Mending, Plan, mend_with, plan, right_answer
from trainer.records.submissions import ChangedMeanwhile, stored_before

REASON = Text(en="The reason", es="el motivo")
NOTE = Text(en="What you decided", es="lo que decidió")
UNKNOWN_WAY = Text(en="There is no such way to mend it.", es="No existe esa manera de corregirla.")
NOTHING = Text(
    en="Nothing would change, so nothing was stored.", es="Nada cambiaría, así que no se guardó nada."
)
CHANGED = Text(
    en="Papers or grades changed after you opened the page. Nothing was stored; look at the list again.",
    es="Los exámenes o las calificaciones cambiaron después de que usted abrió la página. No se guardó nada; "
    "revise la lista de nuevo.",
)
NO_DOUBT = Text(en="There is no such doubt.", es="No existe esa duda.")
SETTLED = Text(en="It was looked at already.", es="Ya se revisó.")
OWN_GRANT = Text(
    en="It is about your own clearance; another owner must look at it.",
    es="Se trata de su propia autorización; otro dueño debe revisarla.",
)


def regrade(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    question: str,
    version: int,
    how: str,
    reason: str,
    by: Question | None,
    token: str,
    made_from: str,
    mend: Mending | None = None,
) -> int:
    """Grade a question of one version anew on every paper handed in; returns the id of the record.

    how: one of `regrade_plan.HOW`; by: the question as the bank holds it now; made_from: the mark of the plan confirmed
    mend: as `regrade_plan.plan` has it, else made of `by`
    Refusal: no reason, or nothing would change. SentBefore; ChangedMeanwhile when something else would be done.
    """
    need_reviewer(actor)
    if how not in HOW:
        raise Refusal(UNKNOWN_WAY)
    why = checked_text(reason, REASON)
    what = {"question": question, "version": version, "how": how, "reason": why, "by_id": actor.id}
    stored = stored_before(session, Regrade, token, what)
    if stored is not None:
        return stored.id
    then = right_answer if mend is None else (lambda _draw, _language: "")
    found = plan(
        session,
        actor,
        now,
        question=question,
        version=version,
        how=how,
        mend=mend or mend_with(by),
        then=then,
    )
    if found.mark != made_from:
        raise ChangedMeanwhile(CHANGED)
    if not found.changing:
        raise Refusal(NOTHING)
    by_version, by_hash = (by.version, by.hash) if by is not None and how == CORRECTED else (None, None)
    row = Regrade(**what, by_version=by_version, by_hash=by_hash, at=now, form_token=token)
    session.add(row)
    session.flush()
    _write(session, actor, now, row, found)
    return row.id


def _write(session: Session, actor: Actor, now: datetime, row: Regrade, found: Plan) -> None:
    history.append(
        session,
        now,
        kind="question graded anew",
        actor_id=actor.id,
        regrade=row.id,
        question=row.question,
        question_version=row.version,
        how_mended=row.how,
        by_version=row.by_version,
        by_hash=row.by_hash,
        reason=row.reason,
        papers=len(found.changing),
    )
    changes = [
        GradeChange(
            paper_question_id=one.paper_question_id,
            before=one.before,
            after=one.after,
            left_out=one.left_out_after,
            reason=row.reason,
            by_id=actor.id,
            at=now,
        )
        for one in found.changing
    ]
    session.add_all(changes)
    session.flush()
    scores = [
        (round(one.score_before, 4), round(one.score_after, 4)) for one in found.changing
    ]  # credits are floats added up
    session.add_all(
        RegradedPaper(
            regrade_id=row.id,
            paper_id=one.paper_id,
            change_id=change.id,
            before=before,
            after=after,
            passed_before=one.passed_before,
            passed_after=one.passed_after,
        )
        for one, change, (before, after) in zip(found.changing, changes, scores, strict=True)
    )
    for one, (before, after) in zip(found.changing, scores, strict=True):
        history.append(
            session,
            now,
            kind="paper graded anew",
            actor_id=actor.id,
            person_id=one.person_id,
            regrade=row.id,
            paper=one.paper_id,
            position=one.position,
            before=one.before,
            after=one.after,
            left_out=one.left_out_after,
            reason=row.reason,
            scores=[before, after],
            passed=[one.passed_before, one.passed_after],
        )
    doubts = [GrantDoubt(grant_id=one.grant_id, regrade_id=row.id, at=now) for one in found.resting]
    session.add_all(doubts)
    session.flush()
    for resting, doubt in zip(found.resting, doubts, strict=True):
        history.append(
            session,
            now,
            kind="grant in doubt",
            actor_id=actor.id,
            person_id=resting.person_id,
            doubt=doubt.id,
            doubted_grant=resting.grant_id,
            clearance=resting.clearance,
            regrade=row.id,
        )


def settle(session: Session, actor: Actor, now: datetime, *, doubt_id: int, note: str) -> Grant:
    """An owner has looked at a grant that rested on a paper graded anew; note: what they decided. Never their own.

    The grant itself stays as it is: suspending it, or granting anew, are acts of their own.
    """
    need_owner(actor)
    doubt = session.scalars(
        select(GrantDoubt).where(GrantDoubt.id == doubt_id).with_for_update()
    ).one_or_none()
    if doubt is None:
        raise UnknownName(NO_DOUBT)
    granted = session.get_one(Grant, doubt.grant_id)
    need_other(actor, granted.person_id, OWN_GRANT)
    if doubt.settled_at is not None:
        raise Refusal(SETTLED)
    doubt.settled_note = checked_text(note, NOTE)
    doubt.settled_at, doubt.settled_by_id = now, actor.id
    history.append(
        session,
        now,
        kind="doubt settled",
        actor_id=actor.id,
        person_id=granted.person_id,
        doubt=doubt.id,
        doubted_grant=granted.id,
        clearance=granted.clearance,
        note=doubt.settled_note,
    )
    return granted
