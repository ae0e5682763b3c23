"""Take-offs that are kept: saved by anyone of the shop, changed and removed by whoever saved them, trainers and owners."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import datetime

from sqlalchemy.orm import Session

from trainer import takeoff
from trainer.errors import NotAllowed, UnknownName
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, checked_text
from trainer.records.models import Job
from trainer.records.shop import the_shop
from trainer.records.submissions import stored_before

NO_JOB = Text(en="There is no such job.", es="No existe ese trabajo.")
TITLE = Text(en="The name of the job", es="el nombre del trabajo")


def may_change(actor: Actor, by_id: int) -> bool:
    """Whether the actor may change or remove a job saved by the person `by_id`."""
    return actor.may_review or actor.id == by_id


def save(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    title: str,
    texts: Mapping[str, str],
    parts: Collection[str],
    token: str,
) -> int:
    """Keep a take-off and return its id; the same form sent again gives the same id.

    texts, parts: as `takeoff.read` takes them; a figure of the shop standard left empty is kept as it holds now
    Raises Refusal when they cannot be read, SentBefore when the form stored something else.
    """
    content = {
        "title": checked_text(title, TITLE, 120),
        "texts": _complete(session, texts, parts),
        "parts": sorted(parts),
        "by_id": actor.id,
    }
    stored = stored_before(session, Job, token, content)
    if stored is not None:
        return stored.id
    row = Job(**content, at=now, form_token=token)
    session.add(row)
    session.flush()
    history.append(
        session,
        now,
        kind="job saved",
        actor_id=actor.id,
        job=row.id,
        title=row.title,
        texts=row.texts,
        parts=row.parts,
    )
    return row.id


def change(
    session: Session,
    actor: Actor,
    now: datetime,
    job_id: int,
    *,
    title: str,
    texts: Mapping[str, str],
    parts: Collection[str],
) -> None:
    """Put other numbers in a kept take-off. Raises NotAllowed, UnknownName, Refusal."""
    row = _own(session, actor, job_id)
    if row.removed_at is not None:
        raise UnknownName(NO_JOB)
    title = checked_text(title, TITLE, 120)
    complete, chosen = _complete(session, texts, parts), sorted(parts)
    if (row.title, row.texts, row.parts) == (title, complete, chosen):
        return
    row.title, row.texts, row.parts, row.changed_at = title, complete, chosen, now
    history.append(
        session,
        now,
        kind="job changed",
        actor_id=actor.id,
        job=row.id,
        title=title,
        texts=complete,
        parts=chosen,
    )


def remove(session: Session, actor: Actor, now: datetime, job_id: int) -> None:
    """Take a kept take-off off the list; the history keeps what it held. Done twice, it acts once.

    Raises NotAllowed, UnknownName.
    """
    row = _own(session, actor, job_id)
    if row.removed_at is not None:
        return
    row.removed_at = now
    history.append(session, now, kind="job removed", actor_id=actor.id, job=row.id, title=row.title)


def _own(session: Session, actor: Actor, job_id: int) -> Job:
    row = session.get(Job, job_id)
    if row is None:
        raise UnknownName(NO_JOB)
    if not may_change(actor, row.by_id):
        raise NotAllowed(
            Text(
                en="Only whoever saved the job, a trainer or an owner may change or remove it.",
                es="Solo quien guardó el trabajo, un instructor o un dueño puede cambiarlo o quitarlo.",
            )
        )
    return row


def _complete(session: Session, texts: Mapping[str, str], parts: Collection[str]) -> dict[str, str]:
    """What was typed, with the shop's figures of today where nothing was, so that the job stays what it is."""
    given = {name: text.strip() for name, text in texts.items() if text.strip()}
    takeoff.read(given, parts)
    return takeoff.shop_texts(the_shop(session).standard) | given
