"""Values as cells of a CSV file.

Lines end and quotes double as RFC 4180 has it; a text that a spreadsheet would take for a formula stands behind an
apostrophe. Source: OWASP, CSV Injection (from memory): a cell must not begin with = + - @, a tab or a line end, nor
with the full-width forms of these signs.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Final

FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_UNSEEN: Final = " \t\r\n\v\f\u00a0\u2003\u3000\ufeff\u200b\x00"


def harmless(text: str) -> str:
    """The text as a cell that no spreadsheet takes for a formula."""
    return f"'{text}" if text.lstrip(_UNSEEN).startswith(FORMULA) or text.startswith(FORMULA) else text


def cell(value: object) -> str:
    """One value: times in UTC and days as ISO 8601, yes and no as true and false, nothing as an empty cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return harmless(value)
    return harmless(json.dumps(value, ensure_ascii=False, sort_keys=True))


def lines(rows: Iterable[Iterable[object]]) -> str:
    """Rows of values as lines of a CSV file."""
    text = io.StringIO()
    csv.writer(text).writerows([cell(value) for value in row] for row in rows)
    return text.getvalue()
