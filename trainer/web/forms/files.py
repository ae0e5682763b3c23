"""Photographs and papers in a form: what was sent is made safe as the form is read, and kept if the form comes back.

FilesField      what was sent now; cleaned: each made safe; a file that cannot be taken is said beside the field
RefsField       which kept files the form carries on, or leaves out
photos_field, paper_field
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final

from werkzeug.datastructures import FileStorage
from wtforms import MultipleFileField
from wtforms.fields.core import Field
from wtforms.widgets import FileInput

from trainer.errors import Refusal
from trainer.records.cleaning import MOST_BYTES, Cleaned, clean_paper, clean_photo
from trainer.records.files import MOST_PHOTOS
from trainer.web.i18n import _, _l, said

PHOTOS: Final = "image/jpeg,image/png,image/webp"
REF: Final = re.compile(r"\d{1,9}-[0-9a-f]{12}")
MOST_REFS: Final = 20


class FilesField(MultipleFileField):  # type: ignore[misc]
    """Files, each told by its content. most: how many are taken at once."""

    def __init__(
        self, label: Any, *, clean: Callable[[bytes], Cleaned], most: int, accept: str, **options: Any
    ) -> None:
        self.clean, self.most = clean, most
        self.cleaned: list[Cleaned] = []
        super().__init__(label, render_kw={"accept": accept}, widget=FileInput(multiple=most > 1), **options)

    def process_formdata(self, valuelist: list[Any]) -> None:
        # A browser sends one file without a name when none was chosen.
        sent = [one for one in valuelist if isinstance(one, FileStorage) and one.filename]
        wrong = []
        if len(sent) > self.most:
            wrong.append(_("At most %(most)d files at once; the first of them are kept.", most=self.most))
        for number, one in enumerate(sent[: self.most], start=1):
            try:
                self.cleaned.append(self.clean(one.stream.read(MOST_BYTES + 1)))
            except Refusal as refusal:
                wrong.append(
                    said(refusal)
                    if len(sent) == 1
                    else _("File %(number)d: %(sentence)s", number=number, sentence=said(refusal))
                )
        self.data = None
        if wrong:
            raise ValueError(" ".join(wrong))

    def say(self, sentence: str) -> None:
        """Something else that is wrong; it stands until the form is validated and after."""
        self.process_errors: list[str] = [*self.process_errors, sentence]
        self.errors: list[str] = [*self.errors, sentence]


class RefsField(Field):  # type: ignore[misc]
    """References to kept files, as hidden fields or boxes carry them; what is none is left out."""

    def process_data(self, value: Any) -> None:
        self.data: list[str] = list(value or ())

    def process_formdata(self, valuelist: list[Any]) -> None:
        named = [one for one in valuelist if isinstance(one, str) and REF.fullmatch(one)]
        self.data = list(dict.fromkeys(named))[:MOST_REFS]


def photos_field() -> FilesField:
    """Photographs."""
    return FilesField(_l("Photographs"), clean=clean_photo, most=MOST_PHOTOS, accept=PHOTOS)


def paper_field() -> FilesField:
    """A photograph or PDF of a paper."""
    return FilesField(_l("The paper itself"), clean=clean_paper, most=1, accept=f"{PHOTOS},application/pdf")
