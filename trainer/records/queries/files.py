"""A photograph or a paper, for those who may see the record that it belongs to."""

from __future__ import annotations

from sqlalchemy import Row, select
from sqlalchemy.orm import Session

from trainer.errors import UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_self_or_reviewer
from trainer.records.files import FileBytes, bytes_of
from trainer.records.models import Certificate, SignOff, SignOffPhoto, StoredFile

NONE = Text(en="There is no such file.", es="No existe ese archivo.")


def sign_off_photo(
    session: Session, actor: Actor, sign_off_id: int, position: int, *, small: bool = False
) -> FileBytes:
    """A photograph of a sign-off: of one's own, or of anyone's for a trainer or owner. Raises UnknownName."""
    found = session.execute(
        select(SignOff.person_id, SignOffPhoto.file_id)
        .join(SignOffPhoto, SignOffPhoto.sign_off_id == SignOff.id)
        .where(SignOff.id == sign_off_id, SignOffPhoto.position == position)
    ).one_or_none()
    return _handed(session, actor, found, small)


def certificate_file(
    session: Session, actor: Actor, certificate_id: int, *, small: bool = False
) -> FileBytes:
    """The paper of a certificate: of one's own, or of anyone's for a trainer or owner. Raises UnknownName."""
    found = session.execute(
        select(Certificate.person_id, Certificate.file_id).where(
            Certificate.id == certificate_id, Certificate.file_id.is_not(None)
        )
    ).one_or_none()
    return _handed(session, actor, found, small)


def _handed(
    session: Session, actor: Actor, found: Row[int, int] | Row[int, int | None] | None, small: bool
) -> FileBytes:
    if found is None:
        raise UnknownName(NONE)
    person_id, file_id = found
    need_self_or_reviewer(actor, person_id)
    return bytes_of(session, StoredFile.id == file_id, small=small)
