"""A person's e-mail address, for the daily digest. Nobody needs one.

The history holds only a hash of it: a digest cannot be led elsewhere unnoticed, and the address can be forgotten.
"""

from __future__ import annotations

import re
from datetime import datetime
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import history
from trainer.records.actors import Actor, need_owner, person_of
from trainer.records.fingerprints import email_hash
from trainer.records.models import Person

LONGEST: Final = 254  # RFC 5321, 4.5.3.1.3: a path has at most 256 octets, its two brackets included
_LABEL: Final = "[a-zA-Z0-9](?:[a-zA-Z0-9-]{0,61}[a-zA-Z0-9])?"
# The valid e-mail address of the HTML standard (WHATWG, 4.10.5.1.5), with a dot in the domain. It holds no space, no
# quote, and nothing that ends a header's line.
_ADDRESS: Final = re.compile(rf"[a-zA-Z0-9.!#$%&'*+/=?^_`{{|}}~-]{{1,64}}@{_LABEL}(?:\.{_LABEL})*")


def is_address(text: str) -> bool:
    """Whether a message could be sent to `text`."""
    local = text.partition("@")[0]
    dotted = local.startswith(".") or local.endswith(".") or ".." in local
    return len(text) <= LONGEST and not dotted and _ADDRESS.fullmatch(text) is not None


def email_of(session: Session, person_id: int) -> str | None:
    """The address that is kept for the person."""
    return session.scalar(select(Person.email).where(Person.id == person_id))


def set_email(session: Session, actor: Actor, now: datetime, person_id: int, email: str) -> None:
    """Keep the address, or none when it is empty. One's own, or anyone's for an owner. Raises NotAllowed, Refusal."""
    if actor.id != person_id:
        need_owner(actor)
    person = person_of(session, person_id)
    after = email.strip() or None
    if after is not None and not is_address(after):
        raise Refusal(
            Text(
                en="%(given)s is no e-mail address; give one such as name@shop.example.",
                es="%(given)s no es una dirección de correo; escriba una como nombre@taller.example.",
            ),
            given=repr(after[:80]),
        )
    if after == person.email:
        return
    person.email = after
    history.append(
        session,
        now,
        kind="e-mail address changed",
        actor_id=actor.id,
        person_id=person.id,
        email_hash=email_hash(after),
    )
