"""Photographs and papers: rows of the store like everything else.

They lie in the store and not in a folder beside it, so that one transaction writes a record with its photographs or
neither, one backup file carries both, a move to another store takes them along, and there is no path to play tricks
with. Each is small (see `trainer.records.cleaning`), and no query loads its bytes unless it asks for them.

A file that was sent but belongs to no record yet is kept for a week: a form that comes back, or that waits for its
confirmation, still has it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Final

from sqlalchemy import ColumnElement, delete, exists, func, select
from sqlalchemy.orm import Session, undefer

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_reviewer, person_of
from trainer.records.cleaning import JPEG, Cleaned
from trainer.records.models import Certificate, SignOffPhoto, StoredFile

MOST_PHOTOS: Final = 6  # with one sign-off
WAIT: Final = timedelta(days=7)
MOST_WAITING: Final = 60  # of one person's, not yet part of a record

TOO_MANY: Final = Text(
    en="At most %(most)s photographs go with one sign-off.",
    es="Con una evaluación van como máximo %(most)s fotografías.",
)
ONE_PAPER: Final = Text(
    en="One paper goes with a certificate; leave the others out.",
    es="Con una constancia va un solo papel; quite los demás.",
)
GONE: Final = Text(
    en="A photograph or paper of this form is not here any more; add it again.",
    es="Una fotografía o papel de este formulario ya no está; agréguelo de nuevo.",
)


@dataclass(frozen=True, slots=True)
class FileRow:
    """A stored file without its bytes. width, height: of a picture [pixels]."""

    id: int
    sha256: str
    media: str
    size: int
    width: int | None
    height: int | None

    @property
    def ref(self) -> str:
        """How a form refers to it; an id alone might be given to another file later."""
        return reference(self.id, self.sha256)

    @property
    def is_photo(self) -> bool:
        return self.media == JPEG


@dataclass(frozen=True, slots=True)
class FileBytes:
    """What is handed out. mark: changes with the content."""

    media: str
    data: bytes
    mark: str


def reference(id: int, sha256: str) -> str:
    return f"{id}-{sha256[:12]}"


def file_row(row: StoredFile) -> FileRow:
    return FileRow(row.id, row.sha256, row.media, row.size, row.width, row.height)


def keep(
    session: Session, actor: Actor, now: datetime, *, person_id: int, cleaned: Cleaned, token: str
) -> str:
    """Keep a cleaned file about a person for the form with that token, and return the reference to it.

    The same file sent again with the same form gives the same. Trainer or owner. Refusal when too many wait.
    """
    need_reviewer(actor)
    person_of(session, person_id)
    _clear(session, now)
    mine = (StoredFile.by_id == actor.id, StoredFile.person_id == person_id)
    known = session.scalar(
        select(StoredFile.id).where(
            *mine, StoredFile.form_token == token, StoredFile.sha256 == cleaned.sha256
        )
    )
    if known is not None:
        return reference(known, cleaned.sha256)
    waiting = session.scalar(
        select(func.count(StoredFile.id)).where(StoredFile.by_id == actor.id, ~_is_used())
    )
    if waiting is not None and waiting >= MOST_WAITING:
        raise Refusal(
            Text(
                en="You have sent %(most)s files that belong to no record yet; finish those forms first.",
                es="Ya envió %(most)s archivos que aún no son parte de un registro; termine antes esos formularios.",
            ),
            most=MOST_WAITING,
        )
    row = StoredFile(
        person_id=person_id,
        by_id=actor.id,
        at=now,
        form_token=token,
        media=cleaned.media,
        sha256=cleaned.sha256,
        size=len(cleaned.data),
        width=cleaned.width,
        height=cleaned.height,
        data=cleaned.data,
        small=cleaned.small,
    )
    session.add(row)
    session.flush()
    return reference(row.id, row.sha256)


def _is_used() -> ColumnElement[bool]:
    return exists().where(SignOffPhoto.file_id == StoredFile.id) | exists().where(
        Certificate.file_id == StoredFile.id
    )


def _clear(session: Session, now: datetime) -> None:
    """Forget what was sent long ago and became part of nothing."""
    session.execute(delete(StoredFile).where(StoredFile.at < now - WAIT, ~_is_used()))


def mine(session: Session, actor: Actor, person_id: int, refs: Sequence[str]) -> tuple[FileRow, ...]:
    """Of these files the ones that the actor sent about the person, in the order given; others are left out."""
    columns = (
        StoredFile.id,
        StoredFile.sha256,
        StoredFile.media,
        StoredFile.size,
        StoredFile.width,
        StoredFile.height,
    )
    found = [FileRow(*row) for row in session.execute(select(*columns).where(*_of(actor, person_id, refs)))]
    rows = {row.ref: row for row in found}
    return tuple(rows[ref] for ref in dict.fromkeys(refs) if ref in rows)


def usable(
    session: Session, actor: Actor, person_id: int, refs: Sequence[str], *, photos_only: bool = False
) -> list[StoredFile]:
    """The files that are to become part of a record about the person, in order, each once.

    Refusal when one is not there any more, is not the actor's, or is about someone else.
    """
    if not refs:
        return []
    query = select(StoredFile).where(*_of(actor, person_id, refs)).options(undefer(StoredFile.small))
    rows = {reference(row.id, row.sha256): row for row in session.scalars(query)}
    wanted = list(dict.fromkeys(refs))
    if any(ref not in rows or (photos_only and rows[ref].media != JPEG) for ref in wanted):
        raise Refusal(GONE)
    return [rows[ref] for ref in wanted]


def _of(actor: Actor, person_id: int, refs: Sequence[str]) -> tuple[ColumnElement[bool], ...]:
    ids = [int(number) for number, _, _ in (ref.partition("-") for ref in refs) if number.isdecimal()]
    return StoredFile.id.in_(ids), StoredFile.by_id == actor.id, StoredFile.person_id == person_id


def marks(row: StoredFile) -> list[str | None]:
    """What an event keeps of a file: a hash of its bytes, and one of its small picture's."""
    return [row.sha256, None if row.small is None else sha256(row.small).hexdigest()]


def waiting(session: Session, actor: Actor, file_id: int, *, small: bool = False) -> FileBytes:
    """A file that the actor sent, whether or not it is part of a record yet. Raises UnknownName, NotAllowed."""
    need_reviewer(actor)
    sender = session.scalar(select(StoredFile.by_id).where(StoredFile.id == file_id))
    if sender is not None and sender != actor.id:
        raise NotAllowed(
            Text(
                en="Only whoever sent it may see it before it is part of a record.",
                es="Antes de ser parte de un registro, solo puede verlo quien lo envió.",
            )
        )
    return bytes_of(session, StoredFile.id == file_id, small=small)


def bytes_of(session: Session, *where: ColumnElement[bool], small: bool) -> FileBytes:
    """The bytes of the one file that fits; `small` gives its small picture where it has one. Raises UnknownName."""
    column = func.coalesce(StoredFile.small, StoredFile.data) if small else StoredFile.data
    row = session.execute(select(StoredFile.media, column, StoredFile.sha256).where(*where)).one_or_none()
    if row is None:
        raise UnknownName(Text(en="There is no such file.", es="No existe ese archivo."))
    media, data, mark = row
    return FileBytes(media, data, f"{mark[:32]}-small" if small else mark[:32])
