"""The filter of the history: whose entries to show."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from flask import request
from wtforms import SelectField

from trainer.records.queries import PersonRow
from trainer.web.forms import Form, needed, options
from trainer.web.i18n import _, _l

EVERYONE: Final = "all"


class WhoseForm(Form):
    """One person's entries, or everyone's. It stands in the address and changes nothing."""

    class Meta(Form.Meta):
        csrf = False

        def wrap_formdata(self, form: Form, formdata: Any) -> Any:
            return request.args

    person = SelectField(_l("Entries about"), default=EVERYONE, validators=[needed()])

    def __init__(self, people: Iterable[PersonRow], **given: Any) -> None:
        super().__init__(**given)
        self.person.choices = options([(EVERYONE, _("everyone")), *((row.id, row.name) for row in people)])

    @property
    def person_id(self) -> int | None:
        """The person chosen; None for everyone, and for someone who is not in the list."""
        chosen = "person" in request.args and self.validate() and self.person.data != EVERYONE
        return int(self.person.data) if chosen else None
