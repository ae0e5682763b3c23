"""A second step at sign-in, for trainers and owners who want one: a six-digit code that changes every 30 seconds.

Time-based codes of RFC 6238 with its usual terms (SHA-1, 30 s, six digits), so that any app for such codes works. The
code of one step earlier or later is taken too, for clocks that differ; each code counts once. A new one-time code
from the owner turns the second step off: that is the way back after a lost phone.
"""

from __future__ import annotations

import re
from datetime import datetime
from hmac import compare_digest

import pyotp
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, need_reviewer
from trainer.records.models import SecondStep

SECONDS = 30
SECRET = re.compile("[A-Z2-7]{32}")
OFF_BY = (0, -1, 1)  # steps
WRONG = Text(
    en="That is not the code of this moment; type the six figures that the app shows now.",
    es="Ese no es el código de este momento; escriba las seis cifras que la aplicación muestra ahora.",
)


def new_secret() -> str:
    """A secret to share with the app: 160 random bits in base 32."""
    return pyotp.random_base32()


def address(secret: str, sign_in: str, shop: str) -> str:
    """What the app reads from a QR code."""
    return pyotp.TOTP(secret).provisioning_uri(name=sign_in, issuer_name=shop)


def is_secret(text: str) -> bool:
    """Whether `text` has the shape of a secret made here."""
    return SECRET.fullmatch(text) is not None


def is_on(session: Session, person_id: int) -> bool:
    """Whether the person is asked for a code at sign-in."""
    return session.scalar(select(SecondStep.person_id).where(SecondStep.person_id == person_id)) is not None


def turn_on(session: Session, actor: Actor, now: datetime, *, secret: str, code: str) -> None:
    """Ask the actor for a code from now on. Refusal when `code` shows that their app does not hold `secret`."""
    need_reviewer(actor)
    step = _step(secret, code, now) if is_secret(secret) else None
    if step is None:
        raise Refusal(WRONG)
    off(session, actor.id)
    session.add(SecondStep(person_id=actor.id, secret=secret, since=now, last_step=step))
    history.append(session, now, kind="second step on", actor_id=actor.id, person_id=actor.id)


def turn_off(session: Session, actor: Actor, now: datetime) -> None:
    """Ask no more; whoever calls it has checked a code."""
    off(session, actor.id)
    history.append(session, now, kind="second step off", actor_id=actor.id, person_id=actor.id)


def off(session: Session, person_id: int) -> None:
    """Forget the person's second step."""
    session.execute(delete(SecondStep).where(SecondStep.person_id == person_id))


def fits(session: Session, now: datetime, person_id: int, code: str) -> bool:
    """Whether it is the person's code of this moment, and was not used before; it is used now."""
    kept = session.scalars(
        select(SecondStep).where(SecondStep.person_id == person_id).with_for_update()
    ).one_or_none()
    step = None if kept is None else _step(kept.secret, code, now)
    if kept is None or step is None or step <= kept.last_step:
        return False
    kept.last_step = step
    return True


def _step(secret: str, code: str, now: datetime) -> int | None:
    """The number of the 30-second step whose code it is; None when it is none near now."""
    typed = "".join(code.split())
    if len(typed) != 6 or not (typed.isascii() and typed.isdigit()):
        return None
    codes = pyotp.TOTP(secret, interval=SECONDS)
    present = int(now.timestamp()) // SECONDS
    near = (present + off_by for off_by in OFF_BY)
    return next((step for step in near if compare_digest(codes.generate_otp(step), typed)), None)
