"""The form of a crew: its name and who is in it."""

from __future__ import annotations

from collections.abc import Iterable

from wtforms import StringField

from trainer.records.queries import PersonRow
from trainer.web.forms import CheckField, Form, at_most, made_from_field, needed, options
from trainer.web.i18n import _l


class CrewForm(Form):
    """A crew, new or changed."""

    name = StringField(_l("Name of the crew"), validators=[needed(), at_most(60)])
    people = CheckField(_l("Who is in it"), coerce=int)
    made_from = made_from_field()

    def __init__(self, everyone: Iterable[PersonRow], **data: object) -> None:
        super().__init__(**data)
        self.people.choices = options((row.id, row.name) for row in everyone)
