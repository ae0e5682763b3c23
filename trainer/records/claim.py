"""What one event fixes of one row."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

Key = tuple[Any, ...]
LACKING: Final = object()  # of a field of which an older event says nothing


class Claim(NamedTuple):
    """lacking: fields of which the event, an older one, says nothing; fields is None when its facts cannot be read."""

    number: int
    kind: str
    key: Key
    fields: Mapping[str, Any] | None
    lacking: tuple[str, ...] = ()
