"""Taking the records out: one table as CSV, or the whole shop in one archive. Both are sent as they are read."""

from __future__ import annotations

from collections.abc import Iterator

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from trainer.records import exports
from trainer.web.access import Access, access
from trainer.web.current import now, person, store, the_store, today

bp = Blueprint("exports", __name__, url_prefix="/exports")
MARK = "\ufeff"  # tells spreadsheets that the file is UTF-8


@bp.get("")
@access(Access.STAFF)
def page() -> str:
    return render_template("exports/page.html", tables=exports.offered(person()))


@bp.get("/<name>.csv")
@access(Access.STAFF)
def table(name: str) -> Response:
    who, kept_in = person(), the_store()
    exports.need_table(who, name)

    def pieces() -> Iterator[str]:
        yield MARK
        with kept_in.read() as reading:
            yield from exports.csv_lines(reading, who, name)

    return _download(pieces(), "text/csv", f"{name}-{today().isoformat()}.csv")


@bp.post("/archive")
@access(Access.OWNER)
def archive() -> Response:
    at, kept_in = now(), the_store()
    with store.write() as writing:
        exports.note_taking(writing, person(), at)

    def pieces() -> Iterator[bytes]:
        with kept_in.read() as reading:
            yield from exports.archive(reading, at)

    return _download(pieces(), "application/zip", f"shop-{today().isoformat()}.zip")


def _download(pieces: Iterator[str] | Iterator[bytes], media: str, name: str) -> Response:
    answer = Response(pieces, mimetype=media)
    answer.headers["Content-Disposition"] = f"attachment; filename={name}"
    answer.headers["Cache-Control"] = "no-store"
    return answer
