"""The filter of the history: whose entries to show, of which act and of which days."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, Final

from flask import request
from wtforms import SelectField
from wtforms.validators import Optional

from trainer.records.queries import PersonRow
from trainer.web.forms import AddressForm, options
from trainer.web.forms.board import DayField
from trainer.web.i18n import _, _l

EVERYONE: Final = "all"


class HistoryForm(AddressForm):
    """Which entries are shown. What cannot be read leaves nothing out."""

    person = SelectField(_l("Entries about"), default=EVERYONE)
    act = SelectField(_l("What was done"), default=EVERYONE)
    first = DayField(_l("From"), validators=[Optional()])
    last = DayField(_l("Until"), validators=[Optional()])

    def __init__(self, people: Iterable[PersonRow], acts: Mapping[str, Any]) -> None:
        super().__init__()
        self.person.choices = options([(EVERYONE, _("everyone")), *((row.id, row.name) for row in people)])
        named = sorted(
            ((kind, str(words)) for kind, words in acts.items()), key=lambda one: one[1].casefold()
        )
        self.act.choices = options([(EVERYONE, _("everything")), *named])
        if request.args:
            self.validate()

    def _chosen(self, name: str) -> Any:
        field = self[name]
        return None if name not in request.args or field.errors or field.data == EVERYONE else field.data

    @property
    def person_id(self) -> int | None:
        """The person chosen; None for everyone, and for someone who is not in the list."""
        chosen = self._chosen("person")
        return None if chosen is None else int(chosen)

    @property
    def kind(self) -> str | None:
        """The kind of act chosen; None for every kind."""
        chosen: str | None = self._chosen("act")
        return chosen

    @property
    def days(self) -> tuple[date | None, date | None]:
        """(the first day, the last day), None where it is open."""
        return self._chosen("first"), self._chosen("last")

    @property
    def asked(self) -> dict[str, Any]:
        """What the address of the next page has to say again."""
        first, last = self.days
        return {"person": self.person_id, "act": self.kind, "first": first, "last": last}
