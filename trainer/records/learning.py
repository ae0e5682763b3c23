"""Practice answers. They never count toward clearance."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from sqlalchemy.orm import Session

from trainer.records.actors import Actor
from trainer.records.models import PracticeAnswer
from trainer.records.submissions import stored_before


def record_practice(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    question: str,
    version: int,
    seed: int,
    typed: str,
    shown: str,
    right: bool,
    credit: float,
    slip: str | None,
    skills: Collection[str],
    token: str,
) -> bool:
    """Keep one practice answer; False when this form was stored before. SentBefore when it held another answer.

    Practice is self-chosen and proves nothing, so it is not part of the history.
    """
    given = {
        "person_id": actor.id,
        "question": question,
        "version": version,
        "seed": seed,
        "typed": typed,
    }
    if stored_before(session, PracticeAnswer, token, given) is not None:
        return False
    session.add(
        PracticeAnswer(
            **given,
            skills=list(skills),
            shown=shown,
            right=right,
            credit=credit,
            slip=slip or None,
            form_token=token,
            at=now,
        )
    )
    session.flush()
    return True
