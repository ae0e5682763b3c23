"""A form that is sent twice, and a form made from what has changed since.

stored_before       the row that this very form stored, for every act that keeps a form's token
SentBefore          the form was sent before with other content; nothing is stored this time
ChangedMeanwhile    what the form was made from has changed; nothing is overwritten
"""

from __future__ import annotations

from typing import Any, Final, TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session
from sqlalchemy.orm.interfaces import ORMOption

from trainer.errors import Refusal
from trainer.languages import Text

Row = TypeVar("Row")


ONCE_MORE: Final = Text(
    en="This form was sent once before with other content, which is stored; what it holds now is "
    "not. Send it once more to store this too.",
    es="Este formulario ya se envió antes con otro contenido, que está guardado; lo que tiene ahora "
    "no. Envíelo otra vez para guardar esto también.",
)


class SentBefore(Refusal):
    """The form was sent before with other content. sentence: where sending it once more would not store it too."""

    def __init__(self, sentence: Text = ONCE_MORE) -> None:
        super().__init__(sentence)


class ChangedMeanwhile(Refusal):
    """What the form was made from has changed since; the sentence says what stands now."""


def stored_before(
    session: Session, model: type[Row], token: str, content: dict[str, Any], *load: ORMOption
) -> Row | None:
    """The row of `model` that a form with this token stored; None when it is new.

    content: what is to be stored now, by attribute of the row; load: what the attributes need loaded
    Raises SentBefore when the row holds anything else.
    """
    row = session.scalars(select(model).where(model.form_token == token).options(*load)).one_or_none()  # type: ignore[attr-defined]
    if row is not None and any(getattr(row, name) != value for name, value in content.items()):
        raise SentBefore
    return row
