"""Files sent with a form and handed out again.

takes_files     the mark of a view whose form may carry files: how many bytes it takes
keep_files      store what a form brought, and tell which files it carries on
hand_out        a stored file as an answer that a browser cannot take for a page
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, TypeVar

from flask import current_app, g, request
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import files
from trainer.records.files import FileBytes, FileRow
from trainer.web.access import rule_of
from trainer.web.current import now, person, store
from trainer.web.i18n import said

View = TypeVar("View", bound=Callable[..., Any])

FORM_BYTES: Final = 1024 * 1024  # what the form holds beside its files
# Nothing of a file is ever run or shown as a page, even when it is opened by itself.
FILE_POLICY: Final = "default-src 'none'; sandbox; frame-ancestors 'none'"
EXTENSIONS: Final = {"image/jpeg": "jpg", "application/pdf": "pdf"}


def takes_files(most: int) -> Callable[[View], View]:
    """Mark a view: its form may carry files of that many bytes in all."""

    def declare(view: View) -> View:
        view.takes_bytes = most + FORM_BYTES  # type: ignore[attr-defined]
        return view

    return declare


def allow_files() -> None:
    """Before anything of the form is read: more is taken only from who may use the view."""
    most = getattr(current_app.view_functions.get(request.endpoint or ""), "takes_bytes", None)
    rule = rule_of(current_app, request.endpoint or "")
    if most is not None and rule is not None and g.person is not None and rule.allows(g.person.roles):
        request.max_content_length = most


def keep_files(form: FlaskForm, field: Any, person_id: int, too_many: Text) -> tuple[FileRow, ...]:
    """Store what `field` brought about a person; the files that the form carries now, in order.

    form: with `kept` and `drop`, references to files sent before, and `form_token`. What cannot be kept, or is too
    many, is said beside the field; nothing that was sent is lost.
    """
    refs = [ref for ref in form.kept.data if ref not in form.drop.data]
    new = []
    if field.cleaned:
        try:
            with store.write() as writing:
                new = [
                    files.keep(
                        writing,
                        person(),
                        now(),
                        person_id=person_id,
                        cleaned=cleaned,
                        token=form.form_token.data,
                    )
                    for cleaned in field.cleaned
                ]
        except Refusal as refusal:
            field.say(said(refusal))
    with store.read() as reading:
        rows = files.mine(reading, person(), person_id, [*refs, *new])
    if len(rows) < len({*refs, *new}):
        field.say(said(Refusal(files.GONE)))
    if len(rows) > field.most:
        field.say(said(Refusal(too_many, most=field.most)))
    form.kept.data, form.drop.data = [row.ref for row in rows], []
    return rows


def hand_out(found: FileBytes, name: str) -> Response:
    """The file under a plain name of ours; a PDF only to be saved, a picture to be shown."""
    how = "inline" if found.media == "image/jpeg" else "attachment"
    answer = Response(found.data, mimetype=found.media)
    answer.headers["Content-Disposition"] = f'{how}; filename="{name}.{EXTENSIONS[found.media]}"'
    answer.headers["Content-Security-Policy"] = FILE_POLICY
    answer.headers["X-Content-Type-Options"] = "nosniff"
    answer.set_etag(found.mark)
    return answer.make_conditional(request)
