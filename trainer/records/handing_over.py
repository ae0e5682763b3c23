"""A role handed from one person to another in one act, so that nobody is left without an owner meanwhile."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records.actors import Actor, active_person_of, need_owner, person_of
from trainer.records.people import change_roles


def hand_over(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    giver_id: int,
    taker_id: int,
    role: str,
    stays: str,
) -> None:
    """One person's role becomes another's, in one act. stays: the role of a giver who would be left with none.

    Refusal when the giver does not hold it, the taker holds it already, has left, or never signed in.
    """
    need_owner(actor)
    giver, taker = person_of(session, giver_id), active_person_of(session, taker_id)
    held = {one.role for one in giver.roles}
    if giver.id == taker.id or role not in held:
        raise Refusal(
            Text(
                en="%(name)s does not hold this role, or would give it to themselves.",
                es="%(name)s no tiene esta función, o se la daría a sí mismo.",
            ),
            name=giver.name,
        )
    if role in {one.role for one in taker.roles}:
        raise Refusal(
            Text(en="%(name)s holds this role already.", es="%(name)s ya tiene esta función."),
            name=taker.name,
        )
    if taker.password_hash is None:
        raise Refusal(
            Text(
                en="%(name)s has not signed in yet; a role is handed to someone who can use it.",
                es="%(name)s todavía no ha entrado; una función se entrega a quien la pueda usar.",
            ),
            name=taker.name,
        )
    change_roles(session, actor, now, taker.id, [*(one.role for one in taker.roles), role])
    change_roles(session, actor, now, giver.id, held - {role} or {stays})
