"""Sign-offs with their photographs, and certificates with their papers, as they stand in the records."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from typing import Any, Final

from sqlalchemy import select

from trainer.records.fingerprints import fingerprint
from trainer.records.held_rows import Row, Table, iso, parsed, text_of
from trainer.records.models import Certificate, SignOff, SignOffPhoto, StoredFile

FILES: Final = 20  # at a time: each holds its bytes


def _sign_offs(rows: Any) -> Iterator[Row]:
    last = None
    for id, position, data, small, measures, criteria, fails, *rest in rows:
        if position is not None:
            yield Row("photograph", (id, position), _hashes(data, small))
        if id == last:
            continue  # one row a photograph
        last = id
        names = ("person", "by", "task", "version", "passed", "notes", "at")
        fields = dict(zip(names, rest, strict=True))
        seen = {
            "criteria": parsed(criteria),
            "fails": parsed(fails),
            "measures": fingerprint(parsed(measures)),
        }
        yield Row("sign-off", (id,), {**fields, **seen})


def _certificates(rows: Any) -> Iterator[Row]:
    for id, kind, person, by, issuer, issued, expires, entered_on, at, data, small, *withdrawal in rows:
        fields = {"kind": kind, "person": person, "by": by, "issuer": issuer, "at": at}
        days = {"issued": iso(issued), "expires": iso(expires), "entered_on": iso(entered_on)}
        yield Row("certificate", (id,), {**fields, **days})
        if data is not None:
            yield Row("paper of a certificate", (id,), _hashes(data, small))
        if any(part is not None for part in withdrawal):
            by, reason, on, at = withdrawal
            yield Row("withdrawal", (id,), {"by": by, "reason": reason, "on": iso(on), "at": at})


def _hashes(data: bytes | None, small: bytes | None) -> dict[str, Any]:
    """Of the bytes themselves, so that a picture that was changed is noticed."""
    return {
        name: None if content is None else sha256(content).hexdigest()
        for name, content in (("file", data), ("small", small))
    }


PRACTICALS: Final[tuple[Table, ...]] = (
    (
        select(
            SignOff.id,
            SignOffPhoto.position,
            StoredFile.data,
            StoredFile.small,
            text_of(SignOff.measures),
            text_of(SignOff.criteria),
            text_of(SignOff.fails),
            SignOff.person_id,
            SignOff.observer_id,
            SignOff.task,
            SignOff.version,
            SignOff.passed,
            SignOff.notes,
            SignOff.at,
        )
        .outerjoin(SignOffPhoto, SignOffPhoto.sign_off_id == SignOff.id)
        .outerjoin(StoredFile, StoredFile.id == SignOffPhoto.file_id)
        .order_by(SignOff.id, SignOffPhoto.position)
        .execution_options(yield_per=FILES),
        _sign_offs,
    ),
    (
        select(
            Certificate.id,
            Certificate.kind,
            Certificate.person_id,
            Certificate.by_id,
            Certificate.issuer,
            Certificate.issued,
            Certificate.expires,
            Certificate.entered_on,
            Certificate.at,
            StoredFile.data,
            StoredFile.small,
            Certificate.withdrawn_by_id,
            Certificate.withdrawn_reason,
            Certificate.withdrawn_on,
            Certificate.withdrawn_at,
        )
        .outerjoin(StoredFile, StoredFile.id == Certificate.file_id)
        .execution_options(yield_per=FILES),
        _certificates,
    ),
)
