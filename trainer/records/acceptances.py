"""An older version of a lesson accepted in place of the present one, and that taken back.

An acceptance is dated: it counts from the day it was made, so that it never changes what stood on an earlier day, and
until the day it is taken back. It belongs to the version in whose place it stands: when the lesson changes again, those
who read the older version are asked again until someone accepts it anew.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.clearance import LessonRef
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, checked_text, need_reviewer
from trainer.records.models import LessonAcceptance
from trainer.records.shop import today_in_shop
from trainer.records.submissions import ChangedMeanwhile, stored_before

REASON = Text(en="The reason", es="el motivo")


def accept(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    lesson: LessonRef,
    present: int,
    version: int,
    reason: str,
    token: str,
) -> int:
    """Let readings of `version` and newer count as of the version `present`, from today. Trainer or owner.

    It counts for everyone but whoever accepts it: nobody clears themselves.
    Raises ChangedMeanwhile when the lesson is not at `present` any more; Refusal without a reason, for a version that
    is not older, or when the actor's own acceptance stands already.
    """
    need_reviewer(actor)
    why = checked_text(reason, REASON)
    given = {"lesson": lesson.id, "version": version, "present": present, "by_id": actor.id, "reason": why}
    before = stored_before(session, LessonAcceptance, token, given)
    if before is not None:
        return before.id
    if present != lesson.version:
        raise ChangedMeanwhile(
            Text(
                en="The lesson has changed meanwhile: version %(version)s stands now.",
                es="La lección cambió mientras tanto: ahora vale la versión %(version)s.",
            ),
            version=lesson.version,
        )
    if not 1 <= version < present:
        raise Refusal(
            Text(
                en="Version %(version)s is not older than the present one.",
                es="La versión %(version)s no es anterior a la actual.",
            ),
            version=version,
        )
    standing_one = select(LessonAcceptance.id).where(
        LessonAcceptance.lesson == lesson.id,
        LessonAcceptance.present == present,
        LessonAcceptance.by_id == actor.id,
        LessonAcceptance.ended_at.is_(None),
    )
    if session.scalar(standing_one) is not None:
        raise Refusal(
            Text(
                en="You have accepted an older version of this lesson already; take that back first.",
                es="Usted ya aceptó una versión anterior de esta lección; primero retire esa aceptación.",
            )
        )
    row = LessonAcceptance(**given, since=today_in_shop(session, now), form_token=token, at=now)
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="older lesson accepted",
        actor_id=actor.id,
        acceptance=row.id,
        lesson=lesson.id,
        version=version,
        present=present,
        since=row.since,
        reason=why,
    )
    return row.id


def withdraw(
    session: Session, actor: Actor, now: datetime, *, lesson: str, acceptance_id: int, reason: str
) -> None:
    """Ask again: the acceptance counts no more from today on. Trainer or owner.

    Raises UnknownName when the lesson has no such acceptance; Refusal without a reason, or when it was taken back.
    """
    need_reviewer(actor)
    row = session.scalars(
        select(LessonAcceptance)
        .where(LessonAcceptance.id == acceptance_id, LessonAcceptance.lesson == lesson)
        .with_for_update()
    ).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such acceptance.", es="No existe esa aceptación."))
    if row.ended_at is not None:
        raise Refusal(Text(en="It was taken back already.", es="Ya se había retirado."))
    row.ended_reason = checked_text(reason, REASON)
    row.ended_by_id, row.ended_at, row.ended_on = actor.id, now, today_in_shop(session, now)
    history.append(
        session,
        now,
        kind="older lesson asked again",
        actor_id=actor.id,
        acceptance=row.id,
        lesson=row.lesson,
        ended_on=row.ended_on,
        reason=row.ended_reason,
    )
